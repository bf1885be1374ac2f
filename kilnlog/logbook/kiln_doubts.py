"""Whether what is read or done at the kiln may be mistyped or come too early: asked about, never refused."""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.drying.assessment import assess
from kilnlog.drying.ended_early import run_begun_at, still_wet, usual_conditioning_h
from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.figures import Assessment
from kilnlog.drying.findings.meter import apart_points, board_at, corrected_pct
from kilnlog.logbook import figures
from kilnlog.logbook.errors import DoubtfulReading
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.event import Event
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.tables import Reference

#: What one of it weighs [kg]: the pound and the US gallon by their definitions, water at 1 kg a litre.
KG_PER_UNIT: Mapping[str, float] = {"kg": 1.0, "L": 1.0, "lb": 0.45359237, "gal": 3.785411784}


def meter_doubt(
    record: ChargeRecord, check: MeterCheck, at: Moment, reference: Reference
) -> DoubtfulReading | None:
    """Beyond what a meter shows or measures, or far from the board as far as it can be metered."""
    shown_pct = max(check.reading_pct, check.corrected_pct or 0.0)
    if shown_pct > (most_pct := reference.limit("meter_scale_pct")):
        return DoubtfulReading(why="meter-scale", reading_pct=shown_pct, limit_pct=most_pct)
    measured_pct = reference.limit("meter_most_pct")
    boards = assess(record, reference, at).boards
    board = next((one for one in boards if one.entity == check.board), None)
    told = None if board is None or not board.usable else board_at(board, at)
    if board is None or told is None:
        return _beyond_measure(shown_pct, measured_pct)
    mc_pct, uncertainty_pct = told
    meter_pct = corrected_pct(check, reference)
    is_dry = mc_pct <= measured_pct
    apart = abs(mc_pct - meter_pct) if is_dry else apart_points(mc_pct, meter_pct, measured_pct)
    if (not is_dry and meter_pct > measured_pct) or apart <= uncertainty_pct + reference.limit(
        "meter_limit_pct"
    ):
        return _beyond_measure(shown_pct, measured_pct)
    return DoubtfulReading(
        why="meter-far",
        reading_pct=check.reading_pct,
        corrected_pct=None if meter_pct == check.reading_pct else meter_pct,
        board=board.board,
        mc_pct=mc_pct,
        apart_points=abs(mc_pct - meter_pct),
    )


def _beyond_measure(shown_pct: float, measured_pct: float) -> DoubtfulReading | None:
    if shown_pct <= measured_pct:
        return None
    return DoubtfulReading(why="meter-beyond", reading_pct=shown_pct, limit_pct=measured_pct)


def water_doubt(record: ChargeRecord, assessment: Assessment, event: Event) -> DoubtfulReading | None:
    """More than the lumber had to lose when it came, with what was caught before."""
    water = assessment.water
    if event.kind is not EventKind.WATER_COLLECTED or event.value is None or water is None:
        return None
    if water.left_out or water.left_kg is None or water.to_lose_kg is None:
        return None
    events = (entry.fact for entry in current_entries(record.event))
    before_kg = sum(_kg(other) for other in events if other.kind is EventKind.WATER_COLLECTED)
    most_kg = water.left_kg + water.to_lose_kg
    if before_kg + _kg(event) <= most_kg:
        return None
    return DoubtfulReading(
        why="water",
        caught_kg=round(before_kg + _kg(event)),
        most_kg=round(most_kg),
        before_kg=before_kg or None,
    )


def phase_doubt(
    record: ChargeRecord, assessment: Assessment, event: Event, at: Moment, reference: Reference
) -> DoubtfulReading | None:
    """Equalizing or conditioning begun while it is on, or ended before its time; None where neither.

    ``record`` is without the event itself, where that is corrected.
    """
    kind, facts = event.kind, facts_at(record, assessment.at)
    if kind not in (EventKind.EQUALIZING, EventKind.CONDITIONING):
        return None
    entries = current_entries(record.event)
    begun_at = run_begun_at(entries, kind, at)
    is_end = event.state is EventState.END
    if not is_end and begun_at is not None:
        return DoubtfulReading(why="already-on", kind=kind.value, begun_at=begun_at)
    if (kind is EventKind.EQUALIZING) is is_end:  # conditioning that begins ends equalizing
        wet = still_wet(facts, assessment, at)
        return (
            None
            if wet is None
            else DoubtfulReading(
                why="still-wet",
                wettest_board=wet.board,
                wettest_compared_pct=wet.mc_pct,
                end_at_pct=wet.end_at_pct,
                rule=wet.end.rule.name,
            )
        )
    usual_h = usual_conditioning_h(facts, assessment, reference) if is_end else None
    if begun_at is None or usual_h is None or at.hours_since(begun_at) >= usual_h:
        return None
    return DoubtfulReading(
        why="conditioned-short", lasted=figures.duration(at.hours_since(begun_at)), usual_from_h=usual_h
    )


def _kg(event: Event) -> float:
    return (event.value or 0.0) * KG_PER_UNIT.get(event.unit or "", 0.0)
