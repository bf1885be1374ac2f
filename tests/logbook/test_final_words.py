"""What is said of final figures: one sentence for one reason, nothing from a mean that lacks the wettest."""

from __future__ import annotations

import pytest

from kilnlog.drying.closing.figures import IntervalKind, NoInterval, Withheld
from kilnlog.logbook.final_words import withheld
from kilnlog.logbook.paper_contents import contents_of
from kilnlog.logbook.paper_told import told_at
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.words import ReadingKind
from kilnlog.reference.tables import load
from tests.builders import weight
from tests.seal.finished import CLOSED, READ, a_book, finish, one


def why(kind, reason, needs=None):
    return NoInterval(kind, reason, needs)


def test_one_reason_for_both_intervals_is_told_once():
    both = [why(kind, Withheld.CHOSEN) for kind in IntervalKind]
    assert withheld(both) == (
        "No tolerance interval is stated: sample boards are picked, not drawn at random.",
    )


def test_what_differs_is_told_of_each():
    few = (why(IntervalKind.NORMAL, Withheld.FEW, 2), why(IntervalKind.FREE, Withheld.FEW, 46))
    assert withheld(few) == (
        "No interval by a normal spread is stated: too few pieces were read: it takes 2.",
        "No interval free of a spread is stated: too few pieces were read: it takes 46.",
    )
    assert withheld(few[1:]) == (
        "No interval free of a spread is stated: too few pieces were read: it takes 46.",
    )
    assert withheld(()) == ()


@pytest.fixture
def book(tmp_path):
    with a_book(tmp_path / "mill.kilnlog") as book:
        yield book


def lot_a(book, done):
    record = book.file.charge_record(done.charge)
    return contents_of(told_at(book, record, load(), CLOSED))["lots"][0]


def test_how_it_keeps_is_not_told_from_a_mean_without_its_wettest_piece(book):
    """Of four pieces read by pins one is over 30 %; the board, at 7.2 %, is no word on that piece."""
    part = lot_a(book, finish(book))
    assert [one["whole"]["over"] for one in part["final"]] == [1, 0]
    assert part["storage"] is None
    assert part["tally"]["expected_shrinkage_pct"] is None


def test_pieces_dried_in_the_oven_tell_it_where_the_meter_cannot(book):
    done = finish(book)
    for piece, wet in (("3", "108.0"), ("4", "112.0")):
        dried = FinalReading(
            done.charge,
            done.lots["A"],
            ReadingKind.OVEN_DRY,
            "1",
            piece,
            wet_weight=weight(wet),
            oven_dry_weight=weight("100.0"),
        )
        one(book, dried, READ)
    part = lot_a(book, done)
    assert "stays near 10.0 %" in part["storage"]  # by hand: the mean of 8 and 12 %
    # Wood Handbook table 4-3: northern red oak shrinks 13.7 % to oven-dry; two thirds of it to 10 %.
    assert part["tally"]["expected_shrinkage_pct"] == pytest.approx(13.7 * 2 / 3, abs=0.05)
