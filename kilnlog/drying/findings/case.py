"""What a check may look at, and the one shape of a check."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kilnlog.drying.boards import WorkedBoard
from kilnlog.drying.constant_weight import ConstantWeightRule
from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import AirFigures, Assessment, BoardFigures, ChargeState, LotFigures
from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.drying.rounds import Round
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference

if TYPE_CHECKING:
    from kilnlog.drying.air_now import AirNow

CHARGE = "charge"
COMMON_PRACTICE = "common practice, no source"
#: The air a check judges is the mean of so long up to the last reading [h]: a cycle of the kiln's control.
RECENT_H = 2.0


@dataclass(frozen=True, slots=True)
class Case:
    """A charge worked out but for its findings."""

    assessment: Assessment
    facts: FactsAt
    worked: tuple[WorkedBoard, ...]  # alongside ``assessment.boards``
    latest_round: Round | None  # the last that a board can have missed
    rule: ConstantWeightRule
    reference: Reference
    air: AirNow | None = None  # None where nobody read it
    kiln: Kiln | None = None

    def boards(self) -> Iterator[tuple[BoardFigures, WorkedBoard]]:
        """Every board with what its figures were worked out from."""
        return zip(self.assessment.boards, self.worked, strict=True)

    @property
    def is_running(self) -> bool:
        """Whether anything can still be done at the kiln."""
        return self.assessment.state in (ChargeState.PLANNED, ChargeState.DRYING)

    @property
    def fresh_air(self) -> AirFigures | None:
        """The kiln's air, where it was read lately."""
        return self.assessment.air if self.air is not None and self.air.is_fresh else None

    @property
    def own_schedule(self) -> str:
        """The charge's schedule as a source: its name says so where it was filled in from the handbook."""
        return f"the schedule “{self.facts.charge.schedule}” of this charge"

    def lot_of(self, board: BoardFigures) -> LotFigures | None:
        """The lot a board stands for."""
        return next((lot for lot in self.assessment.lots if lot.entity == board.lot_entity), None)

    def source(self, limit: str) -> str:
        """Where a practice limit is from."""
        return self.reference.practice[limit].source


Check = Callable[[Case], Iterable[Finding]]


def on_board(
    board: BoardFigures,
    code: str,
    severity: Severity,
    values: Mapping[str, Value],
    *,
    source: str | None,
    since: Moment | None,
) -> Finding:
    """A finding about one board."""
    return Finding(
        code=code,
        severity=severity,
        subject=f"board {board.board}",
        values={"board": board.board, **values},
        source=source,
        since=since,
        board=board.entity,
        lot=board.lot_entity,
    )


def subject_of_lot(label: str) -> str:
    """How a finding names a lot."""
    return f"lot {label}"
