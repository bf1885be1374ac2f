"""A stay of a charge in a kiln, where it moves between kilns."""

from dataclasses import dataclass

from kilnlog.records.moment import Moment
from kilnlog.records.references import ChargeRef, KilnRef


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay; it began when the entry says it was observed."""

    charge: ChargeRef
    kiln: KilnRef
    out_at: Moment | None = None
