"""The weigh sheet for the clipboard: what each board weighed last, and what to expect of it now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kilnlog.drying.assessment import assess
from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.figures import BoardState
from kilnlog.logbook import figures
from kilnlog.logbook.air_in_hand import air_digest
from kilnlog.logbook.paper_contents import mill_of
from kilnlog.logbook.round_sheet import RoundLine, round_sheet
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.weight import WeightUnit
from kilnlog.reference.tables import load

if TYPE_CHECKING:
    from kilnlog.exchange.papers.weigh_sheet import WeighSheet, WeighSheetLine


def weigh_sheet_of(book: Logbook, record: ChargeRecord) -> WeighSheet:
    """The boards still in the kiln, in walking order, as of now."""
    at = book.now(record.particulars.zone)
    assessment = assess(record, load(), at, air_digest(book, record, load(), at))
    sheet = round_sheet(record, load(), assessment, at)
    weighed = {board.entity: board for board in assessment.boards}
    lines = [line for line in sheet.lines if weighed[line.entity].state in _STILL_WEIGHED]
    return {
        "charge": record.particulars.charge,
        "kiln": assessment.kiln,
        "mill": mill_of(facts_at(record, at)),
        "unit": sheet.unit.value,
        "made_at": at.iso(),
        "lines": [_line(line, weighed[line.entity].lot, sheet.unit) for line in lines],
    }


_STILL_WEIGHED = (BoardState.IN_USE, BoardState.DRYING_OVEN)


def _line(line: RoundLine, lot: str | None, unit: WeightUnit) -> WeighSheetLine:
    low_g, high_g = line.expected_low_g, line.expected_high_g
    expected = None if low_g is None or high_g is None else figures.weight_span(low_g, high_g, unit)
    return {
        "board": line.board,
        "place": line.place or None,
        "lot": lot,
        "last_weight": None if line.last is None else figures.as_typed(line.last),
        "last_at": None if line.last_at is None else line.last_at.iso(),
        "expected": expected,
    }
