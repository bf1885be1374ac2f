"""The sheet of the tally: piece lines, their volumes worked out live, and prices to fill in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kilnlog.drying.closing.tally import Rounding
from kilnlog.exchange.papers.contents_tally import TallyPart, TallyTotals
from kilnlog.exchange.papers.customer_workbook_page import (
    DIFFERENCE,
    Printing,
    add_title,
    apart,
    greatest,
    new_sheet,
)
from kilnlog.exchange.papers.lot_words import shrinkage_words
from kilnlog.exchange.papers.words import sentence, unit_words
from kilnlog.exchange.sheet import Look, Sheet
from kilnlog.records.errors import KilnlogError
from kilnlog.records.measures import CUBIC_METRES_PER_BOARD_FOOT, MM_PER_INCH, thickness_mm
from kilnlog.records.words import TallyTime, VolumeUnit

_HEADING_ROW, _FIRST_ROW = 4, 5
_MONEY = "#,##0.00"
_FORMATS = {VolumeUnit.BOARD_FEET.value: "#,##0.0", VolumeUnit.CUBIC_METRES.value: "0.000"}
#: What a width or a length is multiplied by in the formulas, exact by definition.
_TO_INCHES = {"in": "", "ft": "*12", "mm": "/25.4", "cm": "/2.54", "m": "/0.0254"}
_TO_FEET = {"in": "/12", "ft": "", "mm": "/304.8", "cm": "/30.48", "m": "/0.3048"}
_TO_METRES = {"in": "*0.0254", "ft": "*0.3048", "mm": "/1000", "cm": "/100", "m": ""}


@dataclass(frozen=True, slots=True)
class TallySheet:
    """Where the summary finds the greatest difference."""

    title: str
    greatest: str


def write_tally(book: Any, title: str, subject: str, tally: TallyTotals, printing: Printing) -> TallySheet:
    """Write the sheet; amounts follow from the volumes worked out, so that a changed count of pieces counts.

    Args:
        book: The workbook.
        title: Of the sheet.
        subject: Charge, lot and owner.
        tally: Its lines, one at least.
        printing: Paper, head and foot.
    """
    unit = unit_words(tally["unit"])
    thick = "mm" if tally["unit"] == VolumeUnit.CUBIC_METRES else "in"
    named: tuple[tuple[str, float], ...] = (
        # Narrow, so that fitted to a page's width it can still be read.
        *(("When", 7), ("Class", 12), ("Thickness", 10.5), (f"Thick, {thick}", 7), ("Width", 7), ("", 6)),
        *(("Length", 7), ("", 6), ("Pieces", 7), (f"Volume, {unit}", 12), ("Worked out", 10)),
        *(("Apart", 7), (f"Price per {unit}", 9), ("Amount", 11), ("  Note", 16)),
    )
    sheet = new_sheet(book, title, [width for _, width in named], printing, heading_row=_HEADING_ROW)
    last = _FIRST_ROW + len(tally["lines"]) - 1
    add_title(sheet, "Tally", f"{subject}. {_how(tally)}", len(named) - 1)
    _add_check(sheet, last + 4)
    numbers = (3, 4, 6, 8, 9, 10, 11, 12, 13)
    sheet.headings([name or " " for name, _ in named], numbers=numbers, lines=2)
    for row, line in enumerate(tally["lines"], start=_FIRST_ROW):
        sheet.append(_line(sheet, row, line, tally))
    sheet.blank()
    _add_total(sheet, "Total green", TallyTime.GREEN, tally["green"], last, tally["unit"])
    _add_total(sheet, "Total net", TallyTime.NET, tally["net"], last, tally["unit"])
    _add_shrinkage(sheet, tally, last)
    return TallySheet(title, "L3")


def _how(tally: TallyTotals) -> str:
    if all(line["is_typed"] for line in tally["lines"]):
        return "Totals as typed"
    return f"Volumes by {tally['rounding']}" if tally["rounding"] else "Volumes"


def _add_check(sheet: Sheet, last: int) -> None:
    sheet.append(
        (
            sheet.text(0, "Fill in prices in the coloured column; the amounts follow.", Look.LABEL),
            *(None,) * 5,
            sheet.text(6, "Greatest difference on this sheet", Look.LABEL),
            *(None,) * 4,
            sheet.formula(11, greatest([f"L{_FIRST_ROW}:L{last}"]), DIFFERENCE),
        )
    )


def _line(sheet: Sheet, row: int, line: TallyPart, tally: TallyTotals) -> list[Any]:
    shown = _FORMATS.get(tally["unit"], "General")
    thick = None if line["is_typed"] else _thick(line["thickness"], tally["unit"])
    formula = f"J{row}" if line["is_typed"] or thick is None else _volume(row, line, tally)
    notes = ["total as typed"] if line["is_typed"] else []
    notes += [line["note"]] if line["note"] else []
    return [
        sheet.text(0, line["when"]),
        sheet.text(1, line["grade"]),
        sheet.text(2, line["thickness"]),
        sheet.number(3, thick, "General"),
        sheet.number(4, line["width"], "General"),
        sheet.text(5, line["width_unit"], Look.INDENTED),
        sheet.number(6, line["length"], "General"),
        sheet.text(7, line["length_unit"], Look.INDENTED),
        sheet.number(8, line["pieces"], "#,##0"),
        sheet.number(9, line["volume"], shown),
        sheet.formula(10, formula, shown),
        sheet.formula(11, apart(f"J{row}", f"K{row}"), DIFFERENCE, Look.QUIET),
        sheet.to_fill(12, _MONEY),
        sheet.formula(13, f'IF(ISNUMBER(M{row}),M{row}*K{row},"")', _MONEY),
        sheet.text(14, "; ".join(notes), Look.INDENTED),
    ]


def _thick(thickness: str | None, unit: str) -> float | None:
    """The thickness in inches, or in millimetres beside cubic metres; None if it cannot be read."""
    if thickness is None:
        return None
    try:
        thick_mm = thickness_mm(thickness)
    except KilnlogError:  # a decimal comma, say: the volume told stands, without a sum beside it
        return None
    return thick_mm if unit == VolumeUnit.CUBIC_METRES else thick_mm / float(MM_PER_INCH)


def _volume(row: int, line: TallyPart, tally: TallyTotals) -> str:
    """The formula of a line's volume, as ``drying.closing.tally`` works it out."""
    wide, long, pieces = f"E{row}", f"G{row}", f"I{row}"
    width_unit, length_unit = line["width_unit"] or "", line["length_unit"] or ""
    if width_unit not in _TO_INCHES or length_unit not in _TO_INCHES or line["pieces"] is None:
        return f"J{row}"
    is_metric = tally["unit"] == VolumeUnit.CUBIC_METRES
    if tally["rounding"] == Rounding.SURFACE_MEASURE:
        feet = f"ROUND({wide}{_TO_INCHES[width_unit]}*{long}{_TO_FEET[length_unit]}/12,9)"
        over = f"ROUND({feet}-INT({feet}),9)"
        # An exact half goes up and down by turns from piece to piece, up first.
        up = f"IF({over}>0.5,{pieces},IF({over}=0.5,INT(({pieces}+1)/2),0))"
        thick = f"D{row}/25.4" if is_metric else f"D{row}"
        board_feet = f"(INT({feet})*{pieces}+{up})*MAX({thick},1)"
        return f"{board_feet}*{float(CUBIC_METRES_PER_BOARD_FOOT)!r}" if is_metric else board_feet
    if is_metric:
        return f"D{row}/1000*{wide}{_TO_METRES[width_unit]}*{long}{_TO_METRES[length_unit]}*{pieces}"
    return f"D{row}*{wide}{_TO_INCHES[width_unit]}*{long}{_TO_FEET[length_unit]}/12*{pieces}"


def _add_total(sheet: Sheet, label: str, when: TallyTime, told: float | None, last: int, unit: str) -> None:
    """The lines of that time added up; an empty row where there is none, so that rows keep their places."""
    if told is None:
        sheet.blank()
        return
    row = sheet.rows + 1
    shown = _FORMATS.get(unit, "General")

    def added(letter: str) -> str:
        lines = f"A{_FIRST_ROW}:A{last}"
        return f'SUMIF({lines},"{when.value}",{letter}{_FIRST_ROW}:{letter}{last})'

    amount = f'IF(COUNT(M{_FIRST_ROW}:M{last})=0,"",{added("N")})'
    sheet.append(
        (
            sheet.text(0, label, Look.STRONG),
            *(None,) * 7,
            sheet.formula(8, added("I"), "#,##0;;", Look.STRONG),
            sheet.number(9, told, shown, Look.STRONG),
            sheet.formula(10, added("K"), shown, Look.STRONG),
            sheet.formula(11, apart(f"J{row}", f"K{row}"), DIFFERENCE, Look.QUIET),
            None,
            sheet.formula(13, amount, _MONEY, Look.STRONG),
        )
    )


def _add_shrinkage(sheet: Sheet, tally: TallyTotals, last: int) -> None:
    """What was lost between green and net, worked out from the two totals above."""
    if tally["shrinkage_pct"] is None:
        return
    row, green, net = last + 4, f"K{last + 2}", f"K{last + 3}"
    sheet.append(
        (
            sheet.text(0, "Less than green, %", Look.LABEL),
            *(None,) * 8,
            sheet.number(9, tally["shrinkage_pct"], "0.0"),
            sheet.formula(10, f'IF({green}=0,"",100*({green}-{net})/{green})', "0.0"),
            sheet.formula(11, apart(f"J{row}", f"K{row}"), DIFFERENCE, Look.QUIET),
        )
    )
    for text in (*shrinkage_words(tally), *tally["remarks"]):
        sheet.spread({(0, 14): sentence(text)}, Look.WRAPPED)
