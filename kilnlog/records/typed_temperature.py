"""A temperature as an operator types it: with or without its unit, which then wins over that of its field."""

from __future__ import annotations

import re

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.words import TemperatureUnit

# ASCII only, as in weights; the degree sign may stand before the letter.
_WITH_UNIT = re.compile(r"(?P<number>[^A-Za-z°]*?)\s*°?\s*(?P<unit>[CF])\.?", re.ASCII | re.IGNORECASE)


def temperature_from_text(
    text: str, *, decimal_mark: str = ".", negative: bool = True
) -> tuple[float, TemperatureUnit | None]:
    """The figure, and the unit typed with it; None where none was.

    Args:
        text: ``110``, ``110F``, ``43.3 °C``.
        decimal_mark: ``.`` or ``,``.
        negative: Whether it can be below zero; a difference cannot.

    Raises:
        AmbiguousNumber, UnreadableNumber: As of ``number_from_text``; they name the whole text.
    """
    typed = text.strip()
    found = _WITH_UNIT.fullmatch(typed)
    number = typed if found is None or not found["number"] else found["number"]
    try:
        value = float(number_from_text(number, decimal_mark=decimal_mark, negative=negative))
    except (AmbiguousNumber, UnreadableNumber) as error:
        error.values["typed"] = typed
        raise
    return value, None if found is None else TemperatureUnit(found["unit"].upper())
