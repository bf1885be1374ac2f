"""The checking sheet: every sum of the boards once more in live formulas, beside the program's figures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kilnlog.drying.facts_at import facts_at
from kilnlog.exchange.checking_rows import DIFFERENCE, DRY, PROGRAM, CheckingRow, checking_rows
from kilnlog.exchange.readable import ReadableCharge
from kilnlog.exchange.sheet import Look, Sheet
from kilnlog.exchange.sheet_names import CHECKING

_HEADINGS = (
    "Charge",
    "Board",
    "What",
    "When",
    "Weight g",
    "End coats g",
    "Net weight g",
    "Oven-dry weight g",
    "MC %",
    "The program says",
    "Difference",
)
_WIDTHS = (16, 10, 42, 18, 12, 12, 13, 18, 13, 18, 14)
_FIRST_ROW = 4  # below the headings, the greatest difference and a blank row
_WEIGHT_FORMAT = "0.0000"
_MC_FORMAT = "0.0000"
_DIFFERENCE_FORMAT = "0.0E+00"


def write_checking(book: Any, charges: Sequence[ReadableCharge], footer: str) -> None:
    """Write the sheet. It says at the top how far the program and the sheet differ at most."""
    sheet = Sheet(book, CHECKING, _WIDTHS, heading_row=1, footer=footer)
    sheet.headings(_HEADINGS, numbers=range(4, len(_HEADINGS)))
    rows = [(charge.assessment.charge.charge, board, row) for charge, board, row in _all_rows(charges)]
    last = max(_FIRST_ROW, _FIRST_ROW + len(rows) - 1)
    differences = f"{DIFFERENCE}{_FIRST_ROW}:{DIFFERENCE}{last}"
    greatest = f"MAX(ABS(MAX({differences})),ABS(MIN({differences})))"
    sheet.append(
        (
            *(None,) * 2,
            sheet.text(2, "greatest difference on this sheet", Look.LABEL),
            *(None,) * 7,
            sheet.formula(10, greatest, _DIFFERENCE_FORMAT),
        )
    )
    sheet.blank()
    for number, (charge, board, row) in enumerate(rows, start=_FIRST_ROW):
        sheet.append(_cells(sheet, number, charge, board, row))


def _all_rows(charges: Sequence[ReadableCharge]) -> list[tuple[ReadableCharge, str, CheckingRow]]:
    rows: list[tuple[ReadableCharge, str, CheckingRow]] = []
    for charge in charges:
        at = charge.assessment.at
        facts = {board.entity: board for board in facts_at(charge.record, at).boards}
        for figures in charge.boards:
            for row in checking_rows(figures, facts[figures.entity], at, _FIRST_ROW + len(rows)):
                rows.append((charge, figures.board, row))
    return rows


def _cells(sheet: Sheet, number: int, charge: str, board: str, row: CheckingRow) -> tuple[Any, ...]:
    def formula(column: int, text: str | None, number_format: str) -> Any:
        return sheet.formula(column, text and text.format(row=number), number_format)

    difference = None
    if row.program is not None and row.compares is not None:
        difference = f"{row.compares}{{row}}-{PROGRAM}{{row}}"
    dry = formula(7, row.dry, _WEIGHT_FORMAT) or sheet.number(7, row.dry_g, _WEIGHT_FORMAT)
    return (
        sheet.text(0, charge),
        sheet.text(1, board),
        sheet.text(2, row.what),
        sheet.moment(3, row.at),
        sheet.number(4, row.weight_g, "General"),
        sheet.number(5, row.coats_g or None, "General"),
        formula(6, row.net, _WEIGHT_FORMAT),
        dry,
        formula(8, row.mc, _MC_FORMAT),
        sheet.number(9, row.program, _WEIGHT_FORMAT if row.compares == DRY else _MC_FORMAT),
        formula(10, difference, _DIFFERENCE_FORMAT),
    )
