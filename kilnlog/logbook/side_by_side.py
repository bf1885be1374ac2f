"""Past charges of one kind side by side: how long, from what to what, how even, and what was degraded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook import figures
from kilnlog.logbook.closing import sealed_figures
from kilnlog.logbook.final_figures import SAMPLE_BOARDS, FinalMoisture, final_moisture, start_mc_pct
from kilnlog.logbook.lot_kinds import Kind, kind_words, leading_kinds
from kilnlog.logbook.register import RegisterLine
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.measures import cubic_metres
from kilnlog.records.version import current_entries
from kilnlog.records.words import AnswerKind, CloseOutStep, TallyTime, VolumeUnit

Kinds = frozenset[Kind]


@dataclass(frozen=True, slots=True)
class Degrade:
    """What of a charge was degraded. ``share_pct`` of its volume, else of its pieces; None: not told."""

    share_pct: float | None = None
    words: str = figures.EMPTY


@dataclass(frozen=True, slots=True)
class Compared:
    """One closed charge beside others. All of it is as it was sealed."""

    entity: str
    number: str
    kiln: str | None
    schedule: str | None
    loaded: str
    days: int | None  # of the calendar, as the register counts them
    start_mc_pct: float | None  # mean of its sample boards as they were cut
    final: FinalMoisture | None
    degrade: Degrade

    @property
    def read(self) -> str:
        """What the final figures rest on: ``8 boards``, ``30 by pin meter``."""
        if self.final is None:
            return figures.EMPTY
        if self.final.kind == SAMPLE_BOARDS:
            return figures.count(self.final.pieces, "board")
        by = "in the oven" if self.final.kind == "oven-dry" else f"by {self.final.kind}"
        return f"{figures.number(self.final.pieces)} {by}"


@dataclass(frozen=True, slots=True)
class KindChoice:
    """A kind that closed charges were of, and how many."""

    kinds: Kinds
    words: str
    count: int


def kinds_closed(lines: Iterable[RegisterLine]) -> tuple[KindChoice, ...]:
    """Every kind of which a charge was closed, by its words."""
    found: dict[Kinds, list[RegisterLine]] = {}
    for line in lines:
        kinds = leading_kinds(line.lots)
        if line.state is ChargeState.CLOSED and kinds:
            found.setdefault(kinds, []).append(line)
    choices = (KindChoice(kinds, kind_words(of[0].lots), len(of)) for kinds, of in found.items())
    return tuple(sorted(choices, key=lambda one: one.words.casefold()))


def compared(book: Logbook, lines: Iterable[RegisterLine], kinds: Kinds) -> tuple[Compared, ...]:
    """The closed charges of one kind, the newest first, as their seals have them."""
    closings = closings_in_force(book.file.entries("closing"))
    charges = {line.entity: line.entries[0].fact for line in book.file.charges()}
    charges |= {entry.entity: entry.fact for entry in current_entries(book.file.charges())}
    of_kind = [
        line for line in lines if line.state is ChargeState.CLOSED and leading_kinds(line.lots) == kinds
    ]
    of_kind.sort(key=lambda line: line.loaded_at.utc.timestamp() if line.loaded_at else 0.0, reverse=True)
    found = []
    for line in of_kind:
        if line.entity not in closings:
            continue  # reopened since the register was read
        sealed = sealed_figures(closings[line.entity].fact)
        loaded = line.loaded_at
        found.append(
            Compared(
                entity=line.entity,
                number=line.number,
                kiln=line.kiln,
                schedule=charges[line.entity].schedule,
                loaded=figures.EMPTY if loaded is None else f"{loaded.local:%Y-%m-%d}",
                days=figures.day_number(line.loaded_at, line.day),
                start_mc_pct=start_mc_pct(sealed),
                final=final_moisture(sealed),
                degrade=degrade_of(sealed),
            )
        )
    return tuple(found)


def degrade_of(sealed: Mapping[str, Any]) -> Degrade:
    """The share with defects, by volume where every line and every lot has one, else by pieces of the tally.

    A piece with two defects counts twice. Seals of before defects were written down tell nothing.
    """
    lots = sealed.get("lots", ())
    defects = [(lot, defect) for lot in lots for defect in lot["defects"]]
    if not defects:
        return Degrade(words=_no_defects(sealed))
    degraded = _total((defect for _, defect in defects), _volume_m3)
    whole = _total(lots, _volume_m3)
    if degraded is not None and whole:
        return _share(degraded / whole)
    pieces = _total((defect for _, defect in defects), lambda defect: defect["pieces"])
    tallied = _total(lots, _tallied)
    if pieces is not None and tallied:
        return _share(pieces / tallied)
    if pieces is not None:
        return Degrade(words=figures.count(round(pieces), "piece"))
    return Degrade(words="written down, not counted")


def summary(chosen: Sequence[Compared]) -> tuple[str, ...]:
    """What the charges chosen have in common, a line each: days, final moisture, its spread."""
    days = [one.days for one in chosen if one.days is not None]
    means = [one.final.mean_pct for one in chosen if one.final and one.final.mean_pct is not None]
    spreads = [one.final.sd_pct for one in chosen if one.final and one.final.sd_pct is not None]
    told = [
        f"{before}{_range(values, decimals)}{unit}"
        for before, values, decimals, unit in (
            ("", days, 0, " days in the kiln"),
            ("mean at the end ", means, 1, " %"),
            ("standard deviation ", spreads, 2, " %"),
        )
        if values
    ]
    return (f"{figures.count(len(chosen), 'charge')} chosen", *told)


def _range(values: Sequence[float], decimals: int) -> str:
    return figures.span(figures.number(min(values), decimals), figures.number(max(values), decimals))


def _no_defects(sealed: Mapping[str, Any]) -> str:
    answers = [*sealed.get("answers", ()), *(one for lot in sealed.get("lots", ()) for one in lot["answers"])]
    told = {one["answer"] for one in answers if one["step"] == CloseOutStep.DEFECTS}
    if AnswerKind.LEFT_OUT in told:
        return "not looked at"
    return "none found" if AnswerKind.NONE_FOUND in told else figures.EMPTY


def _share(share: float) -> Degrade:
    return Degrade(100 * share, f"{figures.number(100 * share, 1)} %")


def _total(
    parts: Iterable[Mapping[str, Any]], value_of: Callable[[Mapping[str, Any]], float | None]
) -> float | None:
    """Of all; None where one does not tell."""
    values = [value_of(part) for part in parts]
    known = [value for value in values if value is not None]
    return sum(known) if known and len(known) == len(values) else None


def _volume_m3(part: Mapping[str, Any]) -> float | None:
    if part["volume"] is None or part["volume_unit"] is None:
        return None
    return float(cubic_metres(part["volume"], VolumeUnit(part["volume_unit"])))


def _tallied(lot: Mapping[str, Any]) -> float | None:
    """Pieces of a lot's net tally, else of its green one."""
    lines = (lot["tally"] or {"lines": ()})["lines"]
    for when in (TallyTime.NET, TallyTime.GREEN):
        pieces = [line["pieces"] for line in lines if line["when"] == when]
        if pieces and None not in pieces:
            return float(sum(pieces))
    return None
