"""A measure as an operator types it: with or without its unit, which then wins over that of its field."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.typed_number import number_from_text

#: What one of it is in the unit of the field; exact by the international foot of 1959.
METRES: Mapping[str, float] = {"m": 1.0, "ft": 0.3048}
CUBIC_METRES_PER_H: Mapping[str, float] = {
    "m3/h": 1.0,
    "cfm": 0.3048**3 * 60,
    "ft3/min": 0.3048**3 * 60,
}
#: Finer than anybody reads off an altimeter or a fan's plate.
_DECIMALS = 3
_WITH_UNIT = re.compile(r"(?P<number>[^A-Za-z]*?)\s*(?P<unit>[A-Za-z][A-Za-z0-9/]*)\.?", re.ASCII)


def measure_from_text(
    text: str, units: Mapping[str, float], *, decimal_mark: str = ".", negative: bool = False
) -> float:
    """The figure in the unit of its field.

    Args:
        text: ``250``, ``820 ft``, ``150 cfm``, ``150 ft³/min``.
        units: What may stand behind the figure, and what one of it is in the unit of the field.
        decimal_mark: ``.`` or ``,``.
        negative: Whether it can be below zero.

    Raises:
        AmbiguousNumber, UnreadableNumber: As of ``number_from_text``; they name the whole text.
    """
    typed = text.strip()
    plain = typed.replace("³", "3").replace("^3", "3").replace("m3 /h", "m3/h")
    found = _WITH_UNIT.fullmatch(plain)
    unit = found["unit"].lower() if found is not None else None
    is_known = found is not None and unit in units
    try:
        value = float(
            number_from_text(
                found["number"] if found is not None and is_known else typed,
                decimal_mark=decimal_mark,
                negative=negative,
            )
        )
    except (AmbiguousNumber, UnreadableNumber) as error:
        error.values["typed"] = typed
        raise
    return round(value * units[unit], _DECIMALS) if unit is not None and is_known else value


def measure_text(value: float | None, unit: str, per_unit: float, *, decimal_mark: str = ".") -> str:
    """A figure in the unit of its field as it was typed: ``1200 ft`` where that, and nothing rounder, was.

    Only the figure in the field's own unit is kept. One that is no whole number of that unit and a whole
    number of ``unit`` was typed in ``unit``: nobody reads an altimeter to the millimetre.

    Args:
        value: In the unit of the field.
        unit: What else it may have been typed in.
        per_unit: What one of that is in the unit of the field.
        decimal_mark: ``.`` or ``,``.
    """
    if value is None:
        return ""
    whole = round(value / per_unit)
    if value != round(value) and abs(round(whole * per_unit, _DECIMALS) - value) < 10**-_DECIMALS / 2:
        return f"{whole} {unit}"
    return format(Decimal(repr(value)).normalize(), "f").replace(".", decimal_mark)
