"""The sheet of a weighing round: the weights that belong to it, what each board showed, what is expected."""

from __future__ import annotations

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.plausibility import doubts
from kilnlog.logbook.round_sheet import LineState, RoundSheet, round_sheet
from kilnlog.records.weight import WeightUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, plain_charge


def sheet_of(build: ChargeBuilder, at: float) -> RoundSheet:
    """The sheet on that day after loading."""
    record, moment = build.record(), build.when(at)
    return round_sheet(record, load(), assess(record, load(), moment), moment)


def two_boards() -> ChargeBuilder:
    """Two boards weighed on days 1 to 3."""
    return plain_charge([("1600", ["1560", "1522", "1486"]), ("1700", ["1660", "1622", "1585"])])


def test_a_round_not_begun_waits_for_every_board_and_shows_the_last_weights():
    sheet = sheet_of(two_boards(), at=4)
    assert [line.state for line in sheet.lines] == [LineState.WAITING, LineState.WAITING]
    assert [line.last.text for line in sheet.lines if line.last] == ["1486", "1585"]
    assert (sheet.begun_at, sheet.weighed, sheet.to_weigh, sheet.unit) == (None, 0, 2, WeightUnit.G)


def test_what_is_expected_is_what_the_charge_said_before_the_round_and_stays_while_it_goes_on():
    build = two_boards()
    before = sheet_of(build, at=4).lines[1]
    build.weigh("board-0001", "1452", at=4)
    within = sheet_of(build, at=4.02).lines
    assert before.expected_low_g is not None
    assert before.expected_low_g < 1550 < before.expected_high_g < 1585.5
    assert within[1].expected_low_g == pytest.approx(before.expected_low_g, abs=0.1)
    assert within[0].last is not None
    assert (within[0].state, within[0].last.text) == (LineState.KEPT, "1486")
    assert within[0].kept is not None
    assert within[0].kept.fact.weight.text == "1452"
    assert within[0].mc_pct == pytest.approx(45.2)  # 1600 g at 60 % MC are 1000 g oven-dry
    assert within[0].rate_pct_per_day == pytest.approx(3.4)


@pytest.mark.parametrize(("hours", "kept"), [(1.9, 1), (2.0, 0)])
def test_a_weight_two_hours_back_belongs_to_the_round_before(hours, kept):
    build = two_boards()
    build.weigh("board-0001", "1452", at=4)
    assert sheet_of(build, at=4 + hours / 24).weighed == kept


def test_after_a_cut_the_last_weight_is_what_it_left():
    build = two_boards()
    build.recut("board-0001", "1450", "1300", "80.0", at=3.5)
    line = sheet_of(build, at=4).lines[0]
    assert line.last is not None
    assert line.last.text == "1300"
    assert line.expected_low_g is not None
    assert line.expected_low_g < 1284 < line.expected_high_g < 1300.5


def test_boards_withdrawn_or_out_are_not_waited_for():
    build = two_boards()
    build.withdraw("board-0001", at=3.5)
    build.change("lot-0001", 3.6, out_at=build.when(3.6))
    sheet = sheet_of(build, at=4)
    assert [line.state for line in sheet.lines] == [LineState.WITHDRAWN, LineState.OUT]
    assert sheet.to_weigh == 0


def test_the_limit_beside_a_rate_is_the_lots_own_or_the_published_one():
    # 3.8 points a day for 4/4 northern red oak: University of Kentucky Extension FOR-128, table 9.
    build = ChargeBuilder()
    own = build.lot("A", species="northern red oak", thickness="4/4", safe_rate_pct_per_day=2.5)
    published = build.lot("B", species="northern red oak", thickness="4/4")
    for label, lot in (("1", own), ("2", published), ("3", None)):
        build.board(label, "1600", oven_dry_weight="1000", lot=lot)
    assert [line.safe_rate_pct_per_day for line in sheet_of(build, at=1).lines] == [2.5, 3.8, None]


def told_about_the_last(build: ChargeBuilder, board: str, typed: str, at: float) -> dict[str, object]:
    """What is told with the first doubt about a weight typed into the round."""
    record, moment = build.record(), build.when(at)
    asked = doubts(record, assess(record, load(), moment), board, build.weight(typed), moment, moment)
    return dict(asked[0].finding.values)


def four_boards_weighed_but_one(*weights: str) -> ChargeBuilder:
    """Four like boards losing some 36 g a day; three of them weighed on day 5."""
    build = plain_charge([("1600", ["1560", "1522", "1486", "1452"])] * 4)
    for number, grams in enumerate(weights, start=1):
        build.weigh(f"board-000{number}", grams, at=5 + number / 2880)
    return build


def test_a_doubt_tells_the_range_that_stands_beside_the_weight():
    build = four_boards_weighed_but_one("1423", "1424", "1423")  # a little slower than before
    line = sheet_of(build, at=5.002).lines[3]
    told = told_about_the_last(build, "board-0004", "1240", at=5.002)
    assert line.expected_low_g is not None
    assert told["expected_low_g"] == pytest.approx(line.expected_low_g, abs=0.2)
    assert told["expected_high_g"] == pytest.approx(line.expected_high_g, abs=0.2)


def test_a_weight_that_only_the_others_speak_against_is_told_what_they_showed():
    build = four_boards_weighed_but_one("1352", "1354", "1351")  # the kiln ran three times as fast
    line = sheet_of(build, at=5.002).lines[3]
    assert line.expected_low_g is not None
    assert line.expected_low_g < 1425 < line.expected_high_g
    told = told_about_the_last(build, "board-0004", "1425", at=5.002)
    assert isinstance(told["expected_high_g"], float)
    assert told["expected_high_g"] < 1425


def test_a_line_whose_board_was_cut_after_its_weight_says_so():
    build = two_boards()
    build.weigh("board-0001", "1452", at=4)
    build.weigh("board-0002", "1550", at=4)
    build.recut("board-0001", "1451", "1300", "80.0", at=4.01)
    first, second = sheet_of(build, at=4.02).lines
    assert (first.state, first.cut_after) == (LineState.KEPT, True)
    assert first.mc_pct == pytest.approx(
        45.2
    )  # the kept weight's own, on the first basis until the cut dries
    assert not second.cut_after


def test_a_line_knows_whether_anything_can_tell_its_moisture():
    build = ChargeBuilder()
    build.board("1", "1600")
    with_section = build.board("2", "1600")
    build.section(with_section, "A", "90.0")
    build.board("3", "1600", oven_dry_weight="1000")
    assert [line.has_sections for line in sheet_of(build, at=1).lines] == [False, True, True]


def test_of_a_charge_that_came_out_nothing_is_expected():
    build = two_boards()
    build.change(build.entity, 3.5, unloaded_at=build.when(3.5))
    late, earlier = sheet_of(build, at=4), sheet_of(build, at=3.4)
    assert late.out_since == build.when(3.5)
    assert [(line.expected_low_g, line.expected_high_g) for line in late.lines] == [(None, None)] * 2
    assert earlier.out_since is None  # a weight copied from the sheet of that morning
    assert all(line.expected_low_g is not None for line in earlier.lines)
