"""A section on the scale on its way to constant weight."""

from dataclasses import dataclass

from kilnlog.records.references import BoardRef, ChargeRef, SectionRef
from kilnlog.records.weight import Weight


@dataclass(frozen=True, slots=True)
class OvenWeighing:
    """One reading, at the moment the entry says it was observed."""

    charge: ChargeRef
    board: BoardRef
    section: SectionRef
    weight: Weight
