"""A sample board on the scale, once."""

from dataclasses import dataclass

from kilnlog.records.references import BoardRef, ChargeRef
from kilnlog.records.weight import Weight


@dataclass(frozen=True, slots=True)
class Weighing:
    """One weighing, at the moment the entry says it was observed. Never edited: a correction succeeds it."""

    charge: ChargeRef
    board: BoardRef
    weight: Weight
    entered_late_from: str | None = None  # what it was copied from: "sheet"
    typed_first: str | None = None  # what was typed where the likely truth was taken instead
