"""Sizes of a tally line beyond what kilns take, and what would fit had a decimal mark slipped."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.logbook import figures
from kilnlog.records.errors import KilnlogError
from kilnlog.records.measures import thickness_mm
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import LengthUnit

#: Lumber longer, wider or thicker is hardly ever dried, nor is so much of one size tallied in a line [m, mm,
#: mm, pieces]. Common practice, no source.
LONGEST_M, WIDEST_MM, THICKEST_MM, MOST_PIECES = 12.5, 1200.0, 160.0, 20_000
#: Nor is it narrower or shorter: below it a slip explains nothing [m, mm]. Common practice, no source.
_SHORTEST_M, _NARROWEST_MM = 0.5, 25.0

_MM = {
    LengthUnit.MILLIMETRES: 1.0,
    LengthUnit.CENTIMETRES: 10.0,
    LengthUnit.METRES: 1000.0,
    LengthUnit.INCHES: 25.4,
    LengthUnit.FEET: 304.8,
}
_SLIPS = (10, 100)


def size_doubts(line: TallyLine) -> tuple[str, ...]:
    """What is odd about the sizes, in sentences."""
    return tuple(_told(line))


def _told(line: TallyLine) -> Iterator[str]:
    if (thick := _thick_mm(line.thickness)) is not None and thick > THICKEST_MM:
        yield f"{line.thickness} is thicker than kilns take."
    yield from _size("wider", line.width, line.width_unit, _NARROWEST_MM, WIDEST_MM)
    yield from _size("longer", line.length, line.length_unit, 1000 * _SHORTEST_M, 1000 * LONGEST_M)
    if line.pieces is not None and line.pieces > MOST_PIECES:
        yield f"{figures.number(line.pieces)} pieces are more than one line of a kiln's charge holds."


def _size(
    how: str, size: float | None, unit: LengthUnit | None, least_mm: float, most_mm: float
) -> Iterator[str]:
    if size is None or unit is None or size * _MM[unit] <= most_mm:
        return
    fits = (size / slip for slip in _SLIPS if least_mm <= size / slip * _MM[unit] <= most_mm)
    likely = next(fits, None)
    meant = f" Was {figures.trimmed(likely, 4)} {unit.value} meant?" if likely is not None else ""
    yield f"{figures.trimmed(size)} {unit.value} is {how} than lumber in a kiln is.{meant}"


def _thick_mm(text: str | None) -> float | None:
    try:
        return thickness_mm(text) if text else None
    except KilnlogError:
        return None  # refused where it is typed, or kept as words of an earlier file
