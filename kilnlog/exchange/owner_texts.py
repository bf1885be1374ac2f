"""An owner's rows without what they may not read: names of others, and text about no lumber of theirs."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from kilnlog.exchange.columns import Holds
from kilnlog.exchange.other_names import OtherNames
from kilnlog.exchange.tables import FILE_TABLE_OF
from kilnlog.records.version import Entry, VersionKind
from kilnlog.records.words import AnswerKind, DefectKind

#: Text that says what lumber is, or which; an owner called Oak does not make red oak a secret.
_SAYS_WHAT_IT_IS = {"species", "unit", "owner", "subject"}

#: Tables of a charge whose rows are about one lot or board; so are all rows that name a board.
_OF_ONE = {"lot", "board", "decision"}


#: What stands for a name that is not told and cannot be left blank.
LEFT_OUT = "left out"

#: What each names; a row named after another owner is nobody else's.
_NAMED_BY = {
    "setting": ("setting", "value"),
    "kiln": ("kiln",),
    "instrument": ("instrument",),
    "schedule_step": ("schedule",),
    "later_note": ("text",),
}


@dataclass
class OwnerTexts:
    """Takes out of an owner's rows what tells of others.

    Attributes:
        others: Finds their names.
        shared: The charges (entities) in which others have lumber too.
    """

    others: OtherNames
    shared: frozenset[str]
    _sensors: dict[str, str] = field(default_factory=dict)  # stand-ins for sensors named after others

    def is_named_after_others(self, table: str, entry: Entry[Any]) -> bool:
        """Whether the row, which is nothing without its name or text, is about another owner."""
        names = _NAMED_BY.get(table, ())
        return any(self.others.are_told_in(getattr(entry.fact, name)) for name in names)

    def plain(self, table: str, entry: Entry[Any]) -> Entry[Any]:
        """The entry as a first version, without what is not for this owner."""
        by = entry.version.entered_by
        version = replace(
            entry.version,
            uid=entry.entity,
            supersedes=None,
            kind=VersionKind.FIRST,
            reason=None,
            entered_by="" if self.others.are_told_in(by) else by,
        )
        return Entry(version, self._without_others(table, entry))

    def _without_others(self, table: str, entry: Entry[Any]) -> Any:
        fact = entry.fact
        leaves_out_all = self._is_about_all(table, entry)
        if table == "closing":
            fact = replace(fact, sealed_text=None, ledger_number=None, ledger_head=None, program_version=None)
            told: tuple[str, ...] = ("closing_reason",)
        else:
            told = tuple(
                column.field
                for column in FILE_TABLE_OF[table].columns
                if column.holds is Holds.TEXT
                and column.name not in _SAYS_WHAT_IT_IS
                and not column.required
                and hasattr(fact, column.field)
            )
        gone: dict[str, Any] = {
            name: LEFT_OUT if _is_needed(table, name, fact) else None
            for name in told
            if (text := getattr(fact, name))
            and ((leaves_out_all and name != "sensor") or self.others.are_told_in(text))
        }
        if table == "probe_reading" and self.others.are_told_in(fact.probe):
            gone["probe"] = self._stand_in(fact.probe)
        if table == "charge" and self.others.are_told_in(fact.schedule):
            gone["schedule"] = None
        if table == "logger_batch":
            if leaves_out_all or self.others.are_told_in(fact.file_name):
                gone["file_name"] = LEFT_OUT
            if self.others.are_told_in(fact.sensor):
                gone["sensor"] = self._stand_in(fact.sensor)
        return replace(fact, **gone) if gone else fact

    def _stand_in(self, name: str) -> str:
        """What a sensor or probe named after others is called."""
        return self._sensors.setdefault(name, f"sensor {len(self._sensors) + 1}")

    def _is_about_all(self, table: str, entry: Entry[Any]) -> bool:
        """Whether the row is about a shared charge as a whole: its text may be about anybody's lumber."""
        if table == "charge":
            return entry.entity in self.shared
        names = (getattr(entry.fact, name, None) for name in ("board", "lot"))
        if table in _OF_ONE or any(name is not None for name in names):
            return False
        return getattr(entry.fact, "charge", None) in self.shared


def _is_needed(table: str, name: str, fact: Any) -> bool:
    """Whether a text must be filled, because another column of the row asks for it."""
    if name != "note":
        return False
    return (table == "defect" and fact.kind is DefectKind.OTHER) or (
        table == "step_answer" and fact.answer is AnswerKind.LEFT_OUT
    )
