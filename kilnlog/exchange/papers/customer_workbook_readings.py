"""A sheet for each series: every reading as it was read, its corrections, and live formulas beside them.

The figures told are the record's own. Beside them the sheet works everything out anew from the raw readings,
and says how far the two are apart, so that nobody has to take one of them on trust.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from kilnlog.drying.closing.statistics import same_name, side_of
from kilnlog.exchange.papers.contents import LimitsPart, PackPart, ReadingPart, SeriesPart
from kilnlog.exchange.papers.customer_workbook_page import (
    DIFFERENCE,
    Printing,
    add_title,
    apart,
    formula_without_noise,
    greatest,
    new_sheet,
    without_noise,
)
from kilnlog.exchange.papers.final_words import read_how
from kilnlog.exchange.papers.limit_words import has_limits
from kilnlog.exchange.papers.words import moment_of, unit_words
from kilnlog.exchange.sheet import Look, Sheet
from kilnlog.records.errors import KilnlogError
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import WeightUnit

OVER = "over 30"
MC = "0.00"  # a half of the tenth that decides stays in sight
_MEAN = "0.000"
_WEIGHT = "0.00##"
_SIDES = {-1: "below", 0: "inside", 1: "above"}
_LOW, _HIGH = "$C$3", "$E$3"
_HEADING_ROW, _FIRST_ROW = 9, 10

#: Headings and formats of the figures, and how they are worked out from the columns {mc} and {side}.
FIGURES = (
    ("Pieces", "0", f'COUNT({{mc}})+COUNTIF({{mc}},"{OVER}")'),
    ("Over 30 %", "0", f'COUNTIF({{mc}},"{OVER}")'),
    ("Inside", "0", f'IF(COUNT({_LOW},{_HIGH})=0,"",COUNTIF({{side}},"inside"))'),
    ("Below", "0", f'IF(COUNT({_LOW},{_HIGH})=0,"",COUNTIF({{side}},"below"))'),
    ("Above", "0", f'IF(COUNT({_LOW},{_HIGH})=0,"",COUNTIF({{side}},"above"))'),
    ("Mean %", _MEAN, f'IF(COUNT({{mc}})=0,"",{formula_without_noise("AVERAGE({mc})")})'),
    # Written with the prefix that ECMA-376 files carry for functions younger than the standard.
    ("SD %", _MEAN, f'IF(COUNT({{mc}})<2,"",{formula_without_noise("_xlfn.STDEV.S({mc})")})'),
    ("Lowest %", MC, 'IF(COUNT({mc})=0,"",MIN({mc}))'),
    ("Highest %", MC, 'IF(COUNT({mc})=0,"",MAX({mc}))'),
)
_FIRST_FIGURE = 2  # the column, from nought
_FIGURE_LETTERS = "CDEFGHIJK"


@dataclass(frozen=True, slots=True)
class SeriesSheet:
    """Where other sheets find what was worked out."""

    title: str
    worked_out: tuple[str, ...]  # cells, in the order of ``FIGURES``
    greatest: str  # cell of the greatest difference


@dataclass(frozen=True, slots=True)
class _Kind:
    """What the columns from the fourth on hold, by how the series was read."""

    raw: tuple[tuple[str, float], ...]  # headings and widths
    cells: Callable[[Sheet, ReadingPart], list[Any]]
    mc: str  # the formula; {row} is the row, {told} the cell with the record's figure

    def letter(self, number: int) -> str:
        """The column that comes ``number`` columns after the raw ones."""
        return chr(ord("D") + len(self.raw) + number)


def figures_of(pack: PackPart) -> tuple[float | None, ...]:
    """The figures of a series or a pack in the order of ``FIGURES``."""
    return (
        pack["n"],
        pack["over"],
        pack["inside"],
        pack["below"],
        pack["above"],
        without_noise(pack["mean_pct"]),
        without_noise(pack["sd_pct"]),
        without_noise(pack["lowest_pct"]),
        without_noise(pack["highest_pct"]),
    )


def write_series(
    book: Any, title: str, subject: str, series: SeriesPart, limits: LimitsPart, printing: Printing
) -> SeriesSheet:
    """Write the sheet of one series: figures first, then the readings pack by pack, then the packs' figures.

    Args:
        book: The workbook.
        title: Of the sheet.
        subject: Charge, lot and owner.
        series: The readings, one at least.
        limits: What the pieces were asked to be.
        printing: Paper, head and foot.
    """
    kind = _kind_of(series)
    named = [
        *(("Pack", 11), ("Piece", 11), ("Read", 16)),
        *kind.raw,
        *(("MC %", 10), ("In limits", 10), ("MC %, worked out", 13), ("To 0.1 %", 10)),
        *(("In limits, worked out", 13), ("Apart", 10), ("  Note", 30)),
    ]
    widths = [width for _, width in named]
    widths += [10.0] * (_FIRST_FIGURE + len(FIGURES) - len(widths))
    sheet = new_sheet(book, title, widths, printing, heading_row=_HEADING_ROW)
    groups = _by_pack(series)
    readings = [reading for _, group in groups for reading in group]
    last = _FIRST_ROW + len(readings) - 1
    packs = (
        [(pack, group) for pack, group in zip(series["packs"], groups, strict=True)]
        if series["packs"]
        else []
    )
    add_title(sheet, f"Readings by {series['kind']}", f"{subject}. {read_how(series)}", len(widths) - 1)
    _add_limits(sheet, limits, kind, last, len(packs))
    _add_headings(sheet, "All pieces")
    _add_figures(sheet, series["whole"], kind, (_FIRST_ROW, last))
    sheet.blank()
    sheet.headings([name for name, _ in named], numbers=_number_columns(kind), lines=2)
    for row, reading in enumerate(readings, start=_FIRST_ROW):
        sheet.append(_reading_row(sheet, row, reading, limits, kind))
    if packs:
        sheet.blank()
        _add_headings(sheet, "By pack")
    first = _FIRST_ROW
    for pack, (_, group) in packs:
        _add_figures(sheet, pack, kind, (first, first + len(group) - 1), pack["pack"] or "no pack named")
        first += len(group)
    return SeriesSheet(title, tuple(f"{letter}6" for letter in _FIGURE_LETTERS), "K3")


def _by_pack(series: SeriesPart) -> list[tuple[str, list[ReadingPart]]]:
    """The readings with those of a pack together, so that a pack is one range; packs as they were read."""
    groups: dict[str, list[ReadingPart]] = {}
    for reading in series["readings"]:
        groups.setdefault(same_name(reading["pack"]), []).append(reading)
    return list(groups.items())


def _add_limits(sheet: Sheet, limits: LimitsPart, kind: _Kind, last: int, packs: int) -> None:
    """The limits the formulas go by, which may be changed, and how far the sheet differs from the record."""
    has = has_limits(limits)
    apart_rows = [7, *(last + 5 + 3 * number for number in range(packs))]
    ranges = [f"{_FIGURE_LETTERS[0]}{row}:{_FIGURE_LETTERS[-1]}{row}" for row in apart_rows]
    column = kind.letter(5)
    sheet.append(
        (
            sheet.text(0, "Limits, MC %" if has else "No limits named", Look.LABEL),
            None,
            sheet.number(2, limits["low_pct"], "General"),
            sheet.text(3, "to", Look.INDENTED) if has else None,
            sheet.number(4, limits["high_pct"], "General"),
            None,
            sheet.text(6, "Greatest difference on this sheet", Look.LABEL),
            *(None,) * 3,
            sheet.formula(10, greatest([*ranges, f"{column}{_FIRST_ROW}:{column}{last}"]), DIFFERENCE),
        )
    )


def _add_headings(sheet: Sheet, label: str) -> None:
    last = _FIRST_FIGURE + len(FIGURES)
    sheet.headings([label, " ", *(name for name, _, _ in FIGURES)], numbers=range(_FIRST_FIGURE, last))


def _add_figures(
    sheet: Sheet, pack: PackPart, kind: _Kind, rows: tuple[int, int], name: str = "As recorded"
) -> None:
    """Three rows: the record's figures, the same worked out from these rows, how far they are apart."""
    told_row = sheet.rows + 1
    ranges = {
        name_: f"{kind.letter(number)}{rows[0]}:{kind.letter(number)}{rows[1]}"
        for name_, number in (("mc", 2), ("side", 4))
    }
    letters = dict(zip(FIGURES, _FIGURE_LETTERS, strict=True))
    columns = list(enumerate(FIGURES, start=_FIRST_FIGURE))
    values = dict(zip(FIGURES, figures_of(pack), strict=True))
    # Row by row: a sheet uses the cells of a column and a look over again.
    told = [sheet.number(column, values[one], one[1], Look.STRONG) for column, one in columns]
    sheet.append([sheet.text(0, name), None, *told])
    worked_out = [sheet.formula(column, one[2].format(**ranges), one[1]) for column, one in columns]
    sheet.append([sheet.text(0, "worked out", Look.LABEL), None, *worked_out])
    differs = [
        sheet.formula(
            column,
            apart(f"{letters[one]}{told_row}", f"{letters[one]}{told_row + 1}"),
            DIFFERENCE,
            Look.QUIET,
        )
        for column, one in columns
    ]
    sheet.append([sheet.text(0, "apart", Look.LABEL), None, *differs])


def _reading_row(sheet: Sheet, row: int, reading: ReadingPart, limits: LimitsPart, kind: _Kind) -> list[Any]:
    at = 3 + len(kind.raw)
    told, side, mc, shown, worked_side = (f"{kind.letter(number)}{row}" for number in range(5))
    differs = f"MAX({apart(told, mc)},{apart(side, worked_side)})"
    notes = ["corrected beyond the range published for it"] if reading["extrapolated"] else []
    notes += [reading["note"]] if reading["note"] else []
    read_at = moment_of(reading["read_at"]).replace(tzinfo=None, second=0, microsecond=0)
    return [
        sheet.text(0, reading["pack"]),
        sheet.text(1, reading["piece"]),
        sheet.clock(2, read_at),
        *kind.cells(sheet, reading),
        sheet.text(at, OVER, Look.RIGHT)
        if reading["over"]
        else sheet.number(at, without_noise(reading["mc_pct"]), MC),
        sheet.text(at + 1, _side(reading, limits), Look.RIGHT),
        sheet.formula(at + 2, kind.mc.format(row=row, told=told), MC, Look.RIGHT),
        sheet.formula(at + 3, _to_a_tenth(mc), "0.0", Look.RIGHT),
        sheet.formula(at + 4, _side_formula(mc, shown), "General", Look.RIGHT),
        sheet.formula(at + 5, differs, DIFFERENCE, Look.QUIET),
        sheet.text(at + 6, "; ".join(notes), Look.INDENTED),
    ]


def _side(reading: ReadingPart, limits: LimitsPart) -> str | None:
    if not has_limits(limits):
        return None
    if reading["over"]:
        return _SIDES[1]
    mc_pct = reading["mc_pct"]
    return None if mc_pct is None else _SIDES[side_of(mc_pct, limits["low_pct"], limits["high_pct"])]


def _to_a_tenth(mc: str) -> str:
    """The figure that is held against the limits: to 0.1 %, an exact half to the even digit, as counted."""
    tenths = f"ROUND({mc}*10,8)"
    is_half = f"ABS({tenths}-INT({tenths})-0.5)<0.0000001"
    return f'IF(ISNUMBER({mc}),IF({is_half},2*ROUND({tenths}/2,0),ROUND({tenths},0))/10,"")'


def _side_formula(mc: str, shown: str) -> str:
    below = f"AND(ISNUMBER({_LOW}),{shown}<{_LOW})"
    above = f"AND(ISNUMBER({_HIGH}),{shown}>{_HIGH})"
    side = f'IF({below},"below",IF({above},"above","inside"))'
    over = f'IF({mc}="{OVER}","above","")'
    return f'IF(COUNT({_LOW},{_HIGH})=0,"",IF(ISNUMBER({mc}),{side},{over}))'


def _kind_of(series: SeriesPart) -> _Kind:
    readings = series["readings"]
    if any(reading["wet_weight"] for reading in readings):
        return _OVEN
    return _METER if any(reading["reading_pct"] is not None for reading in readings) else _BOARDS


def _number_columns(kind: _Kind) -> Sequence[int]:
    return range(3, 3 + len(kind.raw) + 6)


def _meter_cells(sheet: Sheet, reading: ReadingPart) -> list[Any]:
    unit = reading["temperature_unit"]
    warm = f'General" {unit_words(unit)}"' if unit in ("C", "F") else "General"
    return [
        sheet.number(3, reading["reading_pct"], "0.0##"),
        sheet.number(4, reading["wood_temperature"], warm),
        sheet.number(5, reading["temperature_correction_pct"], "+0.0##;-0.0##;0"),
        sheet.number(6, reading["species_correction_pct"], "+0.0##;-0.0##;0"),
    ]


def _oven_cells(sheet: Sheet, reading: ReadingPart) -> list[Any]:
    return [
        sheet.number(column, _grams(typed), _WEIGHT)
        for column, typed in ((3, reading["wet_weight"]), (4, reading["oven_dry_weight"]))
    ]


def _grams(typed: str | None) -> float | None:
    """What was typed with its unit, in grams; None where it cannot be read."""
    if typed is None:
        return None
    try:
        return weight_from_text(typed, WeightUnit.G).g
    except KilnlogError:
        return None


_METER = _Kind(
    (("Reading %", 10), ("Wood", 10), ("For temperature", 13), ("For species", 10)),
    _meter_cells,
    f'IF(COUNT(D{{row}})=0,"",IF(MAX(D{{row}},D{{row}}+F{{row}}+G{{row}})>30,"{OVER}",'
    f"{formula_without_noise('D{row}+F{row}+G{row}')}))",
)
_OVEN = _Kind(
    (("Wet weight g", 11), ("Oven-dry weight g", 11)),
    _oven_cells,
    f'IF(COUNT(D{{row}}:E{{row}})<2,"",{formula_without_noise("100*(D{row}/E{row}-1)")})',
)
#: What a board's last weighing says is worked out on no sheet of the owner's: it is taken as told.
_BOARDS = _Kind((), lambda sheet, reading: [], 'IF(ISNUMBER({told}),{told},"")')
