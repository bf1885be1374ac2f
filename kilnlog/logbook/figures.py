"""How figures are written for people: one manner for the window, the terminal and the papers.

True minus, thin en dash ranges with spaces, grouped thousands, moisture to 0.1, rates to 0.01, and a dash for
what is not known: never 0.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal

from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_text
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit

EMPTY = "–"
MINUS = "−"
PLUS_MINUS = "±"

#: Shorter than this is told in minutes, from this on in days [h].
_MINUTES_BELOW_H, _DAYS_FROM_H = 1.0, 48.0

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class Marks:
    """The signs a country writes numbers with."""

    decimal: str = "."
    group: str = ","


ENGLISH = Marks()


def number(value: float | Decimal | None, decimals: int = 0, marks: Marks = ENGLISH) -> str:
    """A number rounded half to even on its exact decimal value, thousands grouped."""
    if value is None:
        return EMPTY
    rounded = Decimal(str(value)).quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
    written = f"{abs(rounded):,.{decimals}f}"
    written = written.translate({ord(","): marks.group, ord("."): marks.decimal})
    return f"{MINUS}{written}" if rounded < 0 else written


def trimmed(value: float | None, decimals: int = 3, marks: Marks = ENGLISH) -> str:
    """A number as somebody would write it: no zeros at its end (``7``, ``7.5``)."""
    written = number(value, decimals, marks)
    return written.rstrip("0").rstrip(marks.decimal) if marks.decimal in written else written


def mc(mc_pct: float | None, marks: Marks = ENGLISH) -> str:
    """A moisture content [%], to 0.1."""
    return number(mc_pct, 1, marks)


def rate(rate_pct_per_day: float | None, marks: Marks = ENGLISH) -> str:
    """A rate [points of MC a day], to 0.01."""
    return number(rate_pct_per_day, 2, marks)


def day_number(loaded_at: Moment | None, days: float | None) -> int | None:
    """Which day of its run a charge is in, as one counts on a calendar: the day it is loaded is day 1.

    Args:
        loaded_at: Its date is taken by the clock of its own zone.
        days: Gone by since [24 h]; by hours alone the fourth day would still be day 3 in the morning.
    """
    if loaded_at is None or days is None:
        return None
    until = loaded_at.plus_hours(24 * days)
    return (until.local.date() - loaded_at.local.date()).days + 1


def days(loaded_at: Moment | None, days: float | None) -> str:
    """``day_number`` as text."""
    return number(day_number(loaded_at, days)) if loaded_at is not None and days is not None else EMPTY


def span(low: str, high: str) -> str:
    """A range of two written figures."""
    return low if low == high else f"{low} – {high}"


def weight(
    grams: float | Decimal | None,
    unit: WeightUnit,
    step_g: float | Decimal | None = None,
    marks: Marks = ENGLISH,
) -> str:
    """A computed weight in the operator's unit, without the unit's name unless it takes two.

    Args:
        grams: The weight [g].
        unit: The unit to write it in.
        step_g: The step of the scale [g]; by default a gram, 0.01 lb or 0.1 oz.
        marks: The country's signs.
    """
    if grams is None:
        return EMPTY
    step = Decimal(str(step_g)) if step_g else _usual_step_g(unit)
    if unit is WeightUnit.LB_OZ:
        return signed(weight_text(abs(Decimal(str(grams))), unit, step), grams < 0)
    return number(
        Decimal(str(grams)) / GRAMS_PER_UNIT[unit], decimals_of(float(step / GRAMS_PER_UNIT[unit])), marks
    )


def weight_with_unit(
    grams: float | Decimal | None,
    unit: WeightUnit,
    step_g: float | Decimal | None = None,
    marks: Marks = ENGLISH,
) -> str:
    """As ``weight``, with the unit: ``1,647 g``, ``4.46 lb``, ``10 lb 13.6 oz``."""
    written = weight(grams, unit, step_g, marks)
    return written if unit is WeightUnit.LB_OZ or grams is None else f"{written} {unit.value}"


def weight_span(low_g: float, high_g: float, unit: WeightUnit, step_g: float | Decimal | None = None) -> str:
    """A range of weights, the unit once: ``2,312 – 2,321 g``."""
    written = span(weight(low_g, unit, step_g), weight(high_g, unit, step_g))
    return written if unit is WeightUnit.LB_OZ else f"{written} {unit.value}"


def as_typed(typed: Weight) -> str:
    """A weight as typed, with the unit it was read in where the text names none."""
    named = any(letter.isalpha() for letter in typed.text)
    return typed.text if named else f"{typed.text} {_unit_name(typed.unit)}"


def grouped(typed: Weight) -> str:
    """The text as typed, without its unit; thousands grouped where it is digits and one decimal mark."""
    return grouped_text(typed.text)


def grouped_text(text: str) -> str:
    """As ``grouped``, of any text."""
    plain = re.fullmatch(r"(\d{4,})([.,]\d+)?", text, re.ASCII)
    if plain is None:
        return text
    rest = plain[2] or ""
    group = "." if rest.startswith(",") else ","
    return f"{int(plain[1]):,}".replace(",", group) + rest


def volume(amount: float | None, unit: str | None, marks: Marks = ENGLISH) -> str:
    """A volume of lumber: whole board feet, cubic metres to 0.01, with the unit."""
    if amount is None:
        return EMPTY
    return f"{number(amount, 2 if unit == 'm3' else 0, marks)} {'m³' if unit == 'm3' else unit or ''}".strip()


def day(moment: Moment, now: Moment) -> str:
    """``25 Nov``, with the year where it is not this one."""
    local = moment.local
    written = f"{local.day} {_MONTHS[local.month - 1]}"
    return written if local.year == now.local.year else f"{written} {local.year}"


def day_and_time(moment: Moment, now: Moment) -> str:
    """``Wed 25 Nov, 07:44``; ``today`` and ``yesterday`` where it was."""
    local = moment.local
    apart = (now.utc.astimezone(local.tzinfo).date() - local.date()).days
    named = {0: "today", 1: "yesterday"}.get(apart) or f"{_DAYS[local.weekday()]} {day(moment, now)}"
    return f"{named}, {local:%H:%M}"


def day_to_come(day: date, today: date) -> str:
    """``today``, ``tomorrow``, ``Fri 27 Nov``: a day of the next weeks."""
    named = {0: "today", 1: "tomorrow"}.get((day - today).days)
    return named or f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


def weekday_date_and_time(moment: Moment) -> str:
    """``Wed 25 Nov 2026, 07:44``: a moment that must not be mistaken for another year's."""
    local = moment.local
    return f"{_DAYS[local.weekday()]} {local.day} {_MONTHS[local.month - 1]} {local.year}, {local:%H:%M}"


def duration(hours: float) -> str:
    """How long, in the unit one would say it in: ``6 min``, ``3.5 h``, ``12 days``."""
    if hours < _MINUTES_BELOW_H:
        return f"{number(max(1, round(hours * 60)))} min"
    return f"{trimmed(hours, 1)} h" if hours < _DAYS_FROM_H else count(round(hours / 24), "day")


def signed(written: str, below_zero: bool) -> str:
    """A written figure with the true minus where it is below zero."""
    return f"{MINUS}{written}" if below_zero else written


def count(amount: int, one: str, many: str | None = None) -> str:
    """``1 board``, ``4 boards``."""
    return f"{number(amount)} {one if amount == 1 else many or one + 's'}"


def _usual_step_g(unit: WeightUnit) -> Decimal:
    steps = {
        WeightUnit.G: Decimal(1),
        WeightUnit.KG: Decimal(1),
        WeightUnit.LB: GRAMS_PER_UNIT[WeightUnit.LB] / 100,
        WeightUnit.OZ: GRAMS_PER_UNIT[WeightUnit.OZ] / 10,
        WeightUnit.LB_OZ: GRAMS_PER_UNIT[WeightUnit.OZ] / 10,
    }
    return steps[unit]


def decimals_of(step: float) -> int:
    """How many decimals show a step of this size: 1 and 5 need none, 0.5 one, 0.02 two."""
    # Steps that went through grams and back come a hair off a round number.
    return max(0, -Decimal(f"{step:.9e}").normalize().adjusted()) if step > 0 else 0


def _unit_name(unit: WeightUnit) -> str:
    return "lb" if unit is WeightUnit.LB_OZ else unit.value
