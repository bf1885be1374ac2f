"""A board's sections in words and figures: as cut, and those cut with its recuts."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.figures import BoardFigures, SectionFigures
from kilnlog.drying.moisture_content import moisture_content_pct
from kilnlog.logbook import figures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.recut import Recut
from kilnlog.records.section import Section
from kilnlog.records.version import Entry, History, current_entries
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.words import OvenMethod


@dataclass(frozen=True, slots=True)
class SectionLine:
    """One section. ``oven_dry_worked_out``: found by the constant-weight rule, not typed."""

    entity: str
    table: str  # "section" or "recut"
    section: str
    wet: str
    oven_dry: str
    oven_dry_worked_out: bool
    mc: str
    dried: str  # "24 h at 103 °C", "in the oven"
    rejected_because: str  # empty where it counts
    in_oven: bool


def section_lines_of(record: ChargeRecord, board: BoardFigures, now: Moment) -> tuple[SectionLine, ...]:
    """The sections of a board, then those of its recuts; weights in grams unless typed in another unit."""
    lines = {line.entity: line for line in record.section}
    found = [_section(lines[one.entity], one) for one in board.sections]
    recuts = [entry for entry in current_entries(record.recut) if entry.fact.board == board.entity]
    return (*found, *(_recut(entry, now) for entry in sorted(recuts, key=lambda entry: entry.at)))


def _section(line: History[Section], section: SectionFigures) -> SectionLine:
    fact = line.newest.fact
    dry = fact.oven_dry_weight
    worked_out = dry is None and section.oven_dry_weight_g is not None
    small = figures.weight(section.oven_dry_weight_g, WeightUnit.G, 0.1)
    return SectionLine(
        entity=section.entity,
        table="section",
        section=section.section,
        wet=_typed(fact.wet_weight),
        oven_dry=_typed(dry) if dry is not None else small,
        oven_dry_worked_out=worked_out,
        mc=figures.mc(section.mc_pct),
        dried=_dried(line, section),
        rejected_because=section.rejected_because or "",
        in_oven=section.oven_dry_weight_g is None,
    )


def _recut(entry: Entry[Recut], now: Moment) -> SectionLine:
    fact = entry.fact
    dry = fact.section_oven_dry
    if dry is None:
        dried = "in the oven"
    elif fact.dried_at is not None:
        dried = figures.count(round(fact.dried_at.hours_since(entry.at)), "h", "h")
    else:
        dried = ""
    return SectionLine(
        entity=entry.entity,
        table="recut",
        section=f"recut {figures.day(entry.at, now)}",
        wet=_typed(fact.section_wet),
        oven_dry=_typed(dry) if dry is not None else figures.EMPTY,
        oven_dry_worked_out=False,
        mc=figures.mc(moisture_content_pct(fact.section_wet.g, dry.g)) if dry is not None else figures.EMPTY,
        dried=dried,
        rejected_because="",
        in_oven=dry is None,
    )


def _typed(weight: Weight) -> str:
    """As typed; with its unit where that is not the gram of the small balance."""
    written = figures.grouped(weight)
    named = any(letter.isalpha() for letter in written)
    return written if weight.unit is WeightUnit.G or named else f"{written} {weight.unit}"


def _dried(line: History[Section], section: SectionFigures) -> str:
    fact = line.newest.fact
    if section.oven_dry_weight_g is None:
        return "in the oven"
    hours = ""
    if fact.dried_at is not None and (taken_at := line.entries[0].at) < fact.dried_at:
        hours = f"{figures.number(fact.dried_at.hours_since(taken_at))} h"
    elif section.from_oven_weighings:
        hours = "by rule"
    heat = ""
    if fact.oven_temperature is not None:
        unit = fact.temperature_unit.value if fact.temperature_unit is not None else ""
        heat = f"at {figures.trimmed(fact.oven_temperature)} °{unit}"
    by = "microwave, " if fact.method is OvenMethod.MICROWAVE_THEN_OVEN else ""
    return by + (" ".join(part for part in (hours, heat) if part) or ("oven" if by else ""))
