"""Whether a setting of the kiln may harm wet wood: asked about before it is kept, never refused."""

from __future__ import annotations

from kilnlog.drying.assessment import assess
from kilnlog.drying.end_air import EndAir, end_air
from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.step_terms import step_terms
from kilnlog.drying.wet_wood import step_while_wet
from kilnlog.logbook.errors import DoubtfulAir
from kilnlog.logbook.typed_air import TypedAir
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.temperature import celsius, difference_in_unit, in_unit
from kilnlog.reference.tables import Reference


def set_doubt(record: ChargeRecord, typed: TypedAir, at: Moment, reference: Reference) -> DoubtfulAir | None:
    """What is set from ``at`` on, held against what is asked for by then: too hot, or too dry.

    That is the air of the end of the run while it is on, else that of the step, while the wood is wet.
    """
    assessment, facts = assess(record, reference, at), facts_at(record, at)
    if (doubt := _end_doubt(end_air(facts, assessment, reference), typed, reference)) is not None:
        return doubt
    step = step_while_wet(assessment, facts, reference)
    if step is None or step.dry_bulb is None or step.temperature_unit is None or typed.dry_bulb is None:
        return None
    state, unit = typed.state, typed.unit
    terms = None if state is None else step_terms(step, state.pressure_pa)
    told: dict[str, object] = {
        "unit": f"°{unit.value}",
        "step": step.step,
        "control_mc_pct": assessment.control.mc_pct,
    }
    if state is not None and terms is not None:
        step_c = celsius(terms.dry_bulb, terms.unit) - celsius(terms.wet_bulb, terms.unit)
        told["set_depression"] = difference_in_unit(float(state.depression_c), unit)
        told["step_depression"] = difference_in_unit(step_c, unit)
    allowed_c = celsius(step.dry_bulb, step.temperature_unit)
    if celsius(typed.dry_bulb, unit) > allowed_c + reference.limit("hot_by_c"):
        allowed = in_unit(allowed_c, unit)
        return DoubtfulAir(why="set-hot", set_dry_bulb=typed.dry_bulb, allowed_dry_bulb=allowed, **told)
    emc_pct = typed.emc_pct
    if terms is None or emc_pct is None:
        return None
    if emc_pct < terms.emc_pct - reference.limit("too_dry_by_points"):
        return DoubtfulAir(why="set-dry", set_emc_pct=emc_pct, step_emc_pct=terms.emc_pct, **told)
    return None


def _end_doubt(asked: EndAir | None, typed: TypedAir, reference: Reference) -> DoubtfulAir | None:
    """A setting in which the driest boards would go on drying, or stress would stay."""
    emc_pct = typed.emc_pct
    if asked is None or asked.since is None or emc_pct is None:
        return None
    if emc_pct >= asked.emc_pct - reference.limit("end_air_off_points"):
        return None
    return DoubtfulAir(
        why="set-end", set_emc_pct=emc_pct, phase=asked.phase.value, keep_emc_pct=asked.emc_pct
    )
