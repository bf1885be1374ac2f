"""Which boards count at a moment: cut, not withdrawn, their lot not out, in a lot that governs."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.facts_at import BoardFacts, FactsAt
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.version import History


@dataclass(frozen=True)
class Lots:
    """The lots of a charge as they stood at any moment up to the assessment's."""

    lines: tuple[tuple[History[Lot], Lot], ...]  # with what counts at the assessment's moment

    def left_at(self, entity: str | None) -> Moment | None:
        """When a lot left, by all that is known now."""
        for line, now in self.lines:
            if line.entity == entity:
                return now.out_at
        return None

    def governing(self, at: Moment) -> frozenset[str] | None:
        """The lots (entities) marked as governing at ``at``, of those not out; None where all govern."""
        marked = {
            line.entity
            for line, now in self.lines
            if not (now.out_at is not None and now.out_at <= at)
            and (counting := line.at(at, particulars=True)) is not None
            and counting.fact.governs
        }
        return frozenset(marked) or None


def counts_at(board: BoardFacts, left_at: Moment | None, at: Moment) -> bool:
    """Whether a board is in use at ``at``: cut, not withdrawn, its lot still there. It may lack a basis."""
    return (
        board.seen.at <= at
        and not (board.withdrawn_at is not None and board.withdrawn_at <= at)
        and not (left_at is not None and left_at <= at)
    )


def lots_of(facts: FactsAt) -> Lots:
    """The lots of the charge."""
    return Lots(facts.lots)
