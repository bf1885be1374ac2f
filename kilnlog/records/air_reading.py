"""The air of a kiln as read off by hand."""

from dataclasses import dataclass

from kilnlog.records.air_terms import check_air
from kilnlog.records.references import ChargeRef
from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class AirReading:
    """One reading, at the moment the entry says it was observed, in whatever terms the kiln has.

    Raises:
        MissingValue: Nothing was read, or a temperature has no unit.
        WetAboveDry: The wet bulb is above the dry bulb.
    """

    charge: ChargeRef
    sensor: str | None = None  # which of the kiln's sensors; None where there is one
    dry_bulb: float | None = None  # [temperature_unit]
    wet_bulb: float | None = None  # [temperature_unit]
    depression: float | None = None  # a difference [temperature_unit]
    rh_pct: float | None = None
    temperature_unit: TemperatureUnit | None = None

    def __post_init__(self) -> None:
        check_air(self.dry_bulb, self.wet_bulb, self.depression, self.rh_pct, self.temperature_unit)
