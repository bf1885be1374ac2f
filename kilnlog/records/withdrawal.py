"""A sample board taken out of the control figures."""

from dataclasses import dataclass

from kilnlog.records.references import BoardRef, ChargeRef


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """From the moment the entry says, the board feeds nothing; it stays on the curve."""

    charge: ChargeRef
    board: BoardRef
    reason: str | None = None
