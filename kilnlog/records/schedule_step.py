"""A step of a drying schedule, in the terms it was written in."""

from dataclasses import dataclass

from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class ScheduleStep:
    """One step. It begins when the control falls to ``from_mc_pct``, or ``from_hours`` after loading."""

    schedule: str
    step: int  # counted from 1, unique in the schedule
    from_mc_pct: float | None = None
    to_mc_pct: float | None = None
    from_hours: float | None = None
    dry_bulb: float | None = None  # [temperature_unit]
    wet_bulb: float | None = None  # [temperature_unit]
    depression: float | None = None  # a difference [temperature_unit]
    rh_pct: float | None = None
    emc_pct: float | None = None
    temperature_unit: TemperatureUnit | None = None
