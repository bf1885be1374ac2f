"""One sheet per charge: the moisture content of each board by day, with a chart of it."""

from __future__ import annotations

from typing import Any

from kilnlog.drying.figures import RoundFigures
from kilnlog.exchange.moisture_chart import dress, mark_days, moisture_chart
from kilnlog.exchange.readable import ReadableCharge
from kilnlog.exchange.sheet import Sheet
from kilnlog.exchange.summary_sheet import MC
from kilnlog.records.moment import Moment

_HOURS_PER_DAY = 24
_NARROW = 9  # columns


def write_moisture(book: Any, charge: ReadableCharge, title: str, footer: str) -> None:
    """Write the sheet: a row per weighing round, boards missed in a round left blank."""
    boards = [board.board for board in charge.boards]
    over_all = ("Control", "Mean", "Target") if charge.is_whole else ("Target",)
    headings = ("Round", "Days", *(f"Board {board}" for board in boards), *over_all)
    widths = (18, 8, *(12.0,) * (len(headings) - 2))
    sheet = Sheet(book, title, widths, heading_row=1, footer=footer)
    sheet.headings(headings, numbers=range(1, len(headings)))
    rounds = _shown_rounds(charge, set(boards))
    begin = _begin(charge)
    for one in rounds:
        weighed = set(one.weighed)
        figures = [one.mc_pct.get(board) if board in weighed else None for board in boards]
        if charge.is_whole:
            figures += [one.control.mc_pct, one.mean_mc_pct]
        figures.append(charge.assessment.target_mc_pct)
        days = one.at.hours_since(begin) / _HOURS_PER_DAY if begin else None
        sheet.append(
            (
                sheet.moment(0, one.at),
                sheet.number(1, days, "0.0"),
                *(sheet.number(column, figure, MC) for column, figure in enumerate(figures, start=2)),
            )
        )
    if rounds and begin:
        chart = _chart(sheet, charge, len(boards), len(headings))
        first, last = (one.at.hours_since(begin) / _HOURS_PER_DAY for one in (rounds[0], rounds[-1]))
        mark_days(chart, first, last)
        sheet.add_chart(chart, _beside_or_below(sheet, len(headings)))


def _shown_rounds(charge: ReadableCharge, boards: set[str]) -> list[RoundFigures]:
    return [one for one in charge.assessment.rounds if boards & set(one.weighed)]


def _begin(charge: ReadableCharge) -> Moment | None:
    """What days are counted from: loading, else the first round."""
    rounds = charge.assessment.rounds
    return charge.assessment.loaded_at or (rounds[0].at if rounds else None)


def _beside_or_below(sheet: Sheet, columns: int) -> str:
    """Where the chart goes: beside a narrow table; below a wide one, whose print would shrink to nothing."""
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - slow to load, wanted by this verb alone

    return f"{get_column_letter(columns + 2)}2" if columns <= _NARROW else f"A{sheet.rows + 3}"


def _chart(sheet: Sheet, charge: ReadableCharge, boards: int, columns: int) -> Any:
    """A series for each column, days at the foot."""
    from openpyxl.chart import Reference, Series  # noqa: PLC0415 - as above

    chart = moisture_chart(
        f"Charge {charge.assessment.charge.charge}: moisture content",
        "days since loading" if charge.assessment.loaded_at else "days",
    )
    own = sheet.openpyxl_sheet
    days = Reference(own, min_col=2, min_row=2, max_row=sheet.rows)
    for column in range(3, columns + 1):
        values = Reference(own, min_col=column, min_row=1, max_row=sheet.rows)
        series = Series(values, days, title_from_data=True)
        dress(series, column - 3, boards)
        chart.series.append(series)
    return chart
