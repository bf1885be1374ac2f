"""What the record holds, as cells: the other way round than ``from_cells``, and read back by it unchanged."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from decimal import Decimal
from enum import StrEnum

from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_text, weight_text
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit


class Digits(str):
    """A number as it was typed, noughts and all: ``1842.50``."""

    __slots__ = ()


class ClockTime(str):
    """A moment as text: ``2025-03-01 08:30``."""

    __slots__ = ()


#: What a cell may hold on its way out. None is blank; any other ``str`` is text and nothing else.
Value = str | int | float | None

_PLAIN = re.compile(r"\d{1,9}(?:\.\d{1,9})?", re.ASCII)


def number_cell(number: float | None) -> Value:
    """A number, whole ones without a decimal point."""
    if number is None:
        return None
    return int(number) if float(number).is_integer() else number


def text_cell(text: str | None) -> Value:
    """Text; blank text is no text."""
    if text is None or not text.strip():
        return None
    return text.value if isinstance(text, StrEnum) else text


def yes_no_cell(yes: bool | None) -> Value:
    """``yes``, ``no`` or nothing."""
    return None if yes is None else "yes" if yes else "no"


def moment_cell(moment: Moment | None, zone: str) -> Value:
    """A moment in ``zone``, naming its own zone where that is another."""
    if moment is None:
        return None
    text = moment.text()
    if moment.utc.microsecond:
        minutes, seconds, offset = text[:16], "", text[16:]
        if moment.local.second:
            seconds, offset = offset[:3], offset[3:]
        text = f"{minutes}{seconds or ':00'}.{moment.utc.microsecond:06d}{offset}"
    return ClockTime(text if moment.zone == zone else f"{text}[{moment.zone}]")


def instant_cell(instant: datetime) -> str:
    """An instant of the machine's clock, as ISO 8601 in UTC."""
    return instant.astimezone(UTC).isoformat().replace("+00:00", "Z")


def weight_cells(weight: Weight | None, unit: WeightUnit | None) -> tuple[Value, Value]:
    """A weight in a row whose weights are in ``unit``, and its text where that was typed otherwise."""
    if weight is None:
        return None, None
    assert unit is not None
    text = weight.text
    if weight.unit is unit and _is_plainly(weight):
        return Digits(text), None
    if _reads_as(text, unit, weight):
        return text, None
    plain = weight_text(weight.grams, weight.unit, weight.step_g)
    suffix = "" if weight.unit in (unit, WeightUnit.LB_OZ) else f" {weight.unit}"
    if not _reads_as(plain + suffix, unit, weight):
        raise ValueError(f"no text reads as {weight!r}")
    return (Digits(plain) if not suffix and _PLAIN.fullmatch(plain) else plain + suffix), text


def _is_plainly(weight: Weight) -> bool:
    """Whether its text is nothing but the digits of its value."""
    if weight.unit is WeightUnit.LB_OZ or not _PLAIN.fullmatch(weight.text):
        return False
    value, per_unit = Decimal(weight.text), GRAMS_PER_UNIT[weight.unit]
    exponent = value.as_tuple().exponent
    step = Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0) * per_unit
    return _same(value * per_unit, weight.grams) and _same(step, weight.step_g)


def _reads_as(text: str, unit: WeightUnit, weight: Weight) -> bool:
    """Whether a file that says ``text`` in a row of ``unit`` gives back this weight, its text aside."""
    try:
        read = weight_from_text(text, unit)
    except KilnlogError:
        return False
    return read.unit is weight.unit and _same(read.grams, weight.grams) and _same(read.step_g, weight.step_g)


def _same(one: Decimal, other: Decimal) -> bool:
    """Equal as the logbook file keeps them: as binary fractions."""
    return float(one) == float(other)
