"""Final readings as they are typed: what is carried from line to line, and what is odd about one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from kilnlog.logbook import figures
from kilnlog.logbook.final_words import temperature_rule
from kilnlog.logbook.likely_reading import oven_doubts, reading_doubts
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError, MissingValue, OutOfRange
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.typed_temperature import temperature_from_text
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.version import current_entries
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit

PACK, PIECE, READING, WOOD, CORRECTION = "pack", "piece", "reading_pct", "wood_temperature", "correction"
WET, DRY = "wet_weight", "oven_dry_weight"

#: What the fields are called where one is refused.
NAMES: Mapping[str, str] = {
    PACK: "“Pack”",
    PIECE: "“Piece”",
    READING: "“Read”",
    WOOD: "“Wood”",
    CORRECTION: "“Temp. corr.”",
    WET: "“Wet”",
    DRY: "“Oven-dry”",
}

#: Between these a temperature is one of wood that is measured, in either unit.
COLDEST, WARMEST = -60.0, 250.0
#: No meter shows more [%].
MOST_SHOWN_PCT = 1000.0
#: No chart corrects by more [points of MC].
MOST_CORRECTED = 30.0

_COUNTS_UP = re.compile(r"(.*?)(\d+)")


@dataclass(frozen=True, slots=True)
class SeriesTerms:
    """What is the same for every reading of a series, set once and carried."""

    kind: ReadingKind = ReadingKind.PIN_METER
    instrument: str | None = None  # entity
    depth: str | None = None
    species_setting: str | None = None
    temperature_rule: TemperatureRule | None = None
    temperature_unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT
    calibration_temperature: float | None = None  # [temperature_unit]
    species_correction_pct: float | None = None


def carried_terms(
    record: ChargeRecord, lot: str, unit: TemperatureUnit, kind: ReadingKind | None = None
) -> SeriesTerms:
    """The terms of the last meter reading of the lot, else of the charge; of one kind where it is named.

    Setting and correction go by the species: from another lot they are not carried.
    """
    meters = [
        entry
        for entry in current_entries(record.final_reading)
        if entry.fact.kind is not ReadingKind.OVEN_DRY and kind in (None, entry.fact.kind)
    ]
    own = [entry for entry in meters if entry.fact.lot == lot]
    if own:
        return _terms(own[-1].fact, unit)
    blank = SeriesTerms(kind or ReadingKind.PIN_METER, temperature_unit=unit)
    if not meters:
        return blank
    last = _terms(meters[-1].fact, unit)
    return replace(last, species_setting=None, species_correction_pct=None)


def _terms(fact: FinalReading, unit: TemperatureUnit) -> SeriesTerms:
    return SeriesTerms(
        fact.kind,
        fact.instrument,
        fact.depth,
        fact.species_setting,
        fact.temperature_rule,
        fact.temperature_unit or unit,
        fact.calibration_temperature,
        fact.species_correction_pct,
    )


def next_line(record: ChargeRecord, lot: str, *, oven: bool) -> dict[str, str]:
    """What is proposed for the next line: the pack, the piece counted up, the wood's temperature."""
    last = [
        entry.fact
        for entry in current_entries(record.final_reading)
        if entry.fact.lot == lot and (entry.fact.kind is ReadingKind.OVEN_DRY) is oven
    ]
    if not last:
        return {PACK: "", PIECE: "1"} | ({} if oven else {WOOD: ""})
    fact = last[-1]
    line = {PACK: fact.pack or "", PIECE: counted_up(fact.piece)}
    if not oven:
        wood = fact.wood_temperature
        line[WOOD] = figures.trimmed(wood) if wood is not None else ""
    return line


def counted_up(piece: str | None) -> str:
    """The next piece's name: a number at its end is counted up; without one nothing is proposed.

    >>> counted_up("17"), counted_up("B9"), counted_up("top")
    ('18', 'B10', '')
    """
    found = _COUNTS_UP.fullmatch(piece or "")
    if found is None:
        return ""
    return f"{found[1]}{str(int(found[2]) + 1).zfill(len(found[2]))}"


def meter_reading(
    charge: str, lot: str, terms: SeriesTerms, typed: Mapping[str, str], decimal_mark: str
) -> FinalReading:
    """The fact a typed line makes.

    Args:
        charge: Entity.
        lot: Entity.
        terms: Of its series.
        typed: By ``PACK``, ``PIECE``, ``READING``, ``WOOD`` and ``CORRECTION``.
        decimal_mark: Of the machine.

    Raises:
        KilnlogError: its value ``field`` names the field that is meant.
    """
    reading = _number(typed, READING, decimal_mark, 0, MOST_SHOWN_PCT)
    if reading is None:
        raise _about(READING, MissingValue(column=NAMES[READING]))
    rule = terms.temperature_rule
    wood, unit = _wood(typed, terms.temperature_unit, decimal_mark)
    if wood is None and rule in (TemperatureRule.RULE_OF_THUMB, TemperatureRule.EQUATION):
        raise _about(WOOD, MissingValue(column=NAMES[WOOD]))
    correction = None
    if rule is TemperatureRule.TYPED:
        correction = _number(typed, CORRECTION, decimal_mark, -MOST_CORRECTED, MOST_CORRECTED)
        if correction is None:
            raise _about(CORRECTION, MissingValue(column=NAMES[CORRECTION]))
    calibration = terms.calibration_temperature if rule is TemperatureRule.RULE_OF_THUMB else None
    if unit is not terms.temperature_unit:
        calibration = None  # it was set in the other unit
    return FinalReading(
        charge,
        lot,
        terms.kind,
        typed.get(PACK) or None,
        typed.get(PIECE) or None,
        terms.instrument,
        terms.depth,
        terms.species_setting,
        reading,
        wood,
        calibration,
        unit if wood is not None or calibration is not None else None,
        rule,
        correction,
        terms.species_correction_pct,
    )


def oven_reading(
    charge: str, lot: str, typed: Mapping[str, str], unit: WeightUnit, decimal_mark: str
) -> FinalReading:
    """The same of an oven-dried piece, by ``PACK``, ``PIECE``, ``WET`` and ``DRY``."""
    weights = {}
    for column in (WET, DRY):
        if not typed.get(column):
            raise _about(column, MissingValue(column=NAMES[column]))
        try:
            weights[column] = weight_from_text(typed[column], unit, decimal_mark=decimal_mark)
        except KilnlogError as error:
            raise _about(column, error) from None
    return FinalReading(
        charge,
        lot,
        ReadingKind.OVEN_DRY,
        typed.get(PACK) or None,
        typed.get(PIECE) or None,
        wet_weight=weights[WET],
        oven_dry_weight=weights[DRY],
    )


def doubts(record: ChargeRecord, fact: FinalReading, most_pct: float, wettest_pct: float) -> tuple[str, ...]:
    """What is odd about a reading, in sentences; the same line entered once more is meant as it stands.

    Args:
        record: The charge.
        fact: The reading.
        most_pct: What a meter measures to [% MC].
        wettest_pct: What wood hardly ever goes beyond [% MC].
    """
    told = [*reading_doubts(fact, most_pct, wettest_pct), *oven_doubts(fact, most_pct, wettest_pct)]
    earlier = [
        entry.fact
        for entry in current_entries(record.final_reading)
        if entry.fact.lot == fact.lot
        and entry.fact.kind is fact.kind
        and fact.piece is not None
        and (entry.fact.pack, entry.fact.piece) == (fact.pack, fact.piece)
    ]
    if earlier:
        of_pack = f" of pack {fact.pack}" if fact.pack else ""
        told.append(
            f"Piece {fact.piece}{of_pack} was read before: there are fewer pieces than readings then."
        )
    return tuple(told)


def _about(field: str, error: KilnlogError) -> KilnlogError:
    """The error, naming the field it is about."""
    error.values["field"] = field
    return error


def _wood(
    typed: Mapping[str, str], unit: TemperatureUnit, decimal_mark: str
) -> tuple[float | None, TemperatureUnit]:
    text = typed.get(WOOD, "")
    if not text:
        return None, unit
    try:
        wood, named = temperature_from_text(text, decimal_mark=decimal_mark)
    except KilnlogError as error:
        raise _about(WOOD, error) from None
    if not COLDEST < wood <= WARMEST:
        raise _about(WOOD, OutOfRange(column=NAMES[WOOD], value=text, low=COLDEST, high=WARMEST))
    return wood, named or unit


def _number(
    typed: Mapping[str, str], column: str, decimal_mark: str, low: float, high: float
) -> float | None:
    text = typed.get(column, "")
    if not text:
        return None
    try:
        value = float(number_from_text(text, decimal_mark=decimal_mark, negative=low < 0))
    except KilnlogError as error:
        raise _about(column, error) from None
    if not low <= value <= high:
        raise _about(column, OutOfRange(column=NAMES[column], value=text, low=low, high=high))
    return value


def terms_words(terms: SeriesTerms, meters: Mapping[str, str]) -> str:
    """How a series is read, in one line; ``meters`` are names by entity."""
    parts = [
        meters.get(terms.instrument or "", terms.kind.value),
        terms.depth or "",
        f"set to {terms.species_setting}" if terms.species_setting else "",
        temperature_rule(terms.temperature_rule),
    ]
    if terms.calibration_temperature is not None and terms.temperature_rule is TemperatureRule.RULE_OF_THUMB:
        true_at = figures.trimmed(terms.calibration_temperature)
        parts.append(f"true at {true_at} °{terms.temperature_unit.value}")
    if terms.species_correction_pct is not None:
        parts.append(f"species {signed(terms.species_correction_pct)} from the meter's own chart")
    return "; ".join(part for part in parts if part)


def signed(points: float | None) -> str:
    """A correction with its sign: ``+ 0.4``; a dash where there is none."""
    if points is None:
        return figures.EMPTY
    shown = figures.number(abs(points), 1)
    if float(shown) == 0:
        return shown
    return f"{figures.MINUS if points < 0 else '+'} {shown}"
