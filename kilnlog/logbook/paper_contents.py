"""What the papers of a charge are drawn from, put together from its record and what follows from it.

Sealed, it is the text of the seal; a paper of an open charge is drawn from what it would be now.
"""

from __future__ import annotations

from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.kiln_now import kiln_of
from kilnlog.exchange.papers.contents import FORM, AnswerPart, ChargePart, Contents, InstrumentPart
from kilnlog.exchange.papers.for_owner import without_names
from kilnlog.logbook import figures
from kilnlog.logbook.paper_air import air_part
from kilnlog.logbook.paper_boards import board_parts, control_points
from kilnlog.logbook.paper_heat import heat_part
from kilnlog.logbook.paper_history import decision_parts, event_parts, finding_parts, step_parts
from kilnlog.logbook.paper_lots import lot_parts
from kilnlog.logbook.paper_settings import MILL_NAME, MILL_PLACE
from kilnlog.logbook.paper_told import Told
from kilnlog.logbook.status import status
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.records.words import InstrumentKind

#: Whatever charge was weighed and dried with them; the others only where a reading names them.
_ALWAYS_USED = (InstrumentKind.SCALE, InstrumentKind.OVEN)


def contents_of(told: Told) -> Contents:
    """The contents as of ``told.at``, not sealed."""
    is_whole = told.lots is None
    contents: Contents = {
        "form": FORM,
        "ledger": None,
        "seal": None,
        "mill": mill_of(told.facts),
        "charge": _charge(told),
        "lots": lot_parts(told),
        "boards": board_parts(told),
        "control": control_points(told.assessment) if is_whole else [],
        "heat": heat_part(told),
        "instruments": _instruments(told),
        "steps": step_parts(told),
        "air": air_part(told),
        "events": event_parts(told),
        "findings": finding_parts(told),
        "decisions": decision_parts(told),
        "answers": _answers(told),
        "status": status(told.record, told.assessment) if is_whole else {},
    }
    if is_whole:
        return contents
    return without_names(contents, (entry.fact.owner for line in told.record.lot for entry in line.entries))


def mill_of(facts: FactsAt) -> dict[str, str]:
    """Who hands the papers out, as set in the logbook."""
    said = {"name": facts.setting(MILL_NAME), "place": facts.setting(MILL_PLACE)}
    return {name: value for name, value in said.items() if value}


def _charge(told: Told) -> ChargePart:
    charge, kiln = told.facts.charge, kiln_of(told.facts)
    return {
        "charge": charge.charge,
        "kiln": told.assessment.kiln,
        "heat": kiln.heat if kiln is not None else None,
        "air_control": kiln.air_control.value if kiln is not None and kiln.air_control is not None else None,
        "loaded_at": _iso(told.assessment.loaded_at),
        "unloaded_at": _iso(charge.unloaded_at),
        "days": told.assessment.days,
        "day_count": figures.day_number(told.assessment.loaded_at, told.assessment.days),
        "target_mc_pct": charge.target_mc_pct,
        "control_rule": charge.control_rule.value,
        "schedule": charge.schedule,
        "zone": charge.zone,
        "notes": charge.notes if told.lots is None else None,
    }


def _instruments(told: Told) -> list[InstrumentPart]:
    record = told.record
    named = {entry.fact.instrument for entry in current_entries(record.final_reading)}
    named |= {entry.fact.instrument for entry in current_entries(record.meter_check)}
    parts: list[InstrumentPart] = []
    for line in record.instrument:
        entry = line.at(told.at, particulars=True)
        if entry is None or (entry.fact.kind not in _ALWAYS_USED and entry.entity not in named):
            continue
        one = entry.fact
        division = None if one.division is None else figures.trimmed(one.division, 4)
        parts.append(
            {
                "instrument": one.instrument,
                "kind": one.kind.value,
                "division": None if division is None else f"{division} {one.unit or ''}".rstrip(),
                "checked_at": _iso(one.checked_at),
                "check_result": one.check_result,
            }
        )
    return parts


def _answers(told: Told) -> list[AnswerPart]:
    """What was said of the headings of the whole charge."""
    return [
        {"step": entry.fact.step.value, "answer": entry.fact.answer.value, "note": entry.fact.note}
        for entry in current_entries(told.record.step_answer)
        if entry.fact.lot is None
    ]


def _iso(moment: Moment | None) -> str | None:
    return None if moment is None else moment.iso()
