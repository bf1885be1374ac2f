"""The weigh sheet for the clipboard: what each board weighed last, what to expect of it in the next round."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kilnlog.drying.assessment import assess
from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.figures import BoardFigures, BoardState
from kilnlog.logbook import figures
from kilnlog.logbook.air_in_hand import air_digest
from kilnlog.logbook.due_next import usual_days
from kilnlog.logbook.errors import NothingToWeigh
from kilnlog.logbook.paper_contents import mill_of
from kilnlog.logbook.round_sheet import LineState, RoundSheet, last_weights, round_sheet
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.reference.tables import load

if TYPE_CHECKING:
    from kilnlog.exchange.papers.weigh_sheet import WeighSheet, WeighSheetLine

_STILL_WEIGHED = (BoardState.IN_USE, BoardState.DRYING_OVEN)
_A_SECOND_H = 1 / 3600


def weigh_sheet_of(book: Logbook, record: ChargeRecord) -> WeighSheet:
    """The boards still in the kiln, in walking order, each with the newest weight there is of it.

    Raises:
        NothingToWeigh: The charge is closed.
    """
    if record.is_closed:
        raise NothingToWeigh(charge=record.particulars.charge)
    at = book.now(record.particulars.zone)
    digest = air_digest(book, record, load(), at)
    assessment = assess(record, load(), at, digest)
    sheet = round_sheet(record, load(), assessment, at)
    walked_at = _next_round(sheet, usual_days(assessment), at)
    then = assessment if walked_at == at else assess(record, load(), walked_at, digest)
    last = last_weights(record, at.plus_hours(_A_SECOND_H))
    boards = [board for board in then.boards if board.state in _STILL_WEIGHED]
    unloaded_at = record.particulars.unloaded_at
    return {
        "charge": record.particulars.charge,
        "kiln": assessment.kiln,
        "mill": mill_of(facts_at(record, at)),
        "unit": sheet.unit.value,
        "made_at": at.iso(),
        "expected_at": walked_at.iso(),
        "unloaded_at": None if unloaded_at is None else unloaded_at.iso(),
        "lines": [_line(board, last.get(board.entity), sheet.unit) for board in boards],
    }


def _next_round(sheet: RoundSheet, every_days: int, now: Moment) -> Moment:
    """When the sheet will be walked with: now, or, this round being done, as many days on as usual."""
    asked = [line for line in sheet.lines if line.state is not LineState.OUT]
    is_done = sheet.begun_at is not None and all(line.state is not LineState.WAITING for line in asked)
    return sheet.begun_at.plus_hours(24 * every_days) if is_done and sheet.begun_at is not None else now


def _line(board: BoardFigures, last: tuple[Moment, Weight] | None, unit: WeightUnit) -> WeighSheetLine:
    low_g, high_g = board.expected_low_g, board.expected_high_g
    expected = None if low_g is None or high_g is None else figures.weight_span(low_g, high_g, unit)
    return {
        "board": board.board,
        "place": board.fact.position or None,
        "lot": board.lot,
        "last_weight": None if last is None else figures.as_typed(last[1]),
        "last_at": None if last is None else last[0].iso(),
        "expected": expected,
    }
