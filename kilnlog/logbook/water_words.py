"""Water and venting of a charge: the figures, what was caught beside what left, and their working."""

from __future__ import annotations

from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.logbook import figures
from kilnlog.logbook.kiln_doubts import KG_PER_UNIT
from kilnlog.logbook.working_form import Working
from kilnlog.logbook.working_water import CHARGE_FIGURES, share_pct, venting_line
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.event import Event
from kilnlog.records.version import current_entries
from kilnlog.records.words import EventKind

CAUGHT_SOURCE = (
    "events written down; 1 lb = 0.45359237 kg and 1 US gal = 3.785411784 L by definition, water at 1 kg a "
    "litre; what leaves by vents and leaks is never caught"
)


def water_brief(assessment: Assessment) -> str:
    """``31 kg a day, exhaust 35 % of the time``; empty where nothing is known or nothing dries any more."""
    water, vent = assessment.water, assessment.venting
    if not _dries(assessment):
        return ""
    if water is None or water.leaving_kg_per_day is None:
        return ""
    a_day = f"{figures.number(water.leaving_kg_per_day, 0)} kg a day"
    if vent is None or vent.exhaust_share is None:
        return a_day
    if vent.exhaust_share > 1:
        return f"{a_day}, more than the exhaust moves"
    return f"{a_day}, exhaust {share_pct(vent.exhaust_share)} % of the time"


def water_lines(record: ChargeRecord, assessment: Assessment) -> tuple[str, ...]:
    """The figures in a line each; empty where none is known."""
    water, vent = assessment.water, assessment.venting
    caught = caught_kg(record)
    lines: list[str] = []
    if water is not None:
        dries = _dries(assessment)
        for kg, what in (
            (water.leaving_kg_per_day if dries else None, "kg a day leave the lumber now."),
            (water.left_kg, "kg have left it since it came."),
            (water.to_lose_kg if dries else None, "kg are still to go to the target."),
        ):
            if kg is not None:
                lines.append(f"{figures.number(kg, 0)} {what}")
    if caught is not None:
        left = None if water is None else water.left_kg
        beside = "" if left is None else f", beside {figures.number(left, 0)} kg that have left"
        lines.append(f"{figures.number(caught, 1)} kg of water were collected{beside}.")
    if vent is not None and _dries(assessment):
        lines.append(venting_line(vent))
        if vent.exhaust_share is None and vent.per_kg is not None:
            lines.append("How much air the exhaust moves is not written down: see the kiln.")
    return tuple(lines)


def _dries(assessment: Assessment) -> bool:
    """Whether water leaves by the kiln now: lumber that came out, or never went in, loses none by it."""
    return assessment.state is ChargeState.DRYING


def caught_kg(record: ChargeRecord) -> float | None:
    """Water collected, all of it [kg]; None where none was."""
    caught = _caught(record)
    return sum(_kg(event) for event in caught) if caught else None


def water_workings(record: ChargeRecord, assessment: Assessment) -> tuple[Working, ...]:
    """Each figure as the sum it came from."""
    made = (make(assessment) for make in CHARGE_FIGURES.values())
    known = [one for one in made if one is not None]
    if caught := _caught(record):
        known.append(_caught_working(caught, assessment))
    return tuple(known)


def _caught_working(caught: list[Event], assessment: Assessment) -> Working:
    lines = [
        f"{figures.trimmed(event.value)} {event.unit} = {figures.number(_kg(event), 2)} kg"
        for event in caught
        if event.unit != "kg"
    ]
    total_kg = sum(_kg(event) for event in caught)
    parts = " + ".join(figures.number(_kg(event), 2) for event in caught)
    lines.append(f"{parts} = {figures.number(total_kg, 1)} kg" if len(caught) > 1 else f"{parts} kg")
    left_kg = None if assessment.water is None else assessment.water.left_kg
    if left_kg is not None and left_kg > 0:
        share = figures.number(100 * total_kg / left_kg, 0)
        lines.append(f"{figures.number(total_kg, 1)} ÷ {figures.number(left_kg, 1)} × 100 = {share} % of it")
    return Working("Water collected", tuple(lines), CAUGHT_SOURCE)


def _caught(record: ChargeRecord) -> list[Event]:
    events = (entry.fact for entry in current_entries(record.event))
    return [one for one in events if one.kind is EventKind.WATER_COLLECTED and one.unit in KG_PER_UNIT]


def _kg(event: Event) -> float:
    return (event.value or 0.0) * KG_PER_UNIT[event.unit or ""]
