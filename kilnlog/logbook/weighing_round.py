"""The weighing round: one weight kept, with what was decided about it, in one transaction."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.drying.plausibility import Doubt
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import ImpossibleWeight, ReasonMissing
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import first_entry, history, successor
from kilnlog.records.decision import Decision
from kilnlog.records.facts import Fact
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight

#: Why a line of the round was written over, where the operator gave no reason of their own.
TYPED_AGAIN = "typed again in the round"


def keep_weight(
    book: Logbook,
    charge: str,
    board: str,
    weight: Weight,
    at: Moment,
    *,
    late_from: str | None = None,
    typed_first: str | None = None,
    insisted: Sequence[Doubt] = (),
    reason: str | None = None,
    corrects: str | None = None,
) -> Changes:
    """Keep one weight of one board.

    Args:
        book: The logbook in hand.
        charge: The entity uid of its charge.
        board: The entity uid of the board.
        weight: The weight as typed, or the likely truth the operator took instead.
        at: When it was weighed.
        late_from: What it was copied from, where it was entered late: ``sheet``.
        typed_first: What was typed at first, where the likely truth was taken.
        insisted: The doubts it is kept against; each becomes a decision with ``reason``.
        reason: Why it is kept against the doubts, or why it overrules the earlier weight.
        corrects: The entity uid of the weighing it overrules.

    Raises:
        ReasonMissing: insisted on without a reason.
        ImpossibleWeight: insisted on where no scale can have shown it.
    """
    given = (reason or "").strip() or None
    for doubt in insisted:
        if not doubt.possible:
            raise ImpossibleWeight(board=_label(book, board), typed=weight.text, doubt=doubt.finding.code)
        if given is None:
            raise ReasonMissing(what="weight kept against a doubt")
    fact = Weighing(charge, board, weight, late_from, typed_first)
    with book.file.immediate():
        rows: list[Entry[Fact]] = [_row(book, fact, at, corrects, given)]
        rows += [
            first_entry(book, Decision(charge, doubt.finding.code, doubt.finding.subject, given), at)
            for doubt in insisted
        ]
        for row in rows:
            book.file.insert(row)
    return Changes.of(rows)


def _row(book: Logbook, fact: Weighing, at: Moment, corrects: str | None, given: str | None) -> Entry[Fact]:
    if corrects is None:
        return first_entry(book, fact, at)
    newest = history(book, "weighing", corrects).newest
    return successor(book, newest, fact, VersionKind.CORRECTION, given or TYPED_AGAIN, at)


def _label(book: Logbook, board: str) -> str:
    fact = history(book, "board", board).newest.fact
    return str(fact.board)
