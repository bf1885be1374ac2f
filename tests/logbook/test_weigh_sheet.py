"""The weigh sheet is for the round that comes next, from the newest weights."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from kilnlog.logbook.weigh_sheet import weigh_sheet_of
from kilnlog.logbook.weighing_round import keep_weight
from tests.builders import moment, weight
from tests.seal.finished import ZONE, a_book, finish

#: Two minutes after board 2 is weighed.
NOW = datetime(2026, 11, 21, 12, 47, tzinfo=UTC)


@pytest.fixture
def mill(tmp_path):
    """A charge of two boards, weighed daily until 20 November at 07:44; now is the next morning, 07:47."""
    with a_book(tmp_path / "mill.kilnlog") as book:
        done = finish(book)
        for day, weights in (("18", ("1080", "1076")), ("19", ("1076", "1072"))):
            for board, text in zip("12", weights, strict=True):
                at = moment(f"2026-11-{day} 07:44", ZONE)
                keep_weight(book, done.charge, done.boards[board], weight(text), at)
        yield replace(book, clock=lambda: NOW), done


def sheet(book, done):
    return weigh_sheet_of(book, book.file.charge_record(done.charge))


def test_before_the_round_it_is_for_now_with_the_weights_of_the_last(mill):
    book, done = mill
    told = sheet(book, done)
    assert [(line["board"], line["last_weight"]) for line in told["lines"]] == [
        ("1", "1072 g"),
        ("2", "1068 g"),
    ]
    assert told["expected_at"] == told["made_at"] == "2026-11-21T07:47:00-05:00"
    assert told["unloaded_at"] is None


def test_after_the_round_it_gives_the_weights_just_kept_and_is_for_the_next_one(mill):
    book, done = mill
    before = sheet(book, done)
    keep_weight(book, done.charge, done.boards["1"], weight("1070"), moment("2026-11-21 07:44", ZONE))
    half = sheet(book, done)
    assert [line["last_weight"] for line in half["lines"]] == ["1070 g", "1068 g"]
    assert half["expected_at"] == half["made_at"]  # board 2 is still to be weighed
    keep_weight(book, done.charge, done.boards["2"], weight("1066"), moment("2026-11-21 07:45", ZONE))
    told = sheet(book, done)
    assert [line["last_weight"] for line in told["lines"]] == ["1070 g", "1066 g"]
    assert [line["last_at"][:16] for line in told["lines"]] == ["2026-11-21T07:44", "2026-11-21T07:45"]
    assert told["expected_at"] == "2026-11-22T07:44:00-05:00"  # a day on: rounds are a day apart
    assert [line["expected"] for line in told["lines"]] != [line["expected"] for line in before["lines"]]
