"""One lot: its own control figure, wettest, driest and mean, over its own usable boards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kilnlog.drying.boards import target_of
from kilnlog.drying.control import LabelledMC, control_of, driest_of, mean_of, wettest_of
from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import BoardFigures, LotFigures
from kilnlog.records.lot import Lot
from kilnlog.reference.tables import Reference

#: Where a limit typed with the lot is from.
OWN_LIMIT = "the limit typed for this lot"


def usable_mc(boards: Sequence[BoardFigures]) -> list[LabelledMC]:
    """Label and MC of every usable board, in walking order."""
    return [(board.board, board.mc_pct) for board in boards if board.usable and board.mc_pct is not None]


def lot_figures(boards: Sequence[BoardFigures], facts: FactsAt, reference: Reference) -> Iterator[LotFigures]:
    """The figures of each lot, in the order the lots were written."""
    for line, lot in facts.lots:
        own = [board for board in boards if board.lot_entity == line.entity]
        usable = usable_mc(own)
        limit, source = rate_limit(lot, reference)
        yield LotFigures(
            entity=line.entity,
            lot=lot.lot,
            fact=lot,
            is_out=lot.out_at is not None and lot.out_at <= facts.at,
            target_mc_pct=target_of(lot, facts),
            boards=tuple(board.board for board in own),
            control=control_of(facts.charge.control_rule, usable),
            wettest=wettest_of(usable),
            driest=driest_of(usable),
            mean_mc_pct=mean_of(usable),
            rate_limit_pct_per_day=limit,
            rate_limit_source=source,
        )


def rate_limit(lot: Lot, reference: Reference) -> tuple[float | None, str | None]:
    """The most a lot may lose [points of MC per day] and whose word that is."""
    if lot.safe_rate_pct_per_day is not None:
        return lot.safe_rate_pct_per_day, OWN_LIMIT
    if lot.species is None or lot.thickness is None:
        return None, None
    published = reference.safe_rate(lot.species, lot.thickness)
    return (None, None) if published is None else (published.max_pct_per_day, published.source)
