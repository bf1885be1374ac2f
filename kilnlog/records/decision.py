"""What the operator decided about a finding, or a weight insisted on."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef


@dataclass(frozen=True, slots=True)
class Decision:
    """One decision, at the moment the entry says it was observed."""

    charge: ChargeRef
    code: str  # the finding's code
    subject: str | None = None  # what the finding was about: a board's label, a lot's label
    note: str | None = None
