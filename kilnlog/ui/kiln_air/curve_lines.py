"""The air of a charge laid out as what is drawn. No sums of its own: only what goes where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.lines import AirLine, hand_line
from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.air.reading import AirPoint, point_of
from kilnlog.drying.end_air import end_air
from kilnlog.drying.facts_at import FactsAt, facts_at, in_order
from kilnlog.drying.figures import Assessment
from kilnlog.drying.kiln_now import altitude_m, kiln_of
from kilnlog.drying.schedule import steps_of
from kilnlog.drying.step_terms import step_terms
from kilnlog.logbook.event_words import event_words
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.temperature import celsius, in_unit
from kilnlog.records.words import AirControl, EventKind, EventState, TemperatureUnit
from kilnlog.reference.tables import Reference

Reals = NDArray[np.float64]

#: A reading further than this from the hairline does not say what the air was there [h].
LOGGER_SAYS_H, HAND_SAYS_H = 2.0, 12.0
_TREATMENTS = (EventKind.EQUALIZING, EventKind.CONDITIONING)


@dataclass(frozen=True)
class SetSpan:
    """What the kiln was set to, for a stretch of time [UTC s]; None what was not set."""

    from_s: float
    to_s: float | None  # None: still
    dry_c: float | None
    wet_c: float | None
    rh_pct: float | None


@dataclass(frozen=True)
class ShownEvent:
    """Something that happened, in two or three words."""

    at_s: float
    words: str


@dataclass(frozen=True)
class AirRead:
    """The air at one instant."""

    at_s: float  # when it was read [UTC s]
    dry_c: float | None
    wet_c: float | None
    rh_pct: float | None
    emc_pct: float | None


@dataclass(frozen=True)
class ShownAir:
    """All that the air panel shows.

    Attributes:
        unit: What the kiln's thermometers show; the lines are in C.
        logger: The logged line that stands for the kiln's air.
        hand: What was read by hand beside it.
        sets: What the kiln was set to, in order of time.
        asked: What steps and treatments asked for, each until a setting was written down.
        events: In order of time.
        by_rh: The kiln is run by its humidity: that is drawn in place of the wet bulb.
    """

    unit: TemperatureUnit
    logger: AirLine | None
    hand: AirLine | None
    sets: tuple[SetSpan, ...]
    asked: tuple[SetSpan, ...]
    events: tuple[ShownEvent, ...]
    by_rh: bool

    @property
    def lines(self) -> tuple[AirLine, ...]:
        """What was read, the logger's first."""
        return tuple(line for line in (self.logger, self.hand) if line is not None)

    def read(self, at_s: float) -> AirRead | None:
        """The air at an instant [UTC s]; None where nobody read it near then."""
        for line, within_h in ((self.logger, LOGGER_SAYS_H), (self.hand, HAND_SAYS_H)):
            if line is None or any(hole.from_s < at_s < hole.until_s for hole in line.holes):
                continue  # nobody recorded it then
            number = line.nearest(at_s, within_h)
            if number is not None:
                columns = (line.dry_c, line.wet_c, line.rh_pct, line.emc_pct)
                values = (_known(float(column[number])) for column in columns)
                return AirRead(float(line.at_s[number]), *values)
        return None

    def shown(self, celsius_array: Reals) -> Reals:
        """Temperatures in the kiln's unit."""
        return np.asarray(in_unit(celsius_array, self.unit), dtype=np.float64)


def shown_air(
    record: ChargeRecord, assessment: Assessment, logged: Sequence[AirLine], reference: Reference
) -> ShownAir | None:
    """The air to draw for a charge; None where neither readings nor settings nor events are written down."""
    facts = facts_at(record, assessment.at)
    kiln = kiln_of(facts)
    pressure = pressure_pa(altitude_m(kiln))
    sensor = assessment.air.sensor if assessment.air is not None else None
    logger = _chosen(logged, sensor)
    readings = in_order(record.air_reading, assessment.at)
    points = [
        point_of(seen.fact, seen.at, pressure)
        for seen in readings
        if seen.fact.sensor in (None, sensor, logger.sensor if logger is not None else None)
    ]
    hand = hand_line(sensor, points, reference.limit("air_fresh_h")) if points else None
    events = tuple(ShownEvent(_seconds(seen.at), event_words(seen.fact)) for seen in facts.events)
    sets = _spans(
        (seen.at, point_of(seen.fact, seen.at, pressure), seen.fact.rh_pct)
        for seen in in_order(record.set_point, assessment.at)
    )
    if logger is None and hand is None and not sets and not events:
        return None
    asked = _until_set(_spans(_asked(facts, assessment, pressure, reference)), sets)
    by_humidity = [seen for seen in readings if seen.fact.rh_pct is not None]
    by_hand_rh = len(by_humidity) > len(readings) / 2
    by_rh = (
        not logger.has_wick
        if logger is not None
        else by_hand_rh or (kiln is not None and kiln.air_control is AirControl.HUMIDISTAT)
    )
    return ShownAir(assessment.temperature_unit, logger, hand, sets, asked, events, by_rh)


def _chosen(logged: Sequence[AirLine], sensor: str | None) -> AirLine | None:
    """The sensor that stands for the kiln's air; where that is read by hand, the first that is logged."""
    named = next((line for line in logged if line.sensor == sensor), None)
    return named or next(iter(logged), None)


def _spans(settings: Iterator[tuple[Moment, AirPoint, float | None]]) -> tuple[SetSpan, ...]:
    told = list(settings)
    ends: list[float | None] = [_seconds(at) for at, _, _ in told[1:]]
    return tuple(
        SetSpan(_seconds(at), end, point.dry_bulb_c, point.wet_bulb_c, rh_pct or point.rh_pct)
        for (at, point, rh_pct), end in zip(told, [*ends, None], strict=False)
    )


def _until_set(asked: Sequence[SetSpan], sets: Sequence[SetSpan]) -> tuple[SetSpan, ...]:
    """Each until the first setting from its beginning on: that is what the kiln was run by then."""
    told = []
    for span in asked:
        until = next((one.from_s for one in sets if one.from_s >= span.from_s), None)
        ends = [one for one in (span.to_s, until) if one is not None]
        if not ends or min(ends) > span.from_s:
            told.append(replace(span, to_s=min(ends, default=None)))
    return tuple(told)


def _asked(
    facts: FactsAt, assessment: Assessment, pressure: float, reference: Reference
) -> Iterator[tuple[Moment, AirPoint, float | None]]:
    """What the schedule's steps ask for, from when each was taken; before the first of them, step 1.

    While the charge is equalized or conditioned no step has a say; what is asked for then is known of the
    treatment that is on, and of none that is over.
    """
    by_number = {step.step: step for step in steps_of(facts)}
    loaded_at = assessment.loaded_at
    told: list[tuple[Moment, int | Event]] = [(seen.at, seen.fact.step) for seen in facts.steps_taken]
    if loaded_at is not None and (not told or told[0][0] > loaded_at):
        told.insert(0, (loaded_at, 1))
    told += [(seen.at, seen.fact) for seen in facts.events if seen.fact.kind in _TREATMENTS]
    on_now = end_air(facts, assessment, reference)
    now = on_now.as_step if on_now is not None and on_now.since is not None else None
    number: int | None = None
    treatment: EventKind | None = None
    for at, what in sorted(told, key=lambda one: one[0]):
        if isinstance(what, int):
            number = what
            if treatment is None:
                yield _air_of(at, by_number.get(number), pressure)
        elif what.state is EventState.END:
            treatment = None
            over = what.kind is EventKind.CONDITIONING or number is None
            yield _air_of(at, None if over else by_number.get(number or 0), pressure)
        elif what.kind is not treatment:
            treatment = what.kind
            is_on = on_now is not None and what.kind.value == on_now.phase.value
            yield _air_of(at, now if is_on else None, pressure)


def _air_of(at: Moment, step: ScheduleStep | None, pressure: float) -> tuple[Moment, AirPoint, float | None]:
    terms = step_terms(step, pressure) if step is not None else None
    if terms is None:
        return at, AirPoint(at, None), None
    dry_c, wet_c = celsius(terms.dry_bulb, terms.unit), celsius(terms.wet_bulb, terms.unit)
    return at, AirPoint(at, dry_c, wet_c, terms.rh_pct, terms.emc_pct), terms.rh_pct


def _seconds(moment: Moment) -> float:
    return moment.utc.timestamp()


def _known(value: float) -> float | None:
    return None if np.isnan(value) else value
