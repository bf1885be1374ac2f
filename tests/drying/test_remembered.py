"""What is remembered between two assessments never shows: with or without it, the same comes out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import given, settings

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.drying.remembered import Remembered
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.words import ControlRule
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder
from tests.drying.test_any_record import records


class Forgetful(Remembered[Any, Any]):
    """Remembers nothing."""

    def find(self, name: str, asked: Any) -> None:
        return None


@contextmanager
def nothing_remembered() -> Iterator[None]:
    with (
        patch("kilnlog.drying.points._KNOWN", Forgetful(most=1)),
        patch("kilnlog.drying.rounds._KNOWN", Forgetful(most=1)),
    ):
        yield


def afresh(record: ChargeRecord, at: Moment) -> Assessment:
    with nothing_remembered():
        return assess(record, load(), at)


@settings(max_examples=60, deadline=None)
@given(records())
def test_row_by_row_the_assessment_is_what_it_is_afresh(drawn: tuple[ChargeBuilder, float]) -> None:
    """Rows come in one by one as from the window; the builder's uids come again in every example."""
    build, at = drawn
    charge, *others = build.entries
    record = ChargeRecord.from_entries({"charge": [charge]})
    for entry in others:
        record = record.with_entries([entry])
        for when in (build.when(at), build.when(at + 1)):
            assert assess(record, load(), when) == afresh(record, when)


def weighed() -> tuple[ChargeBuilder, ChargeRecord]:
    """Three boards in two lots, weighed on two days."""
    build = ChargeBuilder(target_mc_pct=8.0)
    lots = [build.lot("A", governs=True), build.lot("B")]
    for number in range(3):
        board = build.board(str(number + 1), 4000 + number, lot=lots[number // 2], at=-1)
        build.section(board, "a", f"{165 + number}.00", "100.00", at=-1)
        for day in (1, 2):
            build.weigh(board, 3900 + number - 50 * day, at=day)
    return build, build.record()


def test_a_weight_leaves_the_other_boards_and_the_rounds_before_as_they_are() -> None:
    build, record = weighed()
    before = assess(record, load(), build.when(3))
    build.weigh("board-0001", "3700", at=2.9)
    after = assess(record.with_entries(build.entries[-1:]), load(), build.when(3))
    assert after.boards[0].points[:-1] == before.boards[0].points
    pairs = zip(after.boards, before.boards, strict=True)
    assert [board.points is known.points for board, known in pairs] == [False, True, True]
    assert [found is known for found, known in zip(after.rounds, before.rounds, strict=False)] == [True] * 3
    assert len(after.rounds) == len(before.rounds) + 1


ROWS: dict[str, Callable[[ChargeBuilder], str]] = {
    "weight": lambda build: build.correct("weighing-0001", weight="3800"),
    "weight taken back": lambda build: build.void("weighing-0001"),
    "section": lambda build: build.correct("section-0001", rejected_because="scorched"),
    "start weight": lambda build: build.correct("board-0001", start_weight="4100"),
    "board's lot": lambda build: build.correct("board-0002", lot="lot-0002"),
    "board's time": lambda build: build.correct("board-0001", at=1.5),
    "withdrawal": lambda build: build.withdraw("board-0003", 1),
    "lot out": lambda build: build.correct("lot-0002", out_at=build.when(1)),
    "lot that governs": lambda build: build.correct("lot-0002", governs=True),
    "rule": lambda build: build.correct(build.entity, control_rule=ControlRule.MEAN),
    "recut": lambda build: build.recut("board-0001", "3750", "3500", "60.00", "40.00", at=2.5),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_row_that_reaches_back_reaches_every_round(name: str) -> None:
    build, record = weighed()
    before = assess(record, load(), build.when(3))
    ROWS[name](build)
    record = record.with_entries(build.entries[-1:])
    told = assess(record, load(), build.when(3))
    assert told == afresh(record, build.when(3))
    assert told.rounds[1] != before.rounds[1]


def test_it_forgets_rather_than_grow() -> None:
    remembered: Remembered[int, str] = Remembered(most=2)
    for name in ("a", "b", "a"):
        remembered.keep(name, 1, name)
    assert (remembered.find("a", 1), remembered.find("b", 1), remembered.find("a", 2)) == ("a", "b", None)
    remembered.keep("c", 1, "c")
    assert (remembered.find("a", 1), remembered.find("c", 1)) == (None, "c")
