"""What the operator says of a heading of the close-out that nothing was written under."""

from dataclasses import dataclass

from kilnlog.records.errors import MissingValue
from kilnlog.records.references import ChargeRef, LotRef
from kilnlog.records.words import AnswerKind, CloseOutStep


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """Left out with a reason, or looked at and none found; of one lot, or of the whole charge.

    Raises ``MissingValue`` where something was left out and nothing says why.
    """

    charge: ChargeRef
    step: CloseOutStep
    answer: AnswerKind
    lot: LotRef | None = None
    note: str | None = None  # why it was left out

    def __post_init__(self) -> None:
        if self.answer is AnswerKind.LEFT_OUT and not (self.note or "").strip():
            raise MissingValue(column="note")
