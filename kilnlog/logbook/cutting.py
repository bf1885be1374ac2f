"""What is asked while boards and sections are cut: the next label, the unit, whether a section is dry."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from kilnlog.drying.constant_weight import SETTING, rule_in_force
from kilnlog.drying.figures import SectionFigures
from kilnlog.logbook import figures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.recut import Recut
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.weight import WeightUnit

#: The reason kept with the version that adds an oven-dry weight; nobody has to type one.
DRIED = "oven-dry weight read"

_COUNTED = re.compile(r"(?P<before>\D*)(?P<count>\d+)", re.ASCII)


@dataclass(frozen=True, slots=True)
class OvenLine:
    """One weighing in the oven."""

    entity: str
    when: str
    weight: str  # [g], or with its unit
    change: str  # since the one before [%]


def next_board_label(record: ChargeRecord) -> str:
    """The label after the highest in the charge, in its manner: ``8`` leads to ``9``, ``B8`` to ``B9``."""
    labels = [entry.fact.board for entry in current_entries(record.board)]
    counted = [match for label in labels if (match := _COUNTED.fullmatch(label)) is not None]
    if not counted:
        return "1"
    last = max(counted, key=lambda match: int(match["count"]))
    return f"{last['before']}{int(last['count']) + 1}"


def next_section_label(record: ChargeRecord, board: str) -> str:
    """The first letter no section of the board carries."""
    taken = {entry.fact.section for entry in current_entries(record.section) if entry.fact.board == board}
    return next(letter for letter in _letters() if letter not in taken)


def section_unit(record: ChargeRecord) -> WeightUnit:
    """The unit the charge's last section was weighed in, else grams: they go on the small balance."""
    weights = [entry.fact.wet_weight for entry in current_entries(record.section)]
    return weights[-1].unit if weights else WeightUnit.G


def oven_weighings_of(record: ChargeRecord, section: str) -> tuple[Entry[OvenWeighing], ...]:
    """A section's oven weighings, oldest first."""
    found = (entry for entry in current_entries(record.oven_weighing) if entry.fact.section == section)
    return tuple(sorted(found, key=lambda entry: entry.at))


def oven_lines(record: ChargeRecord, section: str, now: Moment) -> tuple[OvenLine, ...]:
    """The same as they are written, each with its change since the one before."""
    lines, before_g = [], None
    for reading in oven_weighings_of(record, section):
        weight = reading.fact.weight
        change = figures.number(100 * (weight.g - before_g) / before_g, 2) if before_g else figures.EMPTY
        before_g = weight.g
        written = figures.grouped(weight)
        if weight.unit is not WeightUnit.G:
            written = figures.as_typed(weight)
        lines.append(OvenLine(reading.entity, figures.day_and_time(reading.at, now), written, change))
    return tuple(lines)


def recuts_in_oven(record: ChargeRecord, board: str) -> tuple[Entry[Recut], ...]:
    """The board's recuts whose section is not dry yet, oldest first."""
    found = (
        entry
        for entry in current_entries(record.recut)
        if entry.fact.board == board and entry.fact.section_oven_dry is None
    )
    return tuple(sorted(found, key=lambda entry: entry.at))


def verdict(record: ChargeRecord, section: SectionFigures) -> str:
    """What the constant-weight rule says of a section's oven weighings, in a sentence."""
    rule = rule_in_force(_setting(record))
    readings = oven_weighings_of(record, section.entity)
    if not readings:
        return ""
    if section.constant_by_rule is None:
        return f"“{rule.name}” cannot judge here: its divisions are too coarse for so light a section."
    if section.constant_by_rule:
        reached = "Constant"
        if section.from_oven_weighings:
            reached += f" at {figures.weight(section.oven_dry_weight_g, WeightUnit.G, 0.1)} g"
        return f"{reached} by “{rule.name}”."
    if len(readings) == 1:
        again = figures.trimmed(rule.interval_h)
        return f"One weighing. Back into the oven, and weigh it again after {again} h or more."
    return f"Not constant yet by “{rule.name}”. Back into the oven."


def _setting(record: ChargeRecord) -> str | None:
    values = (entry.fact for entry in current_entries(record.setting))
    return next((fact.value for fact in values if fact.setting == SETTING), None)


def _letters() -> Iterable[str]:
    singles = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    yield from singles
    for first in singles:
        yield from (first + second for second in singles)
