"""Checks of weights nobody was asked about: those a file brought, or a later correction left odd."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from statistics import median

from kilnlog.drying.damping import was_damped
from kilnlog.drying.facts_at import in_order
from kilnlog.drying.figures import BoardFigures, ChargeState, Point, PointKind
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import Case, on_board
from kilnlog.drying.net_line import net_line

#: A loss a day up to so many times the board's own before it, or that of the others, is nothing odd.
_NOT_ODD = 1.5
#: From so many others on, they show whether the kiln ran faster.
_OTHERS = 2


def weight_dropped(case: Case) -> Iterator[Finding]:
    """A board that lost far more since its last weight than by its own pace, and not the others with it."""
    if case.assessment.state is not ChargeState.DRYING or case.latest_round is None:
        return
    begun_at = case.latest_round.at
    found = next(found for found in reversed(case.assessment.rounds) if found.at == begun_at)
    for board, _ in case.boards():
        last = board.points[-1]
        if not board.usable or last.kind is not PointKind.WEIGHING or last.at < begun_at:
            continue
        others = [rate for label, rate in found.rate_pct_per_day.items() if label != board.board]
        if not _is_fast(board.points, others):
            continue
        line = net_line(case.facts.record, board, last.at, case.assessment.loaded_at, without=last.entity)
        expected = line.expected()
        if expected is None or line.last is None or last.net_weight_g >= expected.asked_below_g:
            continue
        before_at, before_g = line.last_read_at or line.last[0], line.last[1]
        loss_g = before_g - last.net_weight_g
        yield on_board(
            board,
            "weight-dropped",
            Severity.LOOK,
            {
                "loss_g": loss_g,
                "loss_pct": 100 * loss_g / (board.oven_dry_weight_g or loss_g),
                "mc_pct": board.mc_pct,
                "before_at": before_at,
                "expected_low_g": expected.low_g + line.coat_g,
                "expected_high_g": expected.high_g + line.coat_g,
                "division_g": line.division_g,
            },
            source="its own weights before",
            since=last.at,
        )


def _is_fast(points: tuple[Point, ...], others: list[float]) -> bool:
    """Whether the last rate stands out from the board's rate before it and from those of the others."""
    rate = points[-1].rate_pct_per_day
    if rate is None or rate <= 0:
        return False
    before = points[-2].rate_pct_per_day if len(points) > 1 else None
    if before is not None and rate <= _NOT_ODD * before:
        return False
    return len(others) < _OTHERS or rate > _NOT_ODD * median(others)


def weights_misfit(case: Case) -> Iterator[Finding]:
    """Two earlier weights with a gain between them too large for anything but a misreading."""
    least_pct = case.reference.limit("slip_worth_mc_pct")
    loaded_at = case.assessment.loaded_at
    if not case.is_running or loaded_at is None:
        return
    for board, _ in case.boards():
        for before, after in reversed(_gains(board, least_pct)):
            if after.at <= loaded_at or was_damped(case.facts.events, before.at, after.at):
                continue
            gain_pct = (after.mc_pct or 0.0) - (before.mc_pct or 0.0)
            yield on_board(
                board,
                "weights-misfit",
                Severity.LOOK,
                {
                    "gain_pct": gain_pct,
                    "gain_g": gain_pct * (after.oven_dry_weight_g or 0.0) / 100,
                    "before_at": before.at,
                    "after_at": after.at,
                },
                source=case.source("slip_worth_mc_pct"),
                since=after.at,
            )
            break  # one is enough to send somebody to the sheet


def _gains(board: BoardFigures, least_pct: float) -> list[tuple[Point, Point]]:
    """Neighbouring points, the last one left out, that the MC rises between by more than that and noise."""
    found: list[tuple[Point, Point]] = []
    known = [point for point in board.points[:-1] if point.mc_pct is not None]
    least_pct = max(least_pct, 2 * (board.mc_per_division_pct or 0.0))
    for before, after in pairwise(known):
        if (after.mc_pct or 0.0) - (before.mc_pct or 0.0) > least_pct and board.usable:
            found.append((before, after))
    return found


def weighed_before_cut(case: Case) -> Iterator[Finding]:
    """A board said to be weighed before it was cut, by a file or by a later correction: a date is wrong."""
    known = {board.entity for board in case.assessment.boards}
    boards = [(line.entity, line.current) for line in case.facts.record.board]
    earliest = {worked.facts.entity: worked.facts.weighings[:1] for _, worked in case.boards()}
    if any(entity not in known for entity, current in boards if current is not None):
        # Not cut yet, so nothing is worked out for it: only its weighings tell that it is there.
        for seen in reversed(in_order(case.facts.record.weighing, case.assessment.at)):
            if seen.fact.board not in known:
                earliest[seen.fact.board] = (seen,)
    for entity, current in boards:
        first = next(iter(earliest.get(entity, ())), None)
        if current is None or first is None or first.at >= current.at:
            continue
        yield Finding(
            code="before-cut",
            severity=Severity.LOOK,
            subject=f"board {current.fact.board}",
            values={"at": first.at, "cut_at": current.at, "early_h": current.at.hours_since(first.at)},
            source="worked out: a board begins when it is cut",
            since=first.at,
            board=entity,
            lot=current.fact.lot,
        )
