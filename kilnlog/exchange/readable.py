"""What the readable sheets of a workbook show: assessments and findings in words, whole or for one owner."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.figures import Assessment, BoardFigures, LotFigures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment


@dataclass(frozen=True)
class ReadableFinding:
    """A finding in words, as the window shows it."""

    severity: str  # act, look, note
    subject: str
    what: str
    why: str
    do: str
    source: str | None
    board: str | None = None  # entity of the board it is about
    lot: str | None = None


@dataclass(frozen=True)
class ReadableCharge:
    """One charge to be read.

    ``lots`` holds the entities of the lots to show; None shows the whole charge. Where only some are shown,
    figures taken over the whole charge stay out: they would tell of other owners' lumber.
    """

    record: ChargeRecord
    assessment: Assessment
    findings: tuple[ReadableFinding, ...]
    lots: frozenset[str] | None = None

    @property
    def is_whole(self) -> bool:
        """Whether nothing of the charge is left out."""
        return self.lots is None

    @property
    def boards(self) -> tuple[BoardFigures, ...]:
        """The boards to show, in walking order."""
        boards = self.assessment.boards
        return boards if self.lots is None else tuple(b for b in boards if b.lot_entity in self.lots)

    @property
    def lot_figures(self) -> tuple[LotFigures, ...]:
        """The lots to show."""
        lots = self.assessment.lots
        return lots if self.lots is None else tuple(lot for lot in lots if lot.entity in self.lots)

    @property
    def shown_findings(self) -> tuple[ReadableFinding, ...]:
        """The findings to show."""
        if self.lots is None:
            return self.findings
        boards = {board.entity for board in self.boards}
        return tuple(
            finding for finding in self.findings if finding.board in boards or finding.lot in self.lots
        )

    @property
    def closed_at(self) -> Moment | None:
        """When the charge was closed."""
        closing = self.record.closing_of()
        return None if closing is None else closing.at
