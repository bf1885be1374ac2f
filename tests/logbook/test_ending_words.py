"""What unloading and closing ask: the target's own limits, else a stated rule; findings; missed boards."""

from dataclasses import replace

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook.ending_words import ending_words
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder


def assessed(mc_pct, *, findings=(), lot=None, weighed=("1", "2")):
    """Two boards of 1000 g oven-dry, so that 10 g are one point; the second stands a point drier."""
    build = ChargeBuilder(target_mc_pct=8)
    of = build.lot("A", **lot) if lot is not None else None
    for label, grams in (("1", 1000 + 10 * mc_pct), ("2", 990 + 10 * mc_pct)):
        board = build.board(label, "1800", lot=of)
        build.section(board, "a", "90.0", "50.0")
        build.weigh(board, "1500", at=2)
        if label in weighed:
            build.weigh(board, f"{grams:.1f}", at=10)
    record = build.record()
    figures = assess(record, load(), record.particulars.loaded_at.plus_hours(250))
    return replace(figures, findings=tuple(findings))


@pytest.mark.parametrize(
    ("mc_pct", "doubts"),
    [
        pytest.param(9.0, (), id="a point above: within"),
        pytest.param(9.2, ("Board 1 is 1.2 points above the target of 8 %.",), id="further"),
        pytest.param(65.0, ("Board 1 is 57.0 points above the target of 8 %.",), id="far"),
        pytest.param(5.0, (), id="drier than the target"),
    ],
)
def test_without_limits_the_wettest_may_be_one_point_above_its_target(mc_pct, doubts):
    words = ending_words(assessed(mc_pct))
    assert words.doubts == doubts
    assert "common practice, no source" in words.rule


@pytest.mark.parametrize(
    ("mc_pct", "doubts"),
    [
        pytest.param(9.9, (), id="within"),
        pytest.param(10.3, ("Board 1 is 0.3 points above the limit of 10 %.",), id="too wet"),
        pytest.param(6.5, ("Board 2 is 0.5 points below the limit of 6 %.",), id="too dry"),
    ],
)
def test_written_limits_count_in_its_place(mc_pct, doubts):
    words = ending_words(assessed(mc_pct, lot={"mc_low_pct": 6, "mc_high_pct": 10}))
    assert words.doubts == doubts
    assert words.rule == ""
    assert ("Target", "8 % (6 to 10 %)") in words.rows


def test_what_stands_open_is_counted_and_what_asks_for_acting_needs_a_reason():
    act = Finding("fast-rate", Severity.ACT, "board 1")
    open_ones = (act, Finding("stall", Severity.LOOK, "board 2"))
    answered = Finding("few-boards", Severity.ACT, "charge", answered=True)
    words = ending_words(assessed(8.5, findings=(*open_ones, answered)))
    assert ("Findings nobody answered", "2 (1 to act on)") in words.rows
    assert words.doubts == ("1 finding to act on is not answered.",)
    assert words.open_findings == open_ones
    assert ending_words(assessed(8.5, findings=(open_ones[1], answered))).doubts == ()


def test_boards_the_last_round_missed_are_named():
    rows = dict(ending_words(assessed(8.5, weighed=("1",))).rows)
    assert rows["Not weighed in the last round"] == "board 2"
    assert rows["Control, wettest half"] == "50.0 %"  # board 2 as it was
    assert dict(ending_words(assessed(8.5)).rows)["Not weighed in the last round"] == "none"


def test_a_charge_no_board_tells_of_needs_a_reason():
    build = ChargeBuilder(target_mc_pct=8)
    record = build.record()
    figures = assess(record, load(), record.particulars.loaded_at.plus_hours(250))
    words = ending_words(replace(figures, findings=()))
    assert words.doubts == ("No board tells how dry it is.",)


def test_a_charge_still_in_the_kiln_is_not_closed_without_a_reason():
    running = assessed(8.5)
    assert ending_words(running).doubts == ()
    assert ending_words(running, closing=True).doubts == ("It is not unloaded yet.",)
    assert ending_words(replace(running, state=ChargeState.UNLOADED), closing=True).doubts == ()
