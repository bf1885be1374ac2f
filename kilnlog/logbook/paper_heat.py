"""The heat interval as papers tell of it: the operator's own record of the operator's own probes."""

from __future__ import annotations

from datetime import UTC, datetime

from kilnlog.drying.closing.heat_interval import Stretch, heat_interval
from kilnlog.drying.closing.probes import until
from kilnlog.exchange.papers.contents import HeatPart, HeatRun
from kilnlog.logbook.heat_words import break_remarks, reading_remarks
from kilnlog.logbook.paper_told import Told
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries

_PLACES = {"core": "in the core of a piece", "air": "in the air"}


def heat_part(told: Told, out_at: Moment | None = None) -> HeatPart | None:
    """What the operator asked the probes for and what they showed; None where nothing was asked.

    Args:
        told: The charge.
        out_at: When a lot left: heat that came later did nothing to it.
    """
    # What to ask the probes for may be chosen after the moment told of: the readings are of their own time.
    chosen = sorted(current_entries(told.record.heat_choice), key=lambda entry: entry.at.utc)
    if not chosen:
        return None
    choice = chosen[-1].fact
    probes = told.probes if out_at is None else until(told.probes, out_at)
    found = heat_interval(probes, choice.at_least, choice.temperature_unit, choice.for_minutes)
    zone = told.record.particulars.zone
    return {
        "at_least": choice.at_least,
        "temperature_unit": choice.temperature_unit.value,
        "for_minutes": choice.for_minutes,
        "limits_from": choice.limits_from,
        "agency": choice.agency,
        "agreement": choice.agreement,
        "probes": [f"{probe.name}, {_PLACES[probe.placed_in.value]}" for probe in found.probes],
        "air_only": found.air_only,
        "sampling_minutes": found.sampling_minutes,
        "longest": None if found.longest is None else _run(found.longest, zone),
        "reached": found.reached,
        "runs": [_run(run, zone) for run in found.runs],
        "widest_minutes": found.widest_minutes,
        "remarks": reading_remarks(found),
        "breaks": break_remarks(found, zone),
    }


def _run(run: Stretch, zone: str) -> HeatRun:
    return {"begins": _iso(run.from_s, zone), "ends": _iso(run.until_s, zone), "minutes": run.minutes}


def _iso(at_s: float, zone: str) -> str:
    return Moment(datetime.fromtimestamp(at_s, UTC), zone).iso()
