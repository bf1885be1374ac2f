"""A dated remark written after a seal, which alters nothing under it."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef, LotRef


@dataclass(frozen=True, slots=True)
class LaterNote:
    """One remark on a closed charge, or on a lot that left early."""

    charge: ChargeRef
    text: str
    lot: LotRef | None = None
