"""The chart of moisture over days that workbooks carry: native, so that it moves with the cells."""

from __future__ import annotations

from math import ceil, floor
from typing import Any

_MOST_TICKS = 20

#: Hues that stay apart for the colour-blind and in grey; markers and dashes tell later boards apart.
_HUES = ("0F3756", "BF4C00", "006B4B", "AF7594", "553500", "0090C8")
_MARKERS = ("circle", "square", "triangle", "diamond", "x", "plus")
_DASHES = ("solid", "dash", "sysDot", "dashDot")


def moisture_chart(title: str, days: str, *, width_cm: float = 28, height_cm: float = 15) -> Any:
    """An empty chart of MC over days: days are no whole numbers, so both axes measure.

    Args:
        title: Above it.
        days: What the days are counted from, at the foot.
        width_cm: On the sheet.
        height_cm: On the sheet.
    """
    from openpyxl.chart import ScatterChart  # noqa: PLC0415 - slow to load, wanted by this verb alone
    from openpyxl.chart.axis import ChartLines  # noqa: PLC0415 - as above
    from openpyxl.chart.legend import Legend  # noqa: PLC0415 - as above
    from openpyxl.chart.shapes import GraphicalProperties  # noqa: PLC0415 - as above
    from openpyxl.drawing.line import LineProperties  # noqa: PLC0415 - as above

    chart: Any = ScatterChart()
    chart.style = 2
    chart.scatterStyle = "lineMarker"
    chart.title = title
    chart.x_axis.title = days
    chart.y_axis.title = "MC %"
    chart.x_axis.number_format = chart.y_axis.number_format = "0"
    chart.x_axis.delete = chart.y_axis.delete = False  # else some programs draw none
    chart.y_axis.scaling.min = 0
    chart.x_axis.majorGridlines = None
    pale = GraphicalProperties(ln=LineProperties(solidFill="DDD6C7", w=6_350))
    chart.y_axis.majorGridlines = ChartLines(spPr=pale)
    chart.y_axis.crosses = "min"  # at the left edge, though days may begin below nought
    chart.width, chart.height = width_cm, height_cm
    chart.legend = Legend()
    chart.legend.position = "r"
    chart.display_blanks = "span"  # a board missed in one round is still one line
    return chart


def mark_days(chart: Any, first: float, last: float) -> None:
    """Ticks at round days: a start weight hours before loading must not open twenty empty days."""
    span = max(last - min(first, 0.0), 1.0)
    step = next(
        step for step in (1, 2, 5, 10, 20, 50, 100, 1_000) if span / step <= _MOST_TICKS or step == 1_000
    )
    chart.x_axis.majorUnit = step
    chart.x_axis.scaling.min = step * floor(min(first, 0.0) / step) if first < 0 else 0
    chart.x_axis.scaling.max = step * ceil(max(last, 1.0) / step)


def dress(series: Any, number: int, boards: int) -> None:
    """Boards in hues with markers; what comes after the boards (control, mean, target) in ink without."""
    series.smooth = False
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
