"""What stands typed in a line in hand, by where it belongs, until the file holds it."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

#: Logbook, charge and lot, or the first of these: what stands typed somewhere within.
Within: TypeAlias = tuple[str, ...]


@dataclass(eq=False)
class Draft:
    """A line on its way into the file, or refused by it: then ``refused`` says why."""

    texts: dict[str, str]
    refused: str = ""


@dataclass
class _Place:
    """One lot of one charge of one logbook, say."""

    words: str
    proposed: dict[str, str] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    drafts: list[Draft] = field(default_factory=list)


class LineKeeper:
    """Nothing typed is lost when another lot, charge or logbook comes to the front, or a line is refused."""

    def __init__(self) -> None:
        self._places: dict[Hashable, _Place] = {}

    def place(self, key: Hashable, words: str) -> _Place:
        """What stands typed there; ``words`` name the place in a warning."""
        place = self._places.setdefault(key, _Place(words))
        place.words = words
        return place

    def texts(self, key: Hashable) -> dict[str, str]:
        """The texts of the line in hand, as typed or proposed."""
        return dict(self._places[key].texts)

    def type_in(self, key: Hashable, texts: Mapping[str, str]) -> None:
        """The line in hand now says this."""
        self._places[key].texts = dict(texts)

    def is_typed(self, key: Hashable) -> bool:
        """Whether it says other than was proposed."""
        place = self._places[key]
        return place.texts != place.proposed

    def propose(self, key: Hashable, texts: Mapping[str, str]) -> None:
        """Propose another line, where nothing is typed and none is on its way."""
        place = self._places[key]
        on_way = any(not draft.refused for draft in place.drafts)
        if not on_way and (not place.texts or not self.is_typed(key)):
            place.proposed, place.texts = dict(texts), dict(texts)

    def send(self, key: Hashable, after: Mapping[str, str]) -> Draft:
        """The line in hand goes on its way; the next one is proposed."""
        place = self._places[key]
        draft = Draft(place.texts)
        place.drafts.append(draft)
        place.proposed, place.texts = dict(after), dict(after)
        return draft

    def kept(self, key: Hashable, draft: Draft) -> None:
        """The file holds it."""
        self._places[key].drafts.remove(draft)

    def refuse(self, key: Hashable, draft: Draft, why: str) -> bool:
        """The file refused it: back into the line in hand, if nothing is typed there; whether it went."""
        draft.refused = why
        return self.take_up(key, draft)

    def take_up(self, key: Hashable, draft: Draft) -> bool:
        """Put a refused line back to be typed anew; not over what stands typed."""
        if self.is_typed(key):
            return False
        place = self._places[key]
        place.drafts.remove(draft)
        place.texts = draft.texts
        return True

    def drop(self, key: Hashable, draft: Draft) -> None:
        """A refused line is given up."""
        self._places[key].drafts.remove(draft)

    def drop_typed(self, key: Hashable) -> bool:
        """What stands typed is given up for what was proposed; whether there was any."""
        if key not in self._places or not self.is_typed(key):
            return False
        self._places[key].texts = dict(self._places[key].proposed)
        return True

    def drafts(self, key: Hashable) -> tuple[Draft, ...]:
        """The lines on their way, and the refused ones."""
        return tuple(self._places[key].drafts)

    def unkept(self, within: Within = ()) -> tuple[str, ...]:
        """Where something stands typed or refused, within a logbook, a charge of it, a lot of that."""
        return tuple(
            place.words
            for key, place in self._places.items()
            if is_within(key, within)
            and (place.texts != place.proposed or any(draft.refused for draft in place.drafts))
        )

    def forget(self, within: Within) -> None:
        """Give up all that stands typed or refused there."""
        for key, place in self._places.items():
            if is_within(key, within):
                place.texts = dict(place.proposed)
                place.drafts = [draft for draft in place.drafts if not draft.refused]


def is_within(key: Hashable, within: Within) -> bool:
    """Whether a place is in a wider one, or is that one."""
    return isinstance(key, tuple) and key[: len(within)] == within
