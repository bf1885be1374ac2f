"""What the operator says of a heading of the close-out that nothing was written under."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef, LotRef
from kilnlog.records.words import AnswerKind, CloseOutStep


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """Left out with a reason, or looked at and none found; of one lot, or of the whole charge."""

    charge: ChargeRef
    step: CloseOutStep
    answer: AnswerKind
    lot: LotRef | None = None
    note: str | None = None  # why it was left out
