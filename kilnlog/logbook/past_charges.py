"""Narrowing the register down by species, thickness, owner, year and outcome, each combined with the rest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook import figures
from kilnlog.logbook.lot_kinds import LotKind
from kilnlog.logbook.outcome import Outcome
from kilnlog.logbook.register import RegisterLine


class Facet(StrEnum):
    """What charges can be narrowed down by."""

    SPECIES = "species"
    THICKNESS = "thickness"
    OWNER = "owner"
    YEAR = "year"  # in which it was loaded
    OUTCOME = "outcome"


#: The word chosen for a facet, as it is compared. Facets left out take every charge.
Narrowing = Mapping[Facet, str]

_OF_LOTS = (Facet.SPECIES, Facet.THICKNESS, Facet.OWNER)
_OUTCOMES = {outcome.value: number for number, outcome in enumerate(Outcome)}


@dataclass(frozen=True, slots=True)
class Option:
    """A word that can be chosen for a facet, and how many charges it would leave."""

    key: str
    words: str
    count: int


def narrowed(lines: Iterable[RegisterLine], chosen: Narrowing) -> tuple[RegisterLine, ...]:
    """The charges that fit every word chosen.

    Species, thickness and owner have to meet in one lot: a charge of 4/4 oak and 8/4 walnut holds no 8/4 oak.
    """
    return tuple(line for line in lines if _fits(line, chosen))


def options(lines: Sequence[RegisterLine], chosen: Narrowing, facet: Facet) -> tuple[Option, ...]:
    """The words there are for a facet, each with the charges it would leave beside the other words chosen.

    The word chosen is among them though it leave none.
    """
    others = {other: key for other, key in chosen.items() if other is not facet}
    words: dict[str, str] = {}
    for line in lines:
        for key, said in _words_of(line, facet):
            words.setdefault(key, said)
    counts = {key: _standing(narrowed(lines, {**others, facet: key})) for key in words}
    there = [key for key in words if counts[key] or chosen.get(facet) == key]
    return tuple(Option(key, words[key], counts[key]) for key in _in_order(there, words, facet))


def words_of(lines: Sequence[RegisterLine], facet: Facet, key: str) -> str:
    """What a word chosen is called: ``8/4``, ``loaded in 2025``."""
    said = next((said for line in lines for one, said in _words_of(line, facet) if one == key), key)
    return f"loaded in {said}" if facet is Facet.YEAR else said


def nothing_fits(chosen: Sequence[str], typed: str) -> str:
    """What stands in place of the list where no charge is left, and what to do about it."""
    if not chosen:
        return "No charge fits. Esc in the search clears it."
    said = f"No charge is {', '.join(chosen)}"
    if typed.strip():
        return (
            f"{said} and holds “{typed.strip()}”. Shift F clears the words, Esc in the search what is typed."
        )
    return f"{said}. Shift F clears the words; F chooses others, each with the charges it leaves."


def fit_count(lines: Sequence[RegisterLine], chosen: Narrowing) -> str:
    """``5 charges fit``; how many there are, whatever was taken back."""
    amount = _standing(narrowed(lines, chosen))
    return f"{figures.count(amount, 'charge')} {'fits' if amount == 1 else 'fit'}"


def _standing(lines: Iterable[RegisterLine]) -> int:
    """How many there are; one that was taken back is shown, and never was."""
    return sum(line.state is not ChargeState.TAKEN_BACK for line in lines)


def _fits(line: RegisterLine, chosen: Narrowing) -> bool:
    of_charge = all(
        any(key == one for one, _ in _words_of(line, facet))
        for facet, key in chosen.items()
        if facet not in _OF_LOTS
    )
    of_lots = [(facet, key) for facet, key in chosen.items() if facet in _OF_LOTS]
    return of_charge and (
        not of_lots
        or any(all(_lot_word(lot, facet)[0] == key for facet, key in of_lots) for lot in line.lots)
    )


def _words_of(line: RegisterLine, facet: Facet) -> Iterator[tuple[str, str]]:
    """What a charge is under a facet: as compared, and as said."""
    if facet is Facet.YEAR:
        if line.loaded_at is not None:
            year = str(line.loaded_at.local.year)
            yield year, year
    elif facet is Facet.OUTCOME:
        yield line.outcome.value, line.outcome.value
    else:
        yield from ((key, said) for lot in line.lots for key, said in (_lot_word(lot, facet),) if key)


def _lot_word(lot: LotKind, facet: Facet) -> tuple[str, str]:
    return {
        Facet.SPECIES: (lot.kind.species, lot.species_words),
        Facet.THICKNESS: (lot.kind.thickness, lot.thickness_words),
        Facet.OWNER: (lot.owner, lot.owner_words),
    }[facet]


def _in_order(keys: Iterable[str], words: Mapping[str, str], facet: Facet) -> list[str]:
    """Years newest first, outcomes as they follow one another, thin before thick, the rest by name."""
    if facet is Facet.YEAR:
        return sorted(keys, reverse=True)
    if facet is Facet.OUTCOME:
        return sorted(keys, key=_OUTCOMES.__getitem__)
    if facet is Facet.THICKNESS:
        return sorted(keys, key=_by_size)
    return sorted(keys, key=lambda key: words[key].casefold())


def _by_size(key: str) -> tuple[int, int, str]:
    """Sizes that could be read come in millimetres; what could not stands after them."""
    number, _, unit = key.partition(" ")
    return (0, int(number), key) if unit == "mm" and number.isdigit() else (1, 0, key)
