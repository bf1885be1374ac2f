"""What the operator is answering to findings: it outlives the items, which come anew as figures change."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from kilnlog.drying.finding import Finding
from kilnlog.records.decision import Decision

_Key = tuple[Path | None, str, str, str]


@dataclass
class Answer:
    """The answer to one finding of one charge, as far as it has come."""

    headline: str  # of the finding
    text: str = ""  # why it is seen otherwise, or what is done about it, as typed
    agrees: bool = False  # it is the latter
    is_open: bool = False  # the line to type in is shown
    is_sending: bool = False  # it is on its way into the file: nothing is sent twice
    is_there: bool = True  # the finding still stands

    def forget(self) -> None:
        """It is in the file, or dropped."""
        self.text, self.agrees, self.is_open, self.is_sending = "", False, False, False


class Answers:
    """Kept by logbook, charge, and what each finding is about: another charge in hand drops nothing."""

    def __init__(self) -> None:
        self._known: dict[_Key, Answer] = {}

    def to(self, logbook: Path | None, charge: str, finding: Finding, headline: str) -> Answer:
        """The answer to this finding; an empty one where nobody began it."""
        key = (logbook, charge, finding.code, finding.subject)
        answer = self._known.setdefault(key, Answer(headline))
        answer.headline, answer.is_there = headline, True
        return answer

    def kept(self, logbook: Path | None, decision: Decision) -> Answer | None:
        """The file holds this one: it stands typed no longer. None where it was not typed here."""
        answer = self._known.get((logbook, decision.charge, decision.code, decision.subject or ""))
        if answer is None or not answer.is_sending:
            return None
        answer.forget()
        return answer

    def renew(self, logbook: Path | None, charge: str) -> None:
        """The findings of this charge are found anew: only what ``to`` is asked for next still stands."""
        for key, answer in self._known.items():
            if key[:2] == (logbook, charge):
                answer.is_there = False

    def unkept(self, logbook: Path | None) -> tuple[str, ...]:
        """What stands typed in that logbook, to findings that still stand, and is not kept; in words."""
        return tuple(
            f"the answer to “{answer.headline}”"
            for key, answer in self._known.items()
            if key[0] == logbook and answer.is_there and answer.text.strip() and not answer.is_sending
        )
