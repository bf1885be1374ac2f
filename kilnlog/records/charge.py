"""A charge: what was loaded into a kiln to be dried together."""

from dataclasses import dataclass

from kilnlog.records.moment import Moment
from kilnlog.records.references import KilnRef
from kilnlog.records.words import ControlRule


@dataclass(frozen=True, slots=True)
class Charge:
    """The particulars of a charge. Planned while ``loaded_at`` is None."""

    charge: str  # its number, unique in a logbook
    zone: str  # IANA name of the zone its times are told in
    kiln: KilnRef | None = None
    loaded_at: Moment | None = None
    target_mc_pct: float | None = None  # [% of oven-dry weight]
    control_rule: ControlRule = ControlRule.WETTEST_HALF
    schedule: str | None = None  # the name its schedule steps carry
    unloaded_at: Moment | None = None
    notes: str | None = None
