"""A weighing round of the sample, done as an operator would: each weight is asked about before it is kept."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import BoardFigures, BoardState
from kilnlog.drying.plausibility import doubts
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_text, weight_text
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.reference.tables import Reference

_HOURS_A_BOARD = 1 / 120  # half a minute


def weigh_all(book: Logbook, charge: str, reference: Reference, at: Moment) -> Iterator[Changes]:
    """Weigh every board in use, the first at ``at``: each shows the middle of what is expected of it.

    A weight that raises a doubt is not kept: it waits for somebody to look.
    """
    record = book.file.charge_record(charge)
    unit = weight_unit_of(record)
    for board in assess(record, reference, at).boards:
        if board.state is not BoardState.IN_USE:
            continue
        assessment = assess(record, reference, at)
        weight = _shown(assessment.board_named(board.board), unit)
        if weight is None or _is_doubted(record, reference, board, weight, at):
            continue
        changes = keep_weight(book, charge, board.entity, weight, at)
        record = record.with_entries(changes.entries)
        at = at.plus_hours(_HOURS_A_BOARD)
        yield changes


def _shown(board: BoardFigures, unit: WeightUnit) -> Weight | None:
    """What the board's scale shows in the middle of the expected range."""
    low, high = board.expected_low_g, board.expected_high_g
    if low is None or high is None:
        return None
    return weight_from_text(weight_text((low + high) / 2, unit, board.scale_division_g or 1.0), unit)


def _is_doubted(
    record: ChargeRecord, reference: Reference, board: BoardFigures, weight: Weight, at: Moment
) -> bool:
    return bool(doubts(record, assess(record, reference, at), board.entity, weight, at, at))
