"""One sheet per charge: the moisture content of each board by day, with a chart of it."""

from __future__ import annotations

from math import ceil, floor
from typing import Any

from kilnlog.drying.figures import RoundFigures
from kilnlog.exchange.readable import ReadableCharge
from kilnlog.exchange.sheet import Sheet
from kilnlog.exchange.summary_sheet import MC
from kilnlog.records.moment import Moment

_HOURS_PER_DAY = 24
_MOST_TICKS = 20
_NARROW = 9  # columns

#: Hues that stay apart for the colour-blind and in grey; markers and dashes tell later boards apart.
_HUES = ("0F3756", "BF4C00", "006B4B", "AF7594", "553500", "0090C8")
_MARKERS = ("circle", "square", "triangle", "diamond", "x", "plus")
_DASHES = ("solid", "dash", "sysDot", "dashDot")


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
        _mark_days(chart, first, last)
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
    """MC over days: days are no whole numbers, so both axes measure."""
    from openpyxl.chart import Reference, ScatterChart, Series  # noqa: PLC0415 - as above
    from openpyxl.chart.axis import ChartLines  # noqa: PLC0415 - as above
    from openpyxl.chart.legend import Legend  # noqa: PLC0415 - as above
    from openpyxl.chart.shapes import GraphicalProperties  # noqa: PLC0415 - as above
    from openpyxl.drawing.line import LineProperties  # noqa: PLC0415 - as above

    chart = ScatterChart()
    chart.style = 2
    chart.scatterStyle = "lineMarker"
    chart.title = f"Charge {charge.assessment.charge.charge}: moisture content"
    chart.x_axis.title = "days since loading" if charge.assessment.loaded_at else "days"
    chart.y_axis.title = "MC %"
    chart.x_axis.number_format = chart.y_axis.number_format = "0"
    chart.x_axis.delete = chart.y_axis.delete = False  # else some programs draw none
    chart.y_axis.scaling.min = 0
    chart.x_axis.majorGridlines = None
    pale = GraphicalProperties(ln=LineProperties(solidFill="DDD6C7", w=6_350))
    chart.y_axis.majorGridlines = ChartLines(spPr=pale)
    chart.y_axis.crosses = "min"  # at the left edge, though days may begin below nought
    chart.width, chart.height = 28, 15  # cm
    chart.legend = Legend()
    chart.legend.position = "r"
    chart.display_blanks = "span"  # a board missed in one round is still one line
    own = sheet.openpyxl_sheet
    days = Reference(own, min_col=2, min_row=2, max_row=sheet.rows)
    for column in range(3, columns + 1):
        values = Reference(own, min_col=column, min_row=1, max_row=sheet.rows)
        series = Series(values, days, title_from_data=True)
        series.smooth = False
        _dress(series, column - 3, boards)
        chart.series.append(series)
    return chart


def _mark_days(chart: Any, first: float, last: float) -> None:
    """Ticks at round days: a start weight hours before loading must not open twenty empty days."""
    span = max(last - min(first, 0.0), 1.0)
    step = next(
        step for step in (1, 2, 5, 10, 20, 50, 100, 1_000) if span / step <= _MOST_TICKS or step == 1_000
    )
    chart.x_axis.majorUnit = step
    chart.x_axis.scaling.min = step * floor(min(first, 0.0) / step) if first < 0 else 0
    chart.x_axis.scaling.max = step * ceil(max(last, 1.0) / step)


def _dress(series: Any, number: int, boards: int) -> None:
    """Boards in hues with markers; control, mean and target in ink without."""
    line = series.graphicalProperties.line
    if number >= boards:
        line.solidFill = "211F1A"
        line.width = 28_000 if number == boards else 12_700  # EMU; the first is what controls
        line.dashStyle = _DASHES[(number - boards) % len(_DASHES)]
        series.marker.symbol = "none"
        return
    hue = _HUES[number % len(_HUES)]
    line.solidFill = hue
    line.width = 15_000
    line.dashStyle = _DASHES[number // len(_HUES) % len(_DASHES)]
    series.marker.symbol = _MARKERS[number % len(_MARKERS)]
    series.marker.size = 5
    series.marker.graphicalProperties.solidFill = hue
    series.marker.graphicalProperties.line.solidFill = hue
