"""The closing of a charge, or of a lot that leaves it early, with the seal over what it showed."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef, LotRef


@dataclass(frozen=True, slots=True)
class Closing:
    """What is closed takes no further rows but later notes, until it is reopened.

    A reopening is a change of the closing with ``reopened`` set and a reason; closing again is a change of
    that. So every seal stays in the chain of versions, as it was issued.
    """

    charge: ChargeRef
    closing_reason: str | None = None
    ledger_number: int | None = None  # the last ledger row before this one
    ledger_head: str | None = None  # its chain hash, SHA-256 in hex
    sealed_text: str | None = None  # canonical JSON of everything its papers show
    program_version: str | None = None
    lot: LotRef | None = None  # None: the whole charge
    reopened: bool = False
