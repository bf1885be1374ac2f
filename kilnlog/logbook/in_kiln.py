"""What of a charge's kiln matters to whoever reads or sets its air."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.assessment import assess
from kilnlog.drying.end_air import end_air
from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.kiln_now import altitude_m, kiln_of, temperature_unit
from kilnlog.drying.schedule import steps_of
from kilnlog.drying.step_terms import StepTerms, step_terms
from kilnlog.logbook import figures
from kilnlog.logbook.typed_air import Second, second_of, usual_second
from kilnlog.records.air_reading import AirReading
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.tables import Reference


@dataclass(frozen=True)
class InKiln:
    """The kiln a charge is in."""

    kiln: Kiln | None
    unit: TemperatureUnit  # what its thermometers show
    altitude_m: float
    pressure_pa: float
    second: Second  # what is read beside the dry bulb: as read last, else as its air is kept
    last: Entry[AirReading] | None  # the last reading by hand

    @property
    def sensors(self) -> tuple[str, ...]:
        """The sensors to choose from: only where two are named."""
        if self.kiln is None or not self.kiln.entering_sensor or not self.kiln.leaving_sensor:
            return ()
        return (self.kiln.entering_sensor, self.kiln.leaving_sensor)

    @property
    def sensor(self) -> str | None:
        """What a reading is of unless somebody says otherwise: the entering air, where its sensor has a name.

        So that it stands beside what a logger wrote of that air, and in for it where the logger fell silent.
        """
        return None if self.kiln is None else self.kiln.entering_sensor


@dataclass(frozen=True)
class AskedNow:
    """What is to be set on the kiln now, in the kiln's own unit."""

    whose: str  # "Step 3 of T4-D2", "Equalizing since today, 08:00", "Equalizing, which is due"
    terms: StepTerms

    def second(self, which: Second) -> float:
        """What it sets beside the dry bulb."""
        of = {Second.WET_BULB: self.terms.wet_bulb, Second.DEPRESSION: self.terms.depression}
        return of.get(which, self.terms.rh_pct)


def in_kiln(record: ChargeRecord | None, now: Moment) -> InKiln:
    """Look it up; without a charge, a kiln nobody described."""
    if record is None:
        return InKiln(None, TemperatureUnit.FAHRENHEIT, 0.0, pressure_pa(0), Second.WET_BULB, None)
    facts = facts_at(record, now)
    kiln = kiln_of(facts)
    readings = sorted(current_entries(record.air_reading), key=lambda entry: entry.at)
    told = (second_of(entry.fact) for entry in reversed(readings))
    last_told = next((which for which in told if which is not None), None)
    height_m = altitude_m(kiln)
    return InKiln(
        kiln=kiln,
        unit=temperature_unit(kiln, facts),
        altitude_m=height_m,
        pressure_pa=pressure_pa(height_m),
        second=last_told or usual_second(kiln.air_control if kiln is not None else None),
        last=readings[-1] if readings else None,
    )


def asked_now(record: ChargeRecord, now: Moment, kiln: InKiln, reference: Reference) -> AskedNow | None:
    """What the end of the run asks for, begun or due; else the step in force. None where neither tells it."""
    facts, assessment = facts_at(record, now), assess(record, reference, now)
    if (asked := end_air(facts, assessment, reference)) is not None and asked.as_step is not None:
        terms = step_terms(asked.as_step, kiln.pressure_pa)
        name = asked.phase.value.capitalize()
        begun = figures.day_and_time(asked.since, now) if asked.since is not None else ""
        whose = f"{name} since {begun}" if begun else f"{name}, which is due"
        return None if terms is None else AskedNow(whose, _in(terms, kiln.unit))
    if assessment.phase.is_treatment:
        return None  # the step's air is not what is asked for, whatever is
    schedule = assessment.schedule
    step = next((one for one in steps_of(facts) if schedule is not None and one.step == schedule.step), None)
    terms = None if step is None else step_terms(step, kiln.pressure_pa)
    if step is None or terms is None:
        return None
    return AskedNow(f"Step {step.step} of {step.schedule}", _in(terms, kiln.unit))


def _in(terms: StepTerms, unit: TemperatureUnit) -> StepTerms:
    if terms.unit is unit:
        return terms
    return StepTerms(
        dry_bulb=in_unit(celsius(terms.dry_bulb, terms.unit), unit),
        wet_bulb=in_unit(celsius(terms.wet_bulb, terms.unit), unit),
        depression=difference_in_unit(difference_c(terms.depression, terms.unit), unit),
        rh_pct=terms.rh_pct,
        emc_pct=terms.emc_pct,
        unit=unit,
    )
