"""Whether a reading of the air, typed by hand, may be misread: asked about, never refused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.drying.air.reading import point_of
from kilnlog.drying.damping import was_damped
from kilnlog.drying.facts_at import FactsAt, facts_at, in_order
from kilnlog.drying.figures import Assessment
from kilnlog.drying.schedule import steps_of
from kilnlog.drying.step_terms import step_terms
from kilnlog.logbook import figures
from kilnlog.logbook.errors import DoubtfulAir
from kilnlog.logbook.kiln_air_words import temperature
from kilnlog.logbook.typed_air import Second, TypedAir
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
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
#: An EMC so far from that of the last reading and from what is set is asked about [MC points]. Common
#: practice, no source: a wick run dry, or a digit, does that; a kiln that was left alone does not.
FAR_EMC_POINTS = 4.0
#: A kiln so far below what it is set to heats up, and its EMC is on its way as well [C degrees].
HEATING_BELOW_C = 8.0
_AHEAD_H = 1 / 60


@dataclass(frozen=True)
class _Known:
    """A dry bulb [C], or an EMC [%], to compare with."""

    value: float
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
    if typed.which is Second.RH and typed.second is not None and 0 < typed.second <= 1:
        return DoubtfulAir(why="fraction", percent=round(100 * typed.second, 6), typed_figure=typed.second)
    facts = facts_at(record, at)
    if typed.dry_bulb is not None:
        known = tuple(_known_dry_bulbs(facts, assessment, now, reference, typed.unit))
        if (doubt := _doubt_dry_bulb(typed.dry_bulb, typed.unit, known)) is not None:
            return doubt
    if (doubt := _doubt_emc(typed, facts, assessment, now, reference)) is not None:
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
    nearest = min(known, key=lambda one: abs(one.value - as_typed))
    like_other = min(known, key=lambda one: abs(one.value - as_other))
    apart_c = abs(nearest.value - as_typed)
    if apart_c > OTHER_FAR_C and abs(like_other.value - as_other) <= OTHER_NEAR_C:
        in_kilns = in_unit(as_other, unit)
        return DoubtfulAir(why="other-unit", other_dry_bulb=in_kilns, beside=like_other.said, **told)
    between = min(one.value for one in known) <= as_typed <= max(one.value for one in known)
    if (
        apart_c > FAR_C and not between
    ):  # a kiln that heats up stands between what it was and what it is set to
        apart = difference_in_unit(apart_c, unit)
        return DoubtfulAir(why="far", apart_dry_bulb=apart, beside=nearest.said, **told)
    return None


def _doubt_emc(
    typed: TypedAir, facts: FactsAt, assessment: Assessment, now: Moment, reference: Reference
) -> DoubtfulAir | None:
    """Asked while it is known what is set, the kiln has come to it, and nobody damps the air on purpose."""
    emc_pct, fresh_h = typed.emc_pct, reference.limit("air_fresh_h")
    if emc_pct is None or typed.state is None or was_damped(facts.events, facts.at.plus_hours(-1), facts.at):
        return None
    set_c = _set_dry_bulb_c(facts)
    if set_c is None or float(typed.state.dry_bulb_c) < set_c - HEATING_BELOW_C:
        return None
    known = tuple(_known_emcs(facts, assessment, now, fresh_h, typed.state.pressure_pa))
    if not known or min(one.value for one in known) <= emc_pct <= max(one.value for one in known):
        return None
    nearest = min(known, key=lambda one: abs(one.value - emc_pct))
    apart = abs(nearest.value - emc_pct)
    if apart <= FAR_EMC_POINTS:
        return None
    return DoubtfulAir(why="far-emc", read_emc_pct=emc_pct, apart_points=apart, beside=nearest.said)


def _known_dry_bulbs(
    facts: FactsAt, assessment: Assessment, now: Moment, reference: Reference, unit: TemperatureUnit
) -> Iterator[_Known]:
    """What the kiln read last before that moment, and what it was set to."""
    read = [
        (seen.at, celsius(seen.fact.dry_bulb, seen.fact.temperature_unit))
        for seen in in_order(facts.record.air_reading, facts.at)
        if seen.fact.dry_bulb is not None and seen.fact.temperature_unit is not None
    ]
    air = assessment.air
    if air is not None and air.dry_bulb_c is not None and air.read_at <= facts.at:
        read.append((air.read_at, air.dry_bulb_c))
    read_at, dry_c = max(read, key=lambda one: one[0], default=(None, 0.0))
    if read_at is not None and facts.at.hours_since(read_at) <= reference.limit("air_fresh_h"):
        when = figures.day_and_time(read_at, now)
        yield _Known(dry_c, f"the last reading, {temperature(dry_c, unit)} {when}")
    if (set_c := _set_dry_bulb_c(facts)) is not None:
        yield _Known(set_c, f"what the kiln is set to, {temperature(set_c, unit)}")


def _known_emcs(
    facts: FactsAt, assessment: Assessment, now: Moment, fresh_h: float, pressure_pa: float
) -> Iterator[_Known]:
    """What the kiln was set to, and the EMC it was read at last before that moment; nothing if never set."""
    set_pct = _set_emc_pct(facts, pressure_pa)
    if set_pct is None:
        return  # then a setting that nobody wrote down would be asked about at every reading
    yield _Known(set_pct, f"what the kiln is set to, EMC {figures.number(set_pct, 1)} %")
    points = [
        point_of(seen.fact, seen.at, pressure_pa) for seen in in_order(facts.record.air_reading, facts.at)
    ]
    read = [(point.at, point.emc_pct) for point in points if point.emc_pct is not None]
    air = assessment.air
    if air is not None and air.emc_pct is not None and air.read_at <= facts.at:
        read.append((air.read_at, air.emc_pct))
    read_at, emc_pct = max(read, key=lambda one: one[0], default=(None, 0.0))
    if read_at is not None and facts.at.hours_since(read_at) <= fresh_h:
        said = f"EMC {figures.number(emc_pct, 1)} % {figures.day_and_time(read_at, now)}"
        yield _Known(emc_pct, f"the last reading, {said}")


def _set_dry_bulb_c(facts: FactsAt) -> float | None:
    """By the last set point, else by the step in force [C]."""
    for seen in reversed(in_order(facts.record.set_point, facts.at)):
        if seen.fact.dry_bulb is not None and seen.fact.temperature_unit is not None:
            return celsius(seen.fact.dry_bulb, seen.fact.temperature_unit)
    step = _step_in_force(facts)
    if step is None or step.dry_bulb is None or step.temperature_unit is None:
        return None
    return celsius(step.dry_bulb, step.temperature_unit)


def _set_emc_pct(facts: FactsAt, pressure_pa: float) -> float | None:
    """The same [%]."""
    settings = in_order(facts.record.set_point, facts.at)
    if settings:
        return point_of(settings[-1].fact, settings[-1].at, pressure_pa).emc_pct
    step = _step_in_force(facts)
    terms = None if step is None else step_terms(step, pressure_pa)
    return None if terms is None else terms.emc_pct


def _step_in_force(facts: FactsAt) -> ScheduleStep | None:
    steps = steps_of(facts)
    if not steps:
        return None
    taken = facts.steps_taken[-1].fact.step if facts.steps_taken else steps[0].step
    return next((step for step in steps if step.step == taken), None)
