"""Every weight of a board, newest first, with the versions that were superseded and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kilnlog.drying.figures import BoardFigures, Point, PointKind
from kilnlog.logbook import figures
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.writing import UNDONE
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History, VersionKind
from kilnlog.records.weight import Weight, WeightUnit

_SAID = {
    PointKind.START: "when cut",
    PointKind.WEIGHING: "",
    PointKind.RECUT: "recut",
    PointKind.BREAK: "broke off",
}


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One weight, or one version of it that no longer counts."""

    entity: str
    table: str  # weighing, recut, breakage, board
    at: Moment
    when: str
    weight: str
    mc: str
    rate: str
    remarks: tuple[str, ...]  # the most telling first
    late: bool
    superseded: bool  # one line through it
    withdrawn_line: bool = False  # every version of it was taken back


@dataclass(frozen=True, slots=True)
class _Told:
    """How weights and moments are written."""

    unit: WeightUnit
    now: Moment
    newest: Moment

    def when(self, at: Moment) -> str:
        """The year is left out where it is the newest weight's: the page says that once, at its top."""
        written = figures.day_and_time(at, self.now)
        year = at.local.year
        return written.replace(f" {year}", "") if year == self.newest.local.year else written

    def typed(self, weight: Weight) -> str:
        """As typed; its unit beside it where it is not the one of the heading."""
        written = figures.grouped(weight)
        named = any(letter.isalpha() for letter in written)
        return written if weight.unit is self.unit or named else f"{written} {weight.unit}"


def ledger(record: ChargeRecord, board: BoardFigures, now: Moment) -> tuple[LedgerLine, ...]:
    """The lines, newest first; under each the versions before it, the latest of them first."""
    unit = weight_unit_of(record)
    told = _Told(unit, now, board.since or board.cut_at)
    points = {(point.entity, point.kind): point for point in board.points}
    blocks: list[tuple[Moment, list[LedgerLine]]] = []
    for table, line, kind in _histories(record, board.entity):
        lines = list(_block(table, line, points.get((line.entity, kind)), kind, told))
        blocks.append((_read_at(line), lines))
    blocks.sort(key=lambda block: block[0], reverse=True)
    return tuple(line for _, lines in blocks for line in lines)


def _read_at(line: History[Any]) -> Moment:
    """When its weight was read; the version that takes it back has the moment of that."""
    told = [entry for entry in line.entries if entry.version.kind is not VersionKind.VOID]
    return (line.current or told[-1]).at


def _histories(record: ChargeRecord, board: str) -> Iterator[tuple[str, History[Any], PointKind]]:
    # At one moment later kinds stand above earlier ones: sorting newest first is stable.
    for table, kind in (
        ("breakage", PointKind.BREAK),
        ("recut", PointKind.RECUT),
        ("weighing", PointKind.WEIGHING),
    ):
        for line in getattr(record, table):
            if line.newest.fact.board == board:
                yield table, line, kind
    for line in record.board:
        if line.entity == board:
            yield "board", line, PointKind.START


def _block(
    table: str, line: History[Any], point: Point | None, kind: PointKind, told: _Told
) -> Iterator[LedgerLine]:
    """What counts, then the versions that say another weight or time; other columns are not told here."""
    current = line.current
    struck = list(_struck(table, line, told))
    if current is not None:
        yield LedgerLine(
            entity=line.entity,
            table=table,
            at=current.at,
            when=told.when(current.at),
            weight=told.typed(_weight(current, table)),
            mc=figures.mc(point.mc_pct) if point is not None else figures.EMPTY,
            rate=figures.rate(point.rate_pct_per_day) if point is not None else figures.EMPTY,
            remarks=tuple(_remarks(table, current, point, kind, told, corrected=bool(struck))),
            late=bool(getattr(current.fact, "entered_late_from", None)),
            superseded=False,
        )
    yield from struck


def _struck(table: str, line: History[Any], told: _Told) -> Iterator[LedgerLine]:
    above = line.newest
    shown = line.current
    for entry in reversed(line.entries):
        if entry is line.current or entry.version.kind is VersionKind.VOID:
            above = entry
            continue
        says_the_same = (
            shown is not None and _weight(entry, table) == _weight(shown, table) and entry.at == shown.at
        )
        if not says_the_same:
            yield _superseded(table, entry, above, told, beside=line.current)
            shown = entry
        above = entry


def _superseded(
    table: str,
    entry: Entry[Any],
    following: Entry[Any],
    told: _Told,
    *,
    beside: Entry[Any] | None,
) -> LedgerLine:
    """A version that no longer counts: its weight, why, and when that was written."""
    by = following.version
    reason = by.reason or "corrected"
    if by.kind is VersionKind.VOID and by.reason != UNDONE:
        reason = f"taken back: {by.reason}"
    written = Moment(by.entered_utc, entry.at.zone)
    same_day = written.local.date() == entry.at.local.date()
    when = f"{written.local:%H:%M}" if same_day else figures.day(written, told.now)
    own_time = beside is None or beside.at != entry.at
    return LedgerLine(
        entity=entry.entity,
        table=table,
        at=entry.at,
        when=told.when(entry.at) if own_time else "",
        weight=told.typed(_weight(entry, table)),
        mc="",
        rate="",
        remarks=(f"{reason}, {when}",),
        late=False,
        superseded=True,
        withdrawn_line=beside is None,
    )


def _remarks(
    table: str,
    current: Entry[Any],
    point: Point | None,
    kind: PointKind,
    told: _Told,
    *,
    corrected: bool,
) -> Iterator[str]:
    if table in ("recut", "breakage"):
        yield f"{_SAID[kind]}, {told.typed(current.fact.weight_after)} left"
    elif table == "board":
        yield _SAID[kind]
    if point is not None and point.first_estimate_mc_pct is not None:
        yield f"first {figures.mc(point.first_estimate_mc_pct)}"
    if table == "weighing" and current.fact.typed_first:
        yield f"typed {current.fact.typed_first}"
    if corrected:
        yield "corrected"
    if table == "weighing" and current.fact.entered_late_from:
        yield f"from {current.fact.entered_late_from}"


def _weight(entry: Entry[Any], table: str) -> Weight:
    column = {"weighing": "weight", "board": "start_weight"}.get(table, "weight_before")
    weight: Weight = getattr(entry.fact, column)
    return weight
