"""How a lot's pieces are read, kept from the moment it is chosen: before any reading, and over a restart."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from kilnlog.logbook.final_readings import SeriesTerms, carried_terms
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.setting import TERMS_OF_LOT, Setting
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit


def terms_setting(lot: str, terms: SeriesTerms) -> Setting:
    """The setting that keeps the terms of a lot (its entity)."""
    said = {name: value for name, value in asdict(terms).items() if value is not None}
    return Setting(f"{TERMS_OF_LOT}{lot}", json.dumps(said, sort_keys=True, ensure_ascii=False))


def terms_in_force(record: ChargeRecord, lot: str, unit: TemperatureUnit) -> SeriesTerms:
    """As chosen for the lot; what was read, or corrected, since then goes before, and tells how."""
    kept = next(
        (one for one in current_entries(record.setting) if one.fact.setting == f"{TERMS_OF_LOT}{lot}"), None
    )
    terms = _read(kept) if kept is not None else None
    read = [
        one
        for one in current_entries(record.final_reading)
        if one.fact.lot == lot and one.fact.kind is not ReadingKind.OVEN_DRY
    ]
    if kept is None or terms is None:
        return carried_terms(record, lot, unit)
    if read and read[-1].version.entered_utc > kept.version.entered_utc:
        return carried_terms(record, lot, unit)
    return terms


def _read(entry: Entry[Setting]) -> SeriesTerms | None:
    """None where another version of the program, or a hand, wrote what cannot be read here."""
    try:
        said: Mapping[str, Any] = json.loads(entry.fact.value)
        rule = said.get("temperature_rule")
        return SeriesTerms(
            kind=ReadingKind(said["kind"]),
            instrument=said.get("instrument"),
            depth=said.get("depth"),
            species_setting=said.get("species_setting"),
            temperature_rule=TemperatureRule(rule) if rule is not None else None,
            temperature_unit=TemperatureUnit(said["temperature_unit"]),
            calibration_temperature=_number(said, "calibration_temperature"),
            species_correction_pct=_number(said, "species_correction_pct"),
        )
    except (ValueError, TypeError, KeyError, AttributeError):
        return None


def _number(said: Mapping[str, Any], name: str) -> float | None:
    return float(said[name]) if name in said else None
