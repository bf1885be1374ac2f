"""The first sheet of a lot: what the quality record says, figures as numbers, for people of spreadsheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kilnlog.exchange.papers import lot_words
from kilnlog.exchange.papers.contents import Contents, IntervalPart, LotPart, PackPart
from kilnlog.exchange.papers.customer_workbook_page import DIFFERENCE, greatest, plain
from kilnlog.exchange.papers.customer_workbook_readings import FIGURES, SeriesSheet, figures_of
from kilnlog.exchange.papers.final_words import (
    average_sentence,
    boards_alone_sentence,
    interval_sentence,
    measured,
    outside_sentence,
    pairs_sentence,
    read_how,
    sample_sentence,
    series_by_weight,
)
from kilnlog.exchange.papers.limit_words import limits_remarks, ordered
from kilnlog.exchange.papers.lot_page import measured_words
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.seal_words import moisture_heading, seal_line, title_of
from kilnlog.exchange.papers.words import count, moment_of, sentence, unit_words
from kilnlog.exchange.sheet import Look, Sheet

WIDTHS = (24, *(11,) * len(FIGURES))
HEADING_ROW = 1
_LAST = len(WIDTHS) - 1
_MC = "0.00"
_VOLUME = {"m3": "0.000"}


@dataclass(frozen=True, slots=True)
class Checked:
    """The sheets that work figures out anew."""

    series: Sequence[SeriesSheet]
    others: Sequence[str]  # cells of greatest differences, with their sheets


def write_summary(
    sheet: Sheet, subject: str, contents: Contents, lot: LotPart, options: PaperOptions, checked: Checked
) -> None:
    """Fill the sheet: who, what, how much, when, final moisture, what else is known, seal.

    Args:
        sheet: Made with ``WIDTHS``; it comes first in the book and is filled last.
        subject: Charge, lot and owner.
        contents: What the lot's owner may read.
        lot: The lot.
        options: Order of dates, seal.
        checked: Where the figures are worked out.
    """
    lot = lot_words.with_answers(lot, contents["answers"])
    mill = ", ".join(part for part in (contents["mill"].get("name"), contents["mill"].get("place")) if part)
    sheet.texts((title_of(contents, lot),), Look.TITLE)
    sheet.texts((plain(subject),), Look.STRONG)
    sheet.texts((mill,), Look.QUIET)
    sheet.blank()
    _add_particulars(sheet, contents, lot, options)
    sheet.blank()
    _add_final(sheet, lot, moisture_heading(contents, lot), checked)
    sheet.blank()
    if treated := lot_words.treatments(lot, options):
        _told(sheet, "Treatment", treated)
    _told(sheet, "Stress", lot_words.stress(lot))
    _told(sheet, "Defects", lot_words.defects(lot))
    _told(sheet, "Tally", lot_words.tally_words(lot))
    _told(sheet, "Heat", lot_words.heat(contents, lot, options))
    _told(sheet, "Instruments", lot_words.instruments(contents, lot, options))
    if lot["storage"]:
        _told(sheet, "Keeping", lot["storage"])
    sheet.blank()
    for text in (measured_words(contents, lot, options), seal_line(contents, options)):
        sheet.spread({(0, _LAST): plain(text)}, Look.WRAPPED)


def _told(sheet: Sheet, label: str, text: str) -> None:
    """A label and the words beside it."""
    sheet.spread({(0, 0): label, (1, _LAST): plain(text)}, Look.WRAPPED, first_look=Look.LABEL)


def _number(sheet: Sheet, label: str, value: float | None, number_format: str, unit: str = "") -> None:
    if value is not None:
        cell = sheet.number(1, value, number_format, Look.LEFT)
        sheet.append((sheet.text(0, label, Look.LABEL), cell, sheet.text(2, unit)))


def _moment(sheet: Sheet, label: str, at: str | None) -> None:
    if at is not None:
        cell = sheet.clock(1, moment_of(at).replace(tzinfo=None, second=0, microsecond=0))
        sheet.append((sheet.text(0, label, Look.LABEL), cell))
        sheet.openpyxl_sheet.merged_cells.add(
            f"B{sheet.rows}:C{sheet.rows}"
        )  # a moment is wider than a figure


def _add_particulars(sheet: Sheet, contents: Contents, lot: LotPart, options: PaperOptions) -> None:
    charge, tally = contents["charge"], lot["tally"]
    _told(sheet, "Owner", lot["owner"] or "not named")
    _told(sheet, "Charge and lot", f"{charge['charge']}, lot {lot['lot']}")
    _told(sheet, "What", lot_words.what(lot))
    if tally is not None and (tally["green"] is not None or tally["net"] is not None):
        for label, volume in (("Tallied green", tally["green"]), ("Tallied net", tally["net"])):
            _number(sheet, label, volume, _VOLUME.get(tally["unit"], "#,##0.0"), unit_words(tally["unit"]))
    else:
        unit = lot["volume_unit"] or ""
        _number(sheet, "How much", lot["volume"], _VOLUME.get(unit, "#,##0.0"), unit_words(unit))
    _told(sheet, "Kiln", ", ".join(part for part in (charge["kiln"], charge["heat"]) if part) or "not named")
    _moment(sheet, "Loaded", charge["loaded_at"])
    _moment(sheet, "Left the kiln" if lot["out_at"] else "Unloaded", lot["out_at"] or charge["unloaded_at"])
    if lot["out_at"] is None:
        _number(sheet, "Days in the kiln", charge["day_count"], "0")
    _told(sheet, "Ordered", ordered(lot["limits"]))
    _number(sheet, "Target MC %", lot["limits"]["target_mc_pct"], "0.0##")
    _told(sheet, "Measured", measured(lot, options))


def _add_final(sheet: Sheet, lot: LotPart, heading: str, checked: Checked) -> None:
    """Each series with its packs, what the readings' sheet makes of it, and what is to be said of it."""
    series_read = series_by_weight(lot)
    if not series_read:
        _told(
            sheet,
            heading,
            lot_words.answer_words(lot["answers"], "final moisture", lot_words.UNANSWERED["final moisture"]),
        )
        _add_check(sheet, checked)
        return
    headings = [heading, *(name for name, _, _ in FIGURES)]
    sheet.headings(headings, numbers=range(1, len(headings)))
    for series, own in zip(series_read, checked.series, strict=True):
        kind = series["kind"]
        _figures(sheet, kind[0].upper() + kind[1:], series["whole"], Look.STRONG)
        _worked_out(sheet, own)
        for pack in series["packs"]:
            _figures(sheet, f"   pack {pack['pack']}" if pack["pack"] else "   no pack named", pack)
    _add_check(sheet, checked)
    sheet.blank()
    intervals = [interval for series in series_read for interval in series["intervals"]]
    if intervals:
        names = ("Tolerance interval", "From %", "To %", "Share %", "Confidence %", "k")
        sheet.headings(names, numbers=range(1, len(names)), lines=2)
        for series in series_read:
            for interval in series["intervals"]:
                _interval(sheet, series["kind"], interval)
        sheet.blank()
    if text := boards_alone_sentence(series_read):
        _told(sheet, "Note", text)
    _add_sentences(sheet, lot)


def _figures(sheet: Sheet, label: str, pack: PackPart, look: Look = Look.PLAIN) -> None:
    cells = [
        sheet.number(column, value, number_format, look)
        for column, (value, (_, number_format, _)) in enumerate(
            zip(figures_of(pack), FIGURES, strict=True), start=1
        )
    ]
    sheet.append([sheet.text(0, label, look), *cells])


def _worked_out(sheet: Sheet, own: SeriesSheet) -> None:
    cells = [
        sheet.formula(column, on_sheet(own.title, cell), number_format, Look.QUIET)
        for column, (cell, (_, number_format, _)) in enumerate(
            zip(own.worked_out, FIGURES, strict=True), start=1
        )
    ]
    sheet.append([sheet.text(0, "   worked out from readings", Look.QUIET), *cells])


def _add_check(sheet: Sheet, checked: Checked) -> None:
    cells = [*(on_sheet(own.title, own.greatest) for own in checked.series), *checked.others]
    if not cells:
        return
    said = "largest difference between a recorded figure and the same worked out here; 0.000: all agree"
    sheet.append(
        (
            sheet.text(0, "Check", Look.LABEL),
            sheet.formula(1, greatest(cells), DIFFERENCE),
            sheet.text(2, said, Look.QUIET),
        )
    )


def _interval(sheet: Sheet, kind: str, interval: IntervalPart) -> None:
    spread = "normal" if interval["kind"] == "normal" else "any spread"
    sheet.append(
        (
            sheet.text(0, f"{kind}, {spread}"),
            sheet.number(1, interval["low_pct"], _MC),
            sheet.number(2, interval["high_pct"], _MC),
            sheet.number(3, interval["share_pct"], "0.##"),
            sheet.number(4, interval["confidence_pct"], "0.##"),
            sheet.number(5, interval["factor"], "0.000"),
        )
    )


def _add_sentences(sheet: Sheet, lot: LotPart) -> None:
    """What the figures leave to be said, series by series."""
    limits = lot["limits"]
    series_read = series_by_weight(lot)
    for series in series_read:
        said = [sentence(read_how(series)), outside_sentence(series, limits)]
        said.append(average_sentence(series["whole"], limits))
        said += [interval_sentence(interval) for interval in series["intervals"]]
        said += [sentence(remark) for remark in (*series["remarks"], *series["withheld"])]
        beyond = sum(reading["extrapolated"] for reading in series["readings"])
        if beyond:
            said.append(
                f"The correction of {count(beyond, 'reading')} was carried beyond the range it was published "
                "for; the notes beside the readings say which."
            )
        kind = series["kind"]
        _told(sheet, kind[0].upper() + kind[1:], " ".join(part for part in said if part))
    about_all = [
        *limits_remarks(limits),
        sample_sentence(lot, series_read[0]["whole"]["n"]),
        pairs_sentence(lot),
    ]
    if text := " ".join(part for part in about_all if part):
        _told(sheet, "About all", text)


def on_sheet(title: str, cell: str) -> str:
    """The cell as other sheets refer to it."""
    return "'" + title.replace("'", "''") + "'!" + cell
