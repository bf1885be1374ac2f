"""Thickness as the trade writes it, and volumes in board feet and cubic metres."""

from __future__ import annotations

import re
from fractions import Fraction

from kilnlog.records.errors import UnreadableNumber
from kilnlog.records.typed_number import GROUP_BLANKS, number_from_text
from kilnlog.records.words import VolumeUnit

#: Exact by definition: the international inch of 1959.
MM_PER_INCH = Fraction("25.4")

#: A board foot is 12 in x 12 in x 1 in, so 144 x 0.0254^3 m3 = 0.002359737216 m3, exactly.
CUBIC_METRES_PER_BOARD_FOOT = 144 * Fraction("0.0254") ** 3

#: 423.776 to the usual three decimals; kept as the exact fraction.
BOARD_FEET_PER_CUBIC_METRE = 1 / CUBIC_METRES_PER_BOARD_FOOT

#: Thicker than any lumber a kiln dries; beyond it the unit was mistaken.
THICKEST_MM = 500

_BLANK = f"[{GROUP_BLANKS}]"
_QUARTERS = re.compile(r"(?P<quarters>\d{1,2})/4", re.ASCII)
_INCHES = re.compile(
    rf"(?:(?P<whole>\d{{1,2}})(?:{_BLANK}+|-))?(?P<top>\d{{1,2}})/(?P<bottom>\d{{1,3}})"
    rf"{_BLANK}*(?:in\.?|inch|inches|[\"”″])",
    re.ASCII | re.IGNORECASE,
)
_DECIMAL = re.compile(
    rf"(?P<number>[^A-Za-z\"”″]+?){_BLANK}*(?P<unit>mm|cm|in\.?|inch|inches|[\"”″])", re.ASCII | re.IGNORECASE
)
_MM_PER_UNIT = {"mm": Fraction(1), "cm": Fraction(10)}


def thickness_mm(text: str, *, decimal_mark: str = ".") -> float:
    """Read a thickness: ``8/4`` (quarters of an inch), ``1 1/4 in``, ``1-1/4"``, ``1.25"``, ``27 mm``.

    Quarters are the nominal size, as traded; what the planer leaves is another matter.

    Returns:
        The thickness [mm].
    Raises:
        AmbiguousNumber: As of ``number_from_text``.
        UnreadableNumber: ``why`` as of ``number_from_text``, and besides

            - ``unit``: no unit written, or none of quarters, in, mm and cm;
            - ``fraction``: no such fraction (``1 5/4 in``, ``1/0 in``);
            - ``zero``;
            - ``range``: above 500 mm.
    """
    typed = text.strip()
    thickness = _thickness(typed, decimal_mark)
    if thickness == 0:
        raise UnreadableNumber(typed=typed, why="zero")
    if thickness > THICKEST_MM:
        raise UnreadableNumber(typed=typed, why="range")
    return float(thickness)


def _thickness(typed: str, decimal_mark: str) -> Fraction:
    if quarters := _QUARTERS.fullmatch(typed):
        return Fraction(int(quarters["quarters"]), 4) * MM_PER_INCH
    if inches := _INCHES.fullmatch(typed):
        whole, top, bottom = (int(inches[part] or 0) for part in ("whole", "top", "bottom"))
        if bottom == 0 or (inches["whole"] and top >= bottom):
            raise UnreadableNumber(typed=typed, why="fraction")
        return (whole + Fraction(top, bottom)) * MM_PER_INCH
    if decimal := _DECIMAL.fullmatch(typed):
        number = Fraction(number_from_text(decimal["number"], decimal_mark=decimal_mark))
        return number * _MM_PER_UNIT.get(decimal["unit"].lower(), MM_PER_INCH)
    number_from_text(
        typed.partition("/")[0], decimal_mark=decimal_mark
    )  # says first what is no number at all
    raise UnreadableNumber(typed=typed, why="unit")


def board_feet(volume: float, unit: VolumeUnit) -> float:
    """A volume in board feet."""
    return volume if unit is VolumeUnit.BOARD_FEET else float(Fraction(volume) * BOARD_FEET_PER_CUBIC_METRE)


def cubic_metres(volume: float, unit: VolumeUnit) -> float:
    """A volume in cubic metres."""
    return (
        volume if unit is VolumeUnit.CUBIC_METRES else float(Fraction(volume) * CUBIC_METRES_PER_BOARD_FOOT)
    )


def board_feet_of(thickness_in: float, width_in: float, length_ft: float) -> float:
    """Board feet of one piece by its nominal sizes: T [in] x W [in] x L [ft] / 12."""
    return thickness_in * width_in * length_ft / 12


def scale_correction_factor(actual: tuple[float, float, float], nominal: tuple[float, float, float]) -> float:
    """What a nominal volume is multiplied by for the wood really there: (T/Tn)(W/Wn)(L/Ln).

    Args:
        actual: Thickness, width, length as measured, each in the unit of its nominal size.
        nominal: The same three as traded.
    Source:
        Wengert, Forestry Facts No. 69, Univ. of Wisconsin (1993), equation 2.
    """
    factor = 1.0
    for measured, traded in zip(actual, nominal, strict=True):
        factor *= measured / traded
    return factor
