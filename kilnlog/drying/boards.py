"""One sample board: what its sections, basis and weights say of it at the moment of the assessment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kilnlog.drying.bases import Chain
from kilnlog.drying.facts_at import BoardFacts, FactsAt
from kilnlog.drying.figures import BoardFigures, BoardState, Point, PointKind, SectionFigures
from kilnlog.drying.moisture_content import mc_per_weight_pct, water_to_lose_g, weight_at_mc_g
from kilnlog.drying.rounds import Round
from kilnlog.drying.standing import Lots
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment


@dataclass(frozen=True, slots=True)
class WorkedBoard:
    """A board half worked out: its facts with its sections, pieces and points."""

    facts: BoardFacts
    sections: tuple[SectionFigures, ...]
    chain: Chain
    points: tuple[Point, ...]
    division_g: float


def board_figures(
    board: WorkedBoard, facts: FactsAt, lots: Lots, governing: frozenset[str] | None, round_: Round | None
) -> BoardFigures:
    """The figures of one board.

    Args:
        board: The board half worked out.
        facts: Its charge.
        lots: The lots of the charge.
        governing: The lots that govern; None where all boards do.
        round_: The last round a board can have missed.
    """
    fact = board.facts.seen.fact
    lot = next((now for line, now in lots.lines if line.entity == fact.lot), None)
    piece = board.chain.last
    dry_g = piece.dry_g
    last = board.points[-1]
    known = next((point for point in reversed(board.points) if point.mc_pct is not None), None)
    mc_pct = None if known is None else known.mc_pct
    state = _state(board, lots.left_at(fact.lot), facts.at)
    usable = state is BoardState.IN_USE
    target_pct = target_of(lot, facts)
    # Just after a cut the board weighs what the cut left of it.
    cut = (
        board.chain.cuts[-1] if board.chain.cuts and last.kind in (PointKind.RECUT, PointKind.BREAK) else None
    )
    return BoardFigures(
        entity=board.facts.entity,
        board=fact.board,
        lot=None if lot is None else lot.lot,
        lot_entity=None if lot is None else fact.lot,
        fact=fact,
        cut_at=board.facts.seen.at,
        state=state,
        usable=usable,
        governs=usable and (governing is None or fact.lot in governing),
        feeds_control=False,  # known once the control is: it compares the boards
        sections=board.sections,
        start_mc_pct=board.chain.start_mc_pct,
        bases=board.chain.bases(),
        points=board.points,
        oven_dry_weight_g=dry_g,
        weight_g=last.weight_g if cut is None else cut.after_g,
        weight_at=last.at,
        weight_at_target_g=(
            weight_at_mc_g(dry_g, target_pct) + piece.coats_g
            if dry_g is not None and target_pct is not None
            else None
        ),
        water_to_lose_g=(
            water_to_lose_g(dry_g, mc_pct, target_pct)
            if dry_g is not None and mc_pct is not None and target_pct is not None
            else None
        ),
        target_mc_pct=target_pct,
        expected_low_g=None,  # judged from the figures themselves
        expected_high_g=None,
        mc_pct=mc_pct,
        mc_uncertainty_pct=None if known is None else known.mc_uncertainty_pct,
        rate_pct_per_day=None if known is None else known.rate_pct_per_day,
        loss_since_last_pct=_loss(board.points),
        mc_per_division_pct=None if not dry_g else mc_per_weight_pct(board.division_g, dry_g),
        scale_division_g=board.division_g,
        carried=usable and round_ is not None and last.at < round_.at,
        since=None if known is None else known.at,
        withdrawn_at=board.facts.withdrawn_at,
    )


def target_of(lot: Lot | None, facts: FactsAt) -> float | None:
    """The target MC of a lot's boards: its own, else the charge's [%]."""
    own = None if lot is None else lot.target_mc_pct
    return facts.charge.target_mc_pct if own is None else own


def _state(board: WorkedBoard, left_at: Moment | None, at: Moment) -> BoardState:
    if board.facts.withdrawn_at is not None:
        return BoardState.WITHDRAWN
    if left_at is not None and left_at <= at:
        return BoardState.OUT
    return BoardState.DRYING_OVEN if board.chain.last.dry_g is None else BoardState.IN_USE


def _loss(points: Sequence[Point]) -> float | None:
    """Points of MC lost since the point of an earlier moment."""
    known = ((point.at, point.mc_pct) for point in reversed(points) if point.mc_pct is not None)
    last_at, last_mc_pct = next(known, (None, 0.0))
    if last_at is None:
        return None
    return next((mc_pct - last_mc_pct for at, mc_pct in known if at < last_at), None)
