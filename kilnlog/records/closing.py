"""The closing of a charge: its last row, with the seal over what it showed."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef


@dataclass(frozen=True, slots=True)
class Closing:
    """A closed charge takes no further rows. The seal is worked out by the store as it closes."""

    charge: ChargeRef
    closing_reason: str | None = None
    ledger_number: int | None = None  # the last ledger row before this one
    ledger_head: str | None = None  # its chain hash, SHA-256 in hex
    sealed_text: str | None = None  # canonical JSON of the final figures
    program_version: str | None = None
