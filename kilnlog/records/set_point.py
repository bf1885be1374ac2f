"""What a kiln was set to keep; not what its air was."""

from dataclasses import dataclass

from kilnlog.records.air_terms import check_air
from kilnlog.records.references import ChargeRef
from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class SetPoint:
    """One setting of the kiln, kept from the moment the entry says it was observed until the next.

    Raises:
        MissingValue: Nothing was set, or a temperature has no unit.
        WetAboveDry: The wet bulb is above the dry bulb.
    """

    charge: ChargeRef
    dry_bulb: float | None = None  # [temperature_unit]
    wet_bulb: float | None = None  # [temperature_unit]
    depression: float | None = None  # a difference [temperature_unit]
    rh_pct: float | None = None
    temperature_unit: TemperatureUnit | None = None

    def __post_init__(self) -> None:
        check_air(self.dry_bulb, self.wet_bulb, self.depression, self.rh_pct, self.temperature_unit)
