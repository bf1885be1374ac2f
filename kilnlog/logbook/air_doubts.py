"""Whether a reading of the air, typed by hand, may be misread: asked about, never refused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.drying.facts_at import FactsAt, facts_at, in_order
from kilnlog.drying.figures import Assessment
from kilnlog.drying.schedule import steps_of
from kilnlog.logbook import figures
from kilnlog.logbook.errors import DoubtfulAir
from kilnlog.logbook.kiln_air_words import temperature
from kilnlog.logbook.typed_air import TypedAir
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius, difference_in_unit, in_unit
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.tables import Reference

#: A dry bulb so far outside what the kiln read lately, and what it is set to, is asked about [C degrees].
#: Common practice, no source.
FAR_C = 30.0
#: In the other unit it would lie so near to them, and as typed so far from them [C degrees].
OTHER_NEAR_C, OTHER_FAR_C = 8.0, 15.0
#: Hotter than nearly all kilns for hardwood go; without anything to compare with, it is asked about [C].
HOT_C = 95.0
_AHEAD_H = 1 / 60


@dataclass(frozen=True)
class _Known:
    """A dry bulb to compare with."""

    dry_bulb_c: float
    said: str


def air_doubt(
    record: ChargeRecord,
    assessment: Assessment,
    typed: TypedAir,
    at: Moment,
    now: Moment,
    reference: Reference,
) -> DoubtfulAir | None:
    """The most telling doubt about a reading observed at ``at``; None where it is as expected."""
    if at.hours_since(now) > _AHEAD_H:
        return DoubtfulAir(why="in-future", at=at)
    if typed.dry_bulb is not None:
        known = tuple(_known(facts_at(record, at), assessment, now, reference, typed.unit))
        if (doubt := _doubt_dry_bulb(typed.dry_bulb, typed.unit, known)) is not None:
            return doubt
    if typed.state is None:
        said = "A dry bulb" if typed.second is None else "One figure"
        return DoubtfulAir(why="one-figure", said=said)
    return None


def _doubt_dry_bulb(dry_bulb: float, unit: TemperatureUnit, known: tuple[_Known, ...]) -> DoubtfulAir | None:
    other = TemperatureUnit.CELSIUS if unit is TemperatureUnit.FAHRENHEIT else TemperatureUnit.FAHRENHEIT
    as_typed, as_other = celsius(dry_bulb, unit), celsius(dry_bulb, other)
    told = {"read_dry_bulb": dry_bulb, "unit": f"°{unit.value}", "other_unit": f"°{other.value}"}
    if not known:
        if unit is TemperatureUnit.CELSIUS and as_typed > HOT_C:
            return DoubtfulAir(why="hot", **told)
        return None
    nearest = min(known, key=lambda one: abs(one.dry_bulb_c - as_typed))
    like_other = min(known, key=lambda one: abs(one.dry_bulb_c - as_other))
    apart_c = abs(nearest.dry_bulb_c - as_typed)
    if apart_c > OTHER_FAR_C and abs(like_other.dry_bulb_c - as_other) <= OTHER_NEAR_C:
        in_kilns = in_unit(as_other, unit)
        return DoubtfulAir(why="other-unit", other_dry_bulb=in_kilns, beside=like_other.said, **told)
    between = min(one.dry_bulb_c for one in known) <= as_typed <= max(one.dry_bulb_c for one in known)
    if (
        apart_c > FAR_C and not between
    ):  # a kiln that heats up stands between what it was and what it is set to
        apart = difference_in_unit(apart_c, unit)
        return DoubtfulAir(why="far", apart_dry_bulb=apart, beside=nearest.said, **told)
    return None


def _known(
    facts: FactsAt, assessment: Assessment, now: Moment, reference: Reference, unit: TemperatureUnit
) -> Iterator[_Known]:
    """What the kiln read last before that moment, and what it was set to."""
    fresh_h = reference.limit("air_fresh_h")
    read = [
        (seen.at, celsius(seen.fact.dry_bulb, seen.fact.temperature_unit))
        for seen in in_order(facts.record.air_reading, facts.at)
        if seen.fact.dry_bulb is not None and seen.fact.temperature_unit is not None
    ]
    air = assessment.air
    if air is not None and air.dry_bulb_c is not None and air.read_at <= facts.at:
        read.append((air.read_at, air.dry_bulb_c))
    read_at, dry_c = max(read, key=lambda one: one[0], default=(None, 0.0))
    if read_at is not None and facts.at.hours_since(read_at) <= fresh_h:
        when = figures.day_and_time(read_at, now)
        yield _Known(dry_c, f"the last reading, {temperature(dry_c, unit)} {when}")
    if (set_c := _set_dry_bulb_c(facts)) is not None:
        yield _Known(set_c, f"what the kiln is set to, {temperature(set_c, unit)}")


def _set_dry_bulb_c(facts: FactsAt) -> float | None:
    """By the last set point, else by the step in force [C]."""
    for seen in reversed(in_order(facts.record.set_point, facts.at)):
        if seen.fact.dry_bulb is not None and seen.fact.temperature_unit is not None:
            return celsius(seen.fact.dry_bulb, seen.fact.temperature_unit)
    steps = steps_of(facts)
    if not steps:
        return None
    taken = facts.steps_taken[-1].fact.step if facts.steps_taken else steps[0].step
    step = next((step for step in steps if step.step == taken), None)
    if step is None or step.dry_bulb is None or step.temperature_unit is None:
        return None
    return celsius(step.dry_bulb, step.temperature_unit)
