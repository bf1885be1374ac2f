"""The tally: volume line by line and added up, green and net, and what the lumber shrank between the two.

Exact volume is thickness x width x length x pieces, with the sizes as typed: 4/4 is one inch, whatever the
saw or the planer left. Surface measure is the hardwood trade's way (common practice, no source read): of each
piece, width [in] x length [ft] / 12 to the whole square foot, times the thickness in inches; an exact half
goes up and down by turns from piece to piece of a line, up first; thinner than one inch counts as one inch.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from kilnlog.records.errors import KilnlogError
from kilnlog.records.measures import (
    BOARD_FEET_PER_CUBIC_METRE,
    CUBIC_METRES_PER_BOARD_FOOT,
    MM_PER_INCH,
    thickness_mm,
)
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import LengthUnit, TallyTime, VolumeUnit

_MM = {
    LengthUnit.MILLIMETRES: Fraction(1),
    LengthUnit.CENTIMETRES: Fraction(10),
    LengthUnit.METRES: Fraction(1000),
    LengthUnit.INCHES: MM_PER_INCH,
    LengthUnit.FEET: 12 * MM_PER_INCH,
}
_CUBIC_MM = Fraction(1, 10**9)  # [m3]


class Rounding(StrEnum):
    """How a line's volume is worked out, by the name of the option."""

    EXACT = "exact volume"
    SURFACE_MEASURE = "surface measure"


class TallyRemark(StrEnum):
    """Why a shrinkage from two totals may not be what the wood shrank."""

    NOMINAL = "nominal-sizes"  # thickness in quarters of an inch: the same green and dry
    ROUNDED = "rounded-sizes"  # surface measure rounds by more than wood shrinks
    OTHER_PIECES = "other-pieces"  # not as many pieces net as green
    GREW = "grew"  # more net than green


@dataclass(frozen=True, slots=True)
class TallyFigure:
    """One line with its volume.

    Attributes:
        line: As written.
        volume: Worked out, or the operator's own total [unit].
        is_typed: It is the operator's own total.
        worked_out: What its sizes and pieces come to where a total was typed as well [unit].
    """

    line: TallyLine
    volume: float
    unit: VolumeUnit
    is_typed: bool
    worked_out: float | None


@dataclass(frozen=True, slots=True)
class TallyFigures:
    """A lot's tally.

    Attributes:
        lines: In the order written, those taken green first.
        rounding: How volumes were worked out.
        unit: Of every volume.
        green: All that was tallied green [unit]; None where nothing was.
        net: All that was tallied after drying [unit].
        green_pieces: Pieces tallied green; None where a line does not tell.
        net_pieces: Pieces tallied after drying.
        shrinkage_pct: What the volume lost between the two [% of the green volume].
        remarks: What to think of it.
    """

    lines: tuple[TallyFigure, ...]
    rounding: Rounding
    unit: VolumeUnit
    green: float | None
    net: float | None
    green_pieces: int | None
    net_pieces: int | None
    shrinkage_pct: float | None
    remarks: tuple[TallyRemark, ...]


def tally_of(
    lines: Iterable[TallyLine],
    unit: VolumeUnit,
    rounding: Rounding = Rounding.EXACT,
    *,
    decimal_mark: str = ".",
) -> TallyFigures:
    """The lines of one lot with their volumes, added up.

    Args:
        lines: Those that count, in the order written.
        unit: What every volume is given in.
        rounding: How volumes are worked out; a total that was typed stays as it is.
        decimal_mark: Of the thicknesses as typed.
    Raises:
        UnreadableNumber, AmbiguousNumber: Where the thickness of a line without a total of its own cannot be
            read, as of ``thickness_mm``.
    """
    ordered = sorted(lines, key=lambda line: line.when is TallyTime.NET)
    figures = tuple(_figure(line, _from_sizes_m3(line, rounding, decimal_mark), unit) for line in ordered)
    totals = {
        when: [figure for figure in figures if figure.line.when is when]
        for when in (TallyTime.GREEN, TallyTime.NET)
    }
    green, net = _total(totals[TallyTime.GREEN]), _total(totals[TallyTime.NET])
    green_pieces, net_pieces = (_pieces(totals[when]) for when in (TallyTime.GREEN, TallyTime.NET))
    shrinkage_pct = None if not green or net is None else 100 * (green - net) / green
    return TallyFigures(
        lines=figures,
        rounding=rounding,
        unit=unit,
        green=green,
        net=net,
        green_pieces=green_pieces,
        net_pieces=net_pieces,
        shrinkage_pct=shrinkage_pct,
        remarks=()
        if shrinkage_pct is None
        else tuple(_remarks(figures, rounding, shrinkage_pct, (green_pieces, net_pieces))),
    )


def worked_out_m3(line: TallyLine, rounding: Rounding, *, decimal_mark: str = ".") -> Fraction | None:
    """What a line's sizes and pieces come to [m3], exactly; None where it tells only a total."""
    if line.pieces is None or line.thickness is None or line.width is None or line.length is None:
        return None
    if line.width_unit is None or line.length_unit is None:
        return None
    thick_mm = _decimal(thickness_mm(line.thickness, decimal_mark=decimal_mark))
    wide_mm = _decimal(line.width) * _MM[line.width_unit]
    long_mm = _decimal(line.length) * _MM[line.length_unit]
    if rounding is Rounding.EXACT:
        return thick_mm * wide_mm * long_mm * line.pieces * _CUBIC_MM
    square_feet = (wide_mm / MM_PER_INCH) * (long_mm / MM_PER_INCH) / 144
    inches = max(thick_mm / MM_PER_INCH, Fraction(1))
    return _surface_feet(square_feet, line.pieces) * inches * CUBIC_METRES_PER_BOARD_FOOT


def _from_sizes_m3(line: TallyLine, rounding: Rounding, decimal_mark: str) -> Fraction | None:
    """What the sizes come to; beside a total that was typed they may be in words that nobody can read."""
    try:
        return worked_out_m3(line, rounding, decimal_mark=decimal_mark)
    except KilnlogError:
        if line.volume is None:
            raise
        return None


def _surface_feet(square_feet: Fraction, pieces: int) -> int:
    """Whole square feet of so many pieces alike; an exact half goes up and down by turns, up first."""
    below = int(square_feet)
    over = square_feet - below
    if over == Fraction(1, 2):
        return below * pieces + (pieces + 1) // 2
    return (below + (over > Fraction(1, 2))) * pieces


def _figure(line: TallyLine, volume_m3: Fraction | None, unit: VolumeUnit) -> TallyFigure:
    worked_out = None if volume_m3 is None else _in_unit(volume_m3, unit)
    if line.volume is None or line.volume_unit is None:
        if worked_out is None:  # the record refuses a line that tells neither
            raise ValueError("a tally line without sizes and without a volume")
        return TallyFigure(line, worked_out, unit, False, None)
    if line.volume_unit is unit:
        return TallyFigure(line, line.volume, unit, True, worked_out)
    typed = _decimal(line.volume)
    in_m3 = typed if line.volume_unit is VolumeUnit.CUBIC_METRES else typed * CUBIC_METRES_PER_BOARD_FOOT
    return TallyFigure(line, _in_unit(in_m3, unit), unit, True, worked_out)


def _in_unit(volume_m3: Fraction, unit: VolumeUnit) -> float:
    return float(volume_m3 if unit is VolumeUnit.CUBIC_METRES else volume_m3 * BOARD_FEET_PER_CUBIC_METRE)


def _decimal(figure: float) -> Fraction:
    """The number as it was typed: 0.1 is one tenth."""
    return Fraction(repr(float(figure)))


def _total(figures: Sequence[TallyFigure]) -> float | None:
    return float(sum(_decimal(figure.volume) for figure in figures)) if figures else None


def _pieces(figures: Sequence[TallyFigure]) -> int | None:
    counts = [figure.line.pieces for figure in figures]
    known = [count for count in counts if count is not None]
    return sum(known) if counts and len(known) == len(counts) else None


def _remarks(
    figures: Sequence[TallyFigure],
    rounding: Rounding,
    shrinkage_pct: float,
    pieces: tuple[int | None, int | None],
) -> Iterable[TallyRemark]:
    worked_out = [figure.line for figure in figures if not figure.is_typed]
    if any(line.thickness is not None and line.thickness.strip().endswith("/4") for line in worked_out):
        yield TallyRemark.NOMINAL
    if worked_out and rounding is Rounding.SURFACE_MEASURE:
        yield TallyRemark.ROUNDED
    green, net = pieces
    if green is not None and net is not None and green != net:
        yield TallyRemark.OTHER_PIECES
    if shrinkage_pct < 0:
        yield TallyRemark.GREW


#: The columns of an owner's lines; the price is the owner's to fill.
OWNER_COLUMNS = (
    "lot",
    "when",
    "grade",
    "thickness",
    "width",
    "width_unit",
    "length",
    "length_unit",
    "pieces",
    "volume",
    "volume_unit",
    "price",
    "note",
)

Cell = str | float | int | None


def owner_rows(lot: str, tally: TallyFigures) -> list[tuple[Cell, ...]]:
    """A lot's lines for a spreadsheet, in the order of ``OWNER_COLUMNS``; the price is left empty."""
    return [
        (
            lot,
            str(figure.line.when),
            figure.line.grade,
            figure.line.thickness,
            figure.line.width,
            None if figure.line.width_unit is None else str(figure.line.width_unit),
            figure.line.length,
            None if figure.line.length_unit is None else str(figure.line.length_unit),
            figure.line.pieces,
            figure.volume,
            str(figure.unit),
            None,
            figure.line.note,
        )
        for figure in tally.lines
    ]
