"""What a check may look at, and the one shape of a check."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from kilnlog.drying.boards import WorkedBoard
from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import Assessment, BoardFigures, LotFigures
from kilnlog.drying.finding import Finding
from kilnlog.drying.rounds import Round
from kilnlog.drying.standing import Lots
from kilnlog.reference.tables import Reference

CHARGE = "charge"


@dataclass(frozen=True, slots=True)
class Case:
    """A charge worked out but for its findings."""

    assessment: Assessment
    facts: FactsAt
    worked: tuple[WorkedBoard, ...]  # alongside ``assessment.boards``
    lots: Lots
    latest_round: Round | None
    reference: Reference

    def boards(self) -> Iterator[tuple[BoardFigures, WorkedBoard]]:
        """Every board with what its figures were worked out from."""
        return zip(self.assessment.boards, self.worked, strict=True)

    def lot_of(self, board: BoardFigures) -> LotFigures | None:
        """The lot a board stands for."""
        return next((lot for lot in self.assessment.lots if lot.entity == board.lot_entity), None)

    def source(self, limit: str) -> str:
        """Where a practice limit is from."""
        return self.reference.practice[limit].source


Check = Callable[[Case], Iterable[Finding]]


def subject_of_board(label: str) -> str:
    """How a finding names a board."""
    return f"board {label}"


def subject_of_lot(label: str) -> str:
    """How a finding names a lot."""
    return f"lot {label}"
