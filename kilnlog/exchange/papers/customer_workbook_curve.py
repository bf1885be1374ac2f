"""The sheet of the drying curve: every weighing of the lot's sample boards, and a chart of them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kilnlog.exchange.moisture_chart import dress, mark_days, moisture_chart
from kilnlog.exchange.papers.contents import BoardPart, Contents, LotPart
from kilnlog.exchange.papers.customer_workbook_page import Printing, add_title, new_sheet
from kilnlog.exchange.papers.words import moment_of
from kilnlog.exchange.sheet import Sheet

_HEADINGS = ("Board", "Weighed", "Days", "MC %")
_WIDTHS = (16, 17, 9, 9, 3, *(10,) * 9)
_FIRST_ROW = 4
_SECONDS_PER_DAY = 86_400
_MC = "0.0"


def has_curve(boards: Sequence[BoardPart]) -> bool:
    """Whether anything can be drawn."""
    return any(board["points"] for board in boards)


def write_curve(
    book: Any, title: str, subject: str, contents: Contents, lot: LotPart, printing: Printing
) -> None:
    """Write the sheet: a row for each weighing, board after board, each to its own minute.

    Days are elapsed ones since loading, or since the first weighing where loading is not recorded.

    Args:
        book: The workbook.
        title: Of the sheet.
        subject: Charge, lot and owner.
        contents: What the lot's owner may read; some board of it was weighed.
        lot: The lot.
        printing: Paper, head and foot.
    """
    boards = [board for board in contents["boards"] if board["points"]]
    loaded_at = contents["charge"]["loaded_at"]
    begin = moment_of(loaded_at or min((at for board in boards for at, _ in board["points"]), key=moment_of))
    sheet = new_sheet(book, title, _WIDTHS, printing, heading_row=_FIRST_ROW - 1)
    add_title(sheet, "Drying curve", f"{subject}. Moisture content of the sample boards", len(_WIDTHS) - 1)
    sheet.headings(_HEADINGS, numbers=(2, 3))
    lines: list[tuple[int, int]] = []
    reach: list[float] = []
    for board in boards:
        first = sheet.rows + 1
        for at, mc_pct in board["points"]:
            days = (moment_of(at) - begin).total_seconds() / _SECONDS_PER_DAY
            reach.append(days)
            clock = moment_of(at).replace(tzinfo=None, second=0, microsecond=0)
            sheet.append(
                (
                    sheet.text(0, f"Board {board['board']}"),
                    sheet.clock(1, clock),
                    sheet.number(2, days, "0.00"),
                    sheet.number(3, mc_pct, _MC),
                )
            )
        lines.append((first, sheet.rows))
    target_pct = lot["limits"]["target_mc_pct"]
    if target_pct is not None:
        first = sheet.rows + 1
        for days in (min(reach), max(reach)):
            sheet.append(
                (
                    sheet.text(0, "Target"),
                    None,
                    sheet.number(2, days, "0.00"),
                    sheet.number(3, target_pct, _MC),
                )
            )
        lines.append((first, sheet.rows))
    _add_chart(sheet, lines, len(boards), (min(reach), max(reach)), has_loading=loaded_at is not None)


def _add_chart(
    sheet: Sheet,
    lines: Sequence[tuple[int, int]],
    boards: int,
    reach: tuple[float, float],
    *,
    has_loading: bool,
) -> None:
    from openpyxl.chart import Reference, Series  # noqa: PLC0415 - slow to load, wanted by this verb alone
    from openpyxl.chart.data_source import StrRef  # noqa: PLC0415 - as above
    from openpyxl.chart.series import SeriesLabel  # noqa: PLC0415 - as above
    from openpyxl.utils import quote_sheetname  # noqa: PLC0415 - as above

    own = sheet.openpyxl_sheet
    chart = moisture_chart(
        "Moisture content of the sample boards",
        "days since loading" if has_loading else "days since the first weighing",
        width_cm=18.5,
        height_cm=11.5,
    )
    for number, (first, last) in enumerate(lines):
        days = Reference(own, min_col=3, min_row=first, max_row=last)
        series = Series(Reference(own, min_col=4, min_row=first, max_row=last), days)
        series.tx = SeriesLabel(strRef=StrRef(f"{quote_sheetname(sheet.title)}!$A${first}"))
        dress(series, number, boards)
        if number >= boards:
            series.graphicalProperties.line.width = 12_700
            series.graphicalProperties.line.dashStyle = "dash"
        chart.series.append(series)
    mark_days(chart, *reach)
    sheet.add_chart(chart, f"F{_FIRST_ROW + 1}")  # clear of the headings, which are printed again
