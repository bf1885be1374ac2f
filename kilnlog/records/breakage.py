"""A piece broken off a sample board."""

from dataclasses import dataclass

from kilnlog.records.references import BoardRef, ChargeRef
from kilnlog.records.weight import Weight


@dataclass(frozen=True, slots=True)
class Breakage:
    """Weights on both sides of a break, at the moment the entry says it was observed."""

    charge: ChargeRef
    board: BoardRef
    weight_before: Weight
    weight_after: Weight
    reason: str | None = None
