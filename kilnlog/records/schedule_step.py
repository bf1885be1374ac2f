"""A step of a drying schedule, in the terms it was written in."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kilnlog.records.errors import ImpossibleStep, KilnlogError, WetAboveDry
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


def contradiction(step: ScheduleStep) -> KilnlogError | None:
    """What in a step cannot be, its ``column`` among the values; None where nothing is wrong.

    Asked where a step is typed or read from a file. The record itself takes any step: logbooks that hold one
    kept before this was asked must still open.
    """
    dry, wet, depression = step.dry_bulb, step.wet_bulb, step.depression
    if dry is not None and wet is not None and wet > dry:
        unit = "" if step.temperature_unit is None else f"°{step.temperature_unit.value}"
        return WetAboveDry(column="wet_bulb", wet_bulb=wet, dry_bulb=dry, unit=unit)
    if dry is not None and depression is not None and depression > dry:
        return ImpossibleStep(why="depression", column="depression", depression=depression, dry_bulb=dry)
    from_pct, to_pct = step.from_mc_pct, step.to_mc_pct
    if from_pct is not None and to_pct is not None and to_pct > from_pct:
        return ImpossibleStep(why="to-above-from", column="to_mc_pct", from_mc_pct=from_pct, to_mc_pct=to_pct)
    return None


def not_falling(steps: Iterable[ScheduleStep]) -> Iterator[tuple[ScheduleStep, KilnlogError]]:
    """The steps of one schedule, in their order, that begin no drier than one before them."""
    before_pct: float | None = None
    for step in steps:
        if step.from_mc_pct is None:
            continue
        if before_pct is not None and step.from_mc_pct >= before_pct:
            yield (
                step,
                ImpossibleStep(
                    why="not-falling",
                    column="from_mc_pct",
                    from_mc_pct=step.from_mc_pct,
                    before_mc_pct=before_pct,
                ),
            )
        before_pct = step.from_mc_pct
