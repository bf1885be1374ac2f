"""A kiln, whatever heats it."""

from dataclasses import dataclass

from kilnlog.records.words import AirControl, TemperatureUnit, VolumeUnit


@dataclass(frozen=True, slots=True)
class Kiln:
    """A kiln as its owner describes it."""

    kiln: str  # its name, unique in a logbook
    heat: str | None = None
    air_control: AirControl | None = None
    capacity: float | None = None  # [capacity_unit], above 0
    capacity_unit: VolumeUnit | None = None
    altitude_m: float | None = None
    exhaust_m3_per_h: float | None = None  # the volume its exhaust moves while running, above 0
    entering_sensor: str | None = None  # the name of the sensor in the air that enters the load
    leaving_sensor: str | None = None  # the name of the sensor in the air that leaves it
    temperature_unit: TemperatureUnit | None = None  # what its thermometers show
