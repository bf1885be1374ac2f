"""What lumber a charge holds, as it is compared: two ways of writing a species, size or owner may be one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kilnlog.logbook.register_words import OWN_STOCK
from kilnlog.records.errors import KilnlogError
from kilnlog.records.lot import Lot
from kilnlog.records.measures import thickness_mm
from kilnlog.records.owner_name import owner_key
from kilnlog.reference.reading import plain_name
from kilnlog.reference.tables import Reference


@dataclass(frozen=True, slots=True)
class Kind:
    """A species and a thickness. Equal where they are the same wood; the words are as somebody wrote them."""

    species: str
    thickness: str


@dataclass(frozen=True, slots=True)
class LotKind:
    """One lot's species, thickness and owner: what is compared, and beside it what was written."""

    kind: Kind
    owner: str
    species_words: str
    thickness_words: str
    owner_words: str
    governs: bool

    @property
    def words(self) -> str:
        """``4/4 red oak``."""
        return " ".join(text for text in (self.thickness_words, self.species_words) if text)


def lot_kind(lot: Lot, reference: Reference) -> LotKind:
    """A lot as it is compared: a trade name counts as the species it stands for, 25 mm stock as 4/4."""
    owner = " ".join(lot.owner.split()) if lot.owner and owner_key(lot.owner) else OWN_STOCK
    species, thickness = (lot.species or "").strip(), (lot.thickness or "").strip()
    return LotKind(
        kind=Kind(_species_key(species, reference), _thickness_key(thickness)),
        owner=owner_key(owner),
        species_words=species,
        thickness_words=thickness,
        owner_words=owner,
        governs=lot.governs,
    )


def leading_kinds(lots: Sequence[LotKind]) -> frozenset[Kind]:
    """The kinds the control figure is taken from: of the lots that govern, or of all where none does.

    A lot of unknown species or thickness makes the whole unknown: empty.
    """
    leading = [lot.kind for lot in lots if lot.governs] or [lot.kind for lot in lots]
    return frozenset(leading) if all(kind.species and kind.thickness for kind in leading) else frozenset()


def kind_words(lots: Sequence[LotKind]) -> str:
    """The kinds the control figure is taken from, in words: ``8/4 walnut``."""
    leading = [lot.words for lot in lots if lot.governs] or [lot.words for lot in lots]
    return ", ".join(dict.fromkeys(words for words in leading if words))


def _species_key(species: str, reference: Reference) -> str:
    name = plain_name(species)
    trade = reference.trade_names.get(name)
    return name if trade is None else plain_name(trade.species)


def _thickness_key(thickness: str) -> str:
    try:
        # To the millimetre: 1 in (25.4 mm), 4/4 and 25 mm stock are one, 27 mm stock is another.
        return f"{round(thickness_mm(thickness))} mm"
    except KilnlogError:
        return " ".join(thickness.casefold().split())
