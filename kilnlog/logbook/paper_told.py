"""One charge with everything that its papers tell of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kilnlog.drying.assessment import assess
from kilnlog.drying.facts_at import FactsAt, facts_at
from kilnlog.drying.figures import Assessment, BoardFigures
from kilnlog.logbook.charge_in_hand import LoggedAir, logged_air
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference

if TYPE_CHECKING:
    from kilnlog.drying.closing.probes import Probe


@dataclass(frozen=True)
class Told:
    """A charge as of a moment; ``lots`` are the entities of those told of, None the whole charge."""

    record: ChargeRecord
    assessment: Assessment
    facts: FactsAt
    air: LoggedAir
    probes: Sequence[Probe]
    reference: Reference
    lots: frozenset[str] | None = None

    @property
    def at(self) -> Moment:
        """The moment the papers tell of."""
        return self.assessment.at

    @property
    def boards(self) -> tuple[BoardFigures, ...]:
        """The boards told of, in walking order."""
        return tuple(board for board in self.assessment.boards if self.tells_of(board.lot_entity))

    def tells_of(self, lot: str | None) -> bool:
        """Whether a lot is told of; what is of no lot is the whole charge's."""
        return self.lots is None or lot in self.lots


def told_at(
    book: Logbook, record: ChargeRecord, reference: Reference, at: Moment, lots: frozenset[str] | None = None
) -> Told:
    """Everything the papers of a charge need, as of a moment."""
    from kilnlog.logbook.heat import probes_of  # noqa: PLC0415  # loads numpy

    air = logged_air(book, record, reference, at)
    assessment = assess(record, reference, at, air.digest)
    probes = probes_of(book, record, at)
    return Told(record, assessment, facts_at(record, at), air, probes, reference, lots)
