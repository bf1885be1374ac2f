"""The weighing round as a sheet: one line per board in walking order, with what to expect of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment, BoardFigures, BoardState, Point
from kilnlog.drying.finding import Finding
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.recut import Recut
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.reference.tables import Reference

_MINUTE_H = 1 / 60
#: A loss over a shorter time is not told as a loss a day.
RATE_FROM_H = 1.0


class LineState(StrEnum):
    """What a line of the round is waiting for."""

    WAITING = "waiting"
    KEPT = "kept"
    CUT = "cut"  # recut or broken in this round: the weight before stands for it
    WITHDRAWN = "withdrawn"
    OUT = "out"


_WEIGHED = (LineState.KEPT, LineState.CUT)


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One board in the round."""

    entity: str
    board: str
    place: str
    state: LineState
    feeds_control: bool
    last: Weight | None  # on the scale before this round
    last_at: Moment | None
    expected_low_g: float | None  # by what was known before the round
    expected_high_g: float | None
    kept: Entry[Weighing] | None  # this round's weight
    cut: Weight | None  # what a recut or a break in this round left on the scale
    mc_pct: float | None  # by this round's weight
    rate_pct_per_day: float | None
    mc_uncertainty_pct: float | None
    findings: tuple[Finding, ...]  # about this board, most urgent first
    safe_rate_pct_per_day: float | None
    unit: WeightUnit  # the unit its last weight was typed in
    cut_after: bool = False  # recut or broken in this round after its weight was kept: another board since
    has_sections: bool = True  # nothing tells its moisture without


@dataclass(frozen=True)
class RoundSheet:
    """The round a moment falls in."""

    at: Moment
    begun_at: Moment | None  # of its first weight; None where nothing is weighed yet
    lines: tuple[RoundLine, ...]
    unit: WeightUnit  # that most boards are weighed in
    before: Assessment  # what was known just before the round
    out_since: Moment | None = None  # the kiln was unloaded by then: no weight is asked for any more

    @property
    def weighed(self) -> int:
        """How many boards have their weight."""
        return sum(line.state in _WEIGHED for line in self.lines)

    @property
    def to_weigh(self) -> int:
        """How many boards the round asks for."""
        return sum(line.state in (*_WEIGHED, LineState.WAITING) for line in self.lines)


def round_sheet(
    record: ChargeRecord,
    reference: Reference,
    assessment: Assessment,
    at: Moment,
    before: Assessment | None = None,
) -> RoundSheet:
    """The round that a weight read at ``at`` belongs to.

    Args:
        record: The charge.
        reference: The published tables.
        assessment: What follows from ``record`` now.
        at: When the weights are read.
        before: ``RoundSheet.before`` of an earlier sheet of the same round, where it still holds.
    """
    weighings = sorted(current_entries(record.weighing), key=lambda entry: entry.at)
    gap_h = reference.limit("round_gap_h")
    in_round = _round_of(weighings, at, gap_h)
    begun_at = in_round[0].at if in_round else None
    if before is None:
        before = assess(record, reference, (begun_at or at).plus_hours(-_MINUTE_H))
    kept = {entry.fact.board: entry for entry in in_round}
    cuts = {
        entry.fact.board: entry
        for entry in sorted(_cuts(record), key=lambda entry: entry.at)
        if abs(entry.at.hours_since(begun_at or at)) < gap_h or abs(entry.at.hours_since(at)) < gap_h
    }
    known_before = {board.entity: board for board in before.boards}
    last = last_weights(record, begun_at or at)
    safe_rates = {lot.entity: lot.rate_limit_pct_per_day for lot in assessment.lots}
    lines = tuple(
        _line(
            board,
            known_before.get(board.entity),
            kept.get(board.entity),
            cuts.get(board.entity),
            last.get(board.entity),
            tuple(finding for finding in assessment.findings if finding.board == board.entity),
            safe_rates.get(board.lot_entity or ""),
        )
        for board in assessment.boards
    )
    units = [line.unit for line in lines]
    unit = max(set(units), key=units.count) if units else WeightUnit.G
    unloaded_at = record.particulars.unloaded_at
    if unloaded_at is None or unloaded_at > at:
        return RoundSheet(at, begun_at, lines, unit, before)
    lines = tuple(replace(line, expected_low_g=None, expected_high_g=None) for line in lines)
    return RoundSheet(at, begun_at, lines, unit, before, unloaded_at)


def weighing_in_round(
    record: ChargeRecord, reference: Reference, board: str, at: Moment
) -> Entry[Weighing] | None:
    """The weight that a board (by entity) already has in the round of ``at``: another would overrule it.

    None where the board was cut or broken since: what is weighed then is another piece of wood.
    """
    weighings = sorted(current_entries(record.weighing), key=lambda entry: entry.at)
    in_round = _round_of(weighings, at, reference.limit("round_gap_h"))
    kept = next((entry for entry in reversed(in_round) if entry.fact.board == board), None)
    if kept is not None and any(cut.fact.board == board and kept.at <= cut.at <= at for cut in _cuts(record)):
        return None
    return kept


def _round_of(weighings: list[Entry[Weighing]], at: Moment, gap_h: float) -> list[Entry[Weighing]]:
    """The weighings in the round of ``at``; ``weighings`` are in order of time."""
    rounds: list[list[Entry[Weighing]]] = []
    for entry in weighings:
        if rounds and entry.at.hours_since(rounds[-1][-1].at) < gap_h:
            rounds[-1].append(entry)
        else:
            rounds.append([entry])
    begun_before = [one for one in rounds if one[0].at <= at and at.hours_since(one[-1].at) < gap_h]
    about_to = [one for one in rounds if one[0].at > at and one[0].at.hours_since(at) < gap_h]
    return (begun_before or about_to or [[]])[-1 if begun_before else 0]


def last_weights(record: ChargeRecord, before: Moment) -> dict[str, tuple[Moment, Weight]]:
    """What the scale last showed for each board before a moment: after a cut or a break, what remained."""
    last: dict[str, tuple[Moment, Weight]] = {}
    for board, at, weight in _scale_readings(record):
        if at < before and (board not in last or at >= last[board][0]):
            last[board] = (at, weight)
    return last


def _scale_readings(record: ChargeRecord) -> Iterator[tuple[str, Moment, Weight]]:
    for board in current_entries(record.board):
        yield board.entity, board.at, board.fact.start_weight
    for weighing in current_entries(record.weighing):
        yield weighing.fact.board, weighing.at, weighing.fact.weight
    for cut in _cuts(record):
        yield cut.fact.board, cut.at, cut.fact.weight_after


def _cuts(record: ChargeRecord) -> Iterator[Entry[Recut | Breakage]]:
    """Recuts and breaks: both leave a lighter board."""
    yield from current_entries(record.recut)
    yield from current_entries(record.breakage)


def _line(
    board: BoardFigures,
    before: BoardFigures | None,
    kept: Entry[Weighing] | None,
    cut: Entry[Recut | Breakage] | None,
    last: tuple[Moment, Weight] | None,
    findings: tuple[Finding, ...],
    safe_rate_pct_per_day: float | None,
) -> RoundLine:
    point = _point_of(board, kept or cut)
    if board.state is BoardState.WITHDRAWN:
        state = LineState.WITHDRAWN  # also where it was weighed in this round before it was taken out
    elif kept is not None:
        state = LineState.KEPT
    elif board.state is BoardState.OUT:
        state = LineState.OUT
    else:
        state = LineState.WAITING if cut is None else LineState.CUT
    return RoundLine(
        entity=board.entity,
        board=board.board,
        place=board.fact.position or "",
        state=state,
        feeds_control=board.feeds_control,
        last=last[1] if last else None,
        last_at=last[0] if last else None,
        expected_low_g=before.expected_low_g if before else None,
        expected_high_g=before.expected_high_g if before else None,
        kept=kept,
        cut=cut.fact.weight_after if cut is not None and kept is None else None,
        mc_pct=point.mc_pct if point else None,
        rate_pct_per_day=_told_rate(board, point),
        mc_uncertainty_pct=point.mc_uncertainty_pct if point else None,
        findings=findings,
        safe_rate_pct_per_day=safe_rate_pct_per_day,
        unit=last[1].unit if last else board.fact.start_weight.unit,
        cut_after=kept is not None and cut is not None and cut.at >= kept.at,
        has_sections=board.has_sections or board.oven_dry_weight_g is not None,
    )


def _point_of(board: BoardFigures, written: Entry[Weighing | Recut | Breakage] | None) -> Point | None:
    if written is None:
        return None
    return next((point for point in reversed(board.points) if point.entity == written.entity), None)


def _told_rate(board: BoardFigures, point: Point | None) -> float | None:
    """Its rate [% a day]; None where it is of minutes only, in which a step of the scale looks much."""
    if point is None:
        return None
    number = next(place for place, one in enumerate(board.points) if one is point)
    before = board.points[number - 1] if number else None
    if before is not None and point.at.hours_since(before.at) < RATE_FROM_H:
        return None
    return point.rate_pct_per_day
