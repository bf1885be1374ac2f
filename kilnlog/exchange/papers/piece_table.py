"""Every piece read, as it was read: the raw reading beside each correction."""

from __future__ import annotations

from kilnlog.exchange.papers.blocks import Column, Gap, Headed, Words
from kilnlog.exchange.papers.contents import LotPart, ReadingPart, SeriesPart
from kilnlog.exchange.papers.final_words import MOST_NAMED, read_how, series_by_weight
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.limit_words import is_outside
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import SUBHEADING
from kilnlog.exchange.papers.readings_figure import readings_rows, scale_of
from kilnlog.exchange.papers.words import NOTHING, TIE, as_read, figure, short, short_moment, temperature

_METER = (
    Column("Pack", 1.0),
    Column("Piece", 1.0),
    Column("When", 1.9),
    Column("Read, %", 1.0, is_figure=True),
    Column("Wood", 1.0, is_figure=True),
    Column("For temperature", 1.6, is_figure=True),
    Column("For species", 1.1, is_figure=True),
    Column("MC, %", 1.0, is_figure=True),
    Column("", 0.9),
    Column("Note", 1.8),
)
_OVEN = (
    Column("Pack", 1.0),
    Column("Piece", 1.0),
    Column("When", 1.9),
    Column("Wet", 1.3, is_figure=True),
    Column("Oven-dry", 1.3, is_figure=True),
    Column("MC, %", 1.0, is_figure=True),
    Column("", 0.9),
    Column("Note", 2.4),
)


def dots_tell_all(lot: LotPart, width: float) -> bool:
    """Whether the dots show every piece of the lot, and each one outside is named: no table need follow.

    Args:
        lot: The lot.
        width: Of the page's text [pt].
    """
    series, limits = series_by_weight(lot), lot["limits"]
    scale = scale_of(series, limits)
    for one in series:
        if sum(is_outside(reading, limits) for reading in one["readings"]) > MOST_NAMED:
            return False
        if not all(row.tells_all(width) for row in readings_rows(one, limits, scale, one is series[0])):
            return False
    return True


def add_piece_tables(flow: Flow, lot: LotPart, options: PaperOptions) -> None:
    """A table for each series of the lot."""
    for series in series_by_weight(lot):
        flow.add(Gap(8), Headed(f"Piece by piece, {series['kind']}", read_how(series), SUBHEADING))
        is_oven = any(reading["wet_weight"] for reading in series["readings"])
        rows = [_row(reading, lot, options, is_oven) for reading in series["readings"]]
        flow.table(_OVEN if is_oven else _METER, rows)
        for text in _under(series):
            flow.add(Gap(2), Words(text))


def _row(reading: ReadingPart, lot: LotPart, options: PaperOptions, is_oven: bool) -> list[str]:
    first = [reading["pack"] or NOTHING, reading["piece"] or NOTHING]
    first.append(short_moment(reading["read_at"], options))
    mc = "over 30" if reading["over"] else figure(reading["mc_pct"])
    outside = "outside" if is_outside(reading, lot["limits"]) else ""
    last = [mc + ("*" if reading["extrapolated"] else ""), outside, reading["note"] or ""]
    if is_oven:
        return [*first, reading["wet_weight"] or NOTHING, reading["oven_dry_weight"] or NOTHING, *last]
    return [
        *first,
        as_read(reading["reading_pct"]),
        temperature(reading["wood_temperature"], reading["temperature_unit"]),
        _signed(reading["temperature_correction_pct"]),
        _signed(reading["species_correction_pct"]),
        *last,
    ]


def _signed(value: float | None) -> str:
    return NOTHING if value is None else f"{'+' if value > 0 else ''}{short(value)}"


def _under(series: SeriesPart) -> list[str]:
    texts = []
    if any(reading["extrapolated"] for reading in series["readings"]):
        texts.append("* corrected beyond the range that the correction was published for.")
    if any(reading["over"] for reading in series["readings"]):
        texts.append(f"Over 30: above 30{TIE}% a meter tells no figure; counted outside, in no mean.")
    return texts
