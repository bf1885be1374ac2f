"""A schedule step the operator set on the kiln."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef


@dataclass(frozen=True, slots=True)
class StepTaken:
    """One step, taken at the moment the entry says it was observed."""

    charge: ChargeRef
    step: int
    reason: str | None = None
