"""Tally lines as they are typed, and as they are told: volumes, totals, shrinkage with what print expects."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from kilnlog.drying.closing.shrinkage import RULE_SOURCE, ExpectedShrinkage
from kilnlog.drying.closing.tally import Rounding, TallyFigure, TallyFigures, tally_of
from kilnlog.logbook import figures
from kilnlog.logbook.size_doubts import size_doubts
from kilnlog.logbook.typed_line import MOST, TypedLine, plain
from kilnlog.records.errors import KilnlogError, MissingValue, UnknownWord
from kilnlog.records.measures import thickness_mm
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import LengthUnit, TallyTime, VolumeUnit

WHEN, GRADE, THICKNESS, WIDTH, LENGTH = "when", "grade", "thickness", "width", "length"
PIECES, VOLUME = "pieces", "volume"
#: What a volume is worked out from.
SIZES = (THICKNESS, WIDTH, LENGTH, PIECES)

_MARK = re.compile(r"(?<=\d)[.,](?=\d)", re.ASCII)

_LENGTH_WORDS = {
    **{unit.value: unit for unit in LengthUnit},
    **dict.fromkeys(("inch", "inches", '"', "″"), LengthUnit.INCHES),
    **dict.fromkeys(("foot", "feet", "'", "′"), LengthUnit.FEET),
}
_VOLUME_WORDS = {
    **dict.fromkeys(("bf", "bd ft", "board feet"), VolumeUnit.BOARD_FEET),
    **dict.fromkeys(("m3", "m³", "cbm"), VolumeUnit.CUBIC_METRES),
}

ROUNDING_WORDS: Mapping[Rounding, str] = {
    Rounding.EXACT: "exact volume",
    Rounding.SURFACE_MEASURE: "surface measure",
}
ROUNDING_SAID: Mapping[Rounding, str] = {
    Rounding.EXACT: "Thickness × width × length × pieces, with the sizes as typed.",
    Rounding.SURFACE_MEASURE: (
        "Of each piece, width × length in square feet to the whole foot, times the thickness in inches, at "
        "least one; an exact half goes up and down by turns (common practice, no source)."
    ),
}


def tally_line(
    charge: str,
    lot: str,
    texts: Mapping[str, str],
    decimal_mark: str,
    unit: VolumeUnit,
    last: TallyLine | None = None,
) -> TallyLine:
    """The fact a typed line makes.

    A thickness is kept with a decimal point, whatever mark it was typed with, so that it reads alike on
    every machine.

    Args:
        charge: Entity.
        lot: Entity.
        texts: By column.
        decimal_mark: Of the machine.
        unit: Of a volume without its unit: the lot's.
        last: The line before, whose units bare sizes take.

    Raises:
        KilnlogError: with the value ``column`` of the field it is about.
    """
    line = TypedLine(texts, decimal_mark)
    when = line.needed_word(WHEN, TallyTime)
    thickness = line.read(THICKNESS, lambda text: _thickness(text, decimal_mark))
    wide, long = sizes_in(last, unit)
    width, width_unit = _length(line, WIDTH, wide)
    length, length_unit = _length(line, LENGTH, long)
    pieces = line.count(PIECES, least=1)
    volume, volume_unit = volume_typed(line, VOLUME, unit)
    if volume is None and (empty := missing_size(texts)):
        raise MissingValue(column=empty)
    return TallyLine(
        charge,
        lot,
        when,
        line.text(GRADE),
        thickness,
        width,
        width_unit,
        length,
        length_unit,
        pieces,
        volume,
        volume_unit,
    )


def missing_size(texts: Mapping[str, str]) -> str:
    """The first size that is not typed; empty where a volume can be worked out."""
    return next((column for column in SIZES if not texts.get(column, "").strip()), "")


def sizes_in(last: TallyLine | None, unit: VolumeUnit) -> tuple[LengthUnit, LengthUnit]:
    """The units of a bare width and length: those of the line before, else as the lot's volume has it."""
    metric = unit is VolumeUnit.CUBIC_METRES
    wide, long = (
        (LengthUnit.MILLIMETRES, LengthUnit.METRES) if metric else (LengthUnit.INCHES, LengthUnit.FEET)
    )
    if last is None:
        return wide, long
    return last.width_unit or wide, last.length_unit or long


def volume_typed(line: TypedLine, column: str, unit: VolumeUnit) -> tuple[float | None, VolumeUnit | None]:
    """A volume above 0 with its unit: the one typed behind it, else ``unit``."""
    value, named = line.measure(column, low=1e-9)
    if value is None:
        return None, None
    if named is None:
        return value, unit
    known = _VOLUME_WORDS.get(named.casefold())
    if known is None:
        raise UnknownWord(column=column, value=named, known=tuple(one.value for one in VolumeUnit))
    return value, known


def _length(line: TypedLine, column: str, unit: LengthUnit) -> tuple[float | None, LengthUnit | None]:
    value, named = line.measure(column, low=1e-9, high=MOST)
    if value is None:
        return None, None
    if named is None:
        return value, unit
    known = _LENGTH_WORDS.get(named.casefold())
    if known is None:
        raise UnknownWord(column=column, value=named, known=tuple(one.value for one in LengthUnit))
    return value, known


def _thickness(text: str, decimal_mark: str) -> str:
    thickness_mm(text, decimal_mark=decimal_mark)
    return _marked(text, ".") if decimal_mark == "," else text


def _marked(text: str, decimal_mark: str) -> str:
    """The same with this decimal mark between its digits."""
    return _MARK.sub(decimal_mark, text)


def texts_of(line: TallyLine, decimal_mark: str) -> dict[str, str]:
    """A line as it would be typed."""
    return {
        WHEN: line.when.value,
        GRADE: line.grade or "",
        THICKNESS: _marked(line.thickness or "", decimal_mark),
        WIDTH: _with_unit(plain(line.width, decimal_mark), line.width_unit),
        LENGTH: _with_unit(plain(line.length, decimal_mark), line.length_unit),
        PIECES: plain(line.pieces, decimal_mark),
        VOLUME: _with_unit(plain(line.volume, decimal_mark), line.volume_unit),
    }


def next_line(last: TallyLine | None, thickness: str | None, decimal_mark: str) -> dict[str, str]:
    """What is proposed: when, grade and thickness as before; of the first line, the lot's own thickness."""
    blank = {WHEN: TallyTime.NET.value, GRADE: "", THICKNESS: thickness or ""}
    if last is not None:
        before = texts_of(last, decimal_mark)
        blank = {column: before[column] for column in (WHEN, GRADE, THICKNESS)}
    return {**blank, WIDTH: "", LENGTH: "", PIECES: "", VOLUME: ""}


def cells(figure: TallyFigure) -> tuple[str, ...]:
    """When, grade, thickness, width, length, pieces, volume."""
    line = figure.line
    return (
        line.when.value,
        line.grade or figures.EMPTY,
        line.thickness or figures.EMPTY,
        _with_unit(figures.trimmed(line.width), line.width_unit),
        _with_unit(figures.trimmed(line.length), line.length_unit),
        figures.number(line.pieces),
        volume_words(figure.volume, figure.unit),
    )


def _with_unit(written: str, unit: LengthUnit | VolumeUnit | None) -> str:
    return f"{written} {unit.value}" if unit is not None else written


def volume_words(volume: float | None, unit: VolumeUnit) -> str:
    """A line's volume, a digit finer than a lot's: tenths of a board foot, 0.001 m3."""
    if volume is None:
        return figures.EMPTY
    if unit is VolumeUnit.CUBIC_METRES:
        return f"{figures.number(volume, 3)} m³"
    return f"{figures.number(volume, 1)} bf"


def worked_out(line: TallyLine, rounding: Rounding, unit: VolumeUnit) -> str:
    """What its sizes come to; empty where they do not tell."""
    try:
        figure = tally_of([line], unit, rounding).lines[0]
    except KilnlogError:
        return ""
    volume = figure.worked_out if figure.is_typed else figure.volume
    return volume_words(volume, unit) if volume is not None else ""


def said(line: TallyLine, rounding: Rounding, unit: VolumeUnit) -> str:
    """For the foot: ``Net, 4/4 FAS, 12 pieces, 48.0 bf``."""
    volume = tally_of([line], unit, rounding).lines[0].volume
    what = " ".join(part for part in (line.thickness, line.grade) if part)
    pieces = figures.count(line.pieces, "piece") if line.pieces is not None else ""
    parts = (line.when.value.capitalize(), what, pieces, volume_words(volume, unit))
    return ", ".join(part for part in parts if part)


def doubts(line: TallyLine, rounding: Rounding, unit: VolumeUnit) -> tuple[str, ...]:
    """What is odd about it, in sentences."""
    told = size_doubts(line)
    figure = tally_of([line], unit, rounding).lines[0]
    if not figure.is_typed or not figure.worked_out:
        return told
    if abs(figure.volume - figure.worked_out) <= 0.05 * figure.worked_out:
        return told
    typed, sizes = volume_words(figure.volume, unit), volume_words(figure.worked_out, unit)
    return (*told, f"The sizes come to {sizes}, and {typed} is typed: the typed volume would count.")


def totals(
    tally: TallyFigures | None, expected: ExpectedShrinkage | None
) -> Sequence[tuple[str, str | None, str]]:
    """Label, figure and unit of what a tally comes to: green, net, shrinkage, what print expects."""
    unit = "" if tally is None else "m³" if tally.unit is VolumeUnit.CUBIC_METRES else "bf"

    def volume(amount: float | None) -> str | None:
        return None if tally is None or amount is None else volume_words(amount, tally.unit).split(" ")[0]

    def pieces(count: int | None) -> str:
        return f", {figures.count(count, 'piece')}" if count is not None else ""

    green, net = (tally.green, tally.net) if tally is not None else (None, None)
    shrunk = tally.shrinkage_pct if tally is not None else None
    return (
        (f"green{pieces(tally.green_pieces if tally else None)}", volume(green), unit),
        (f"net{pieces(tally.net_pieces if tally else None)}", volume(net), unit),
        ("shrinkage, of volume", figures.number(shrunk, 1) if shrunk is not None else None, "%"),
        (
            "expected of the wood",
            figures.number(expected.volumetric_pct, 1) if expected is not None else None,
            "%",
        ),
    )


def expected_sentence(expected: ExpectedShrinkage | None, species: str | None, *, measured: bool) -> str:
    """Where the expected shrinkage is from, or why there is none."""
    if expected is None:
        if not measured:
            return "What the wood should have shrunk is not said before its final moisture is known."
        named = species or "this wood"
        return f"No shrinkage is listed for {named}: what it should have shrunk is not said."
    standing = "" if expected.standing.value == "verified" else f" ({expected.standing.value})"
    return (
        f"{expected.species.capitalize()} is expected to lose {figures.number(expected.volumetric_pct, 1)} % "
        f"of its volume from green to {figures.mc(expected.mc_pct)} %: {expected.source}{standing}."
    )


def working_lines(tally: TallyFigures, expected: ExpectedShrinkage | None) -> Iterable[str]:
    """How the totals came about."""
    for name, total in (("green", tally.green), ("net", tally.net)):
        volumes = [figure.volume for figure in tally.lines if figure.line.when.value == name]
        if total is not None:
            unit = "m³" if tally.unit is VolumeUnit.CUBIC_METRES else "bf"
            sums = " + ".join(figures.trimmed(volume, 4) for volume in volumes)
            yield f"{name}: {sums} = {figures.trimmed(total, 4)} {unit}"
    if tally.shrinkage_pct is not None:
        green, net = figures.trimmed(tally.green, 4), figures.trimmed(tally.net, 4)
        yield f"shrinkage: 100 × ({green} − {net}) ÷ {green} = {figures.number(tally.shrinkage_pct, 2)} %"
    if expected is not None:
        whole = figures.number(expected.volumetric_pct, 2)
        yield f"expected: S₀ × (30 − {figures.trimmed(expected.mc_pct, 2)}) ÷ 30 = {whole} % ({RULE_SOURCE})"
