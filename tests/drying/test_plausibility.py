"""What is asked about a weight just typed, on charges as they are assessed."""

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.finding import Severity
from kilnlog.drying.plausibility import doubts
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

DAYS = range(1, 6)
#: Daily weights [g] of four like boards from about 80 % on; oven-dry weight by sections, start / 1.8.
START = {"1": 2988, "2": 3166, "3": 2880, "4": 3244}


def weight_on(board: str, day: float, *, start: int | None = None) -> int:
    """Weight of a board that loses 5 % a day of its distance from a floor."""
    first = START[board] if start is None else start
    floor = first / 1.8 * 1.035
    return round(floor + (first - floor) * 0.95**day)


@pytest.fixture
def build():
    """Four boards weighed daily for five days; today's round, day 6, is still to come."""
    made = ChargeBuilder(target_mc_pct=8)
    lot = made.lot("A")
    for board, start in START.items():
        entity = made.board(board, start, lot=lot)
        made.section(entity, "a", "180.0", "100.0")
    for day in DAYS:
        for board in START:
            made.weigh(f"board-000{board}", weight_on(board, day), day)
    return made


def asked(build, board, typed, at=6.0, *, now=None, unit=WeightUnit.G, corrects=None):
    """The doubts about a weight typed for a board on a day after loading."""
    record, moment = build.record(), build.when(at)
    known = max(moment, build.when(6.0))
    assessment = assess(record, load(), known)
    weight = weight_from_text(str(typed), unit)
    entity = f"board-{int(board):04d}"
    return doubts(
        record, assessment, entity, weight, moment, now or known.plus_hours(0.01), corrects=corrects
    )


def codes(found):
    return [doubt.finding.code for doubt in found]


def test_the_weight_to_be_expected_is_not_asked_about(build):
    for board in START:
        assert asked(build, board, weight_on(board, 6)) == ()


def test_digits_turned_are_told_with_the_figures_and_the_likely_truth(build):
    assert (weight_on("1", 5), weight_on("1", 6)) == (2701, 2652)
    first, second = asked(build, "1", 6251)
    assert (first.finding.code, second.finding.code) == ("gain", "digits-turned")
    assert first.likely == second.likely == weight_from_text("2651", WeightUnit.G)
    assert first.finding.subject == "board 1"
    assert first.finding.board == "board-0001"
    assert first.finding.severity is Severity.LOOK
    assert first.possible
    values = first.finding.values
    assert (values["typed_g"], values["last_g"], values["change_g"]) == (6251, 2701, 3550)
    assert values["since_h"] == pytest.approx(24)
    assert values["last_at"] == build.when(5)
    assert values["expected_low_g"] < 2651 < values["expected_high_g"] < 2701
    assert (values["slip"], values["likely_text"], values["likely_g"]) == ("digits-turned", "2651", 2651)
    assert values["running"] is True
    # By definition: moisture is (weight / oven-dry weight - 1) x 100, the oven-dry weight 2988 / 1.8.
    assert values["mc_pct"] == pytest.approx((6251 / (2988 / 1.8) - 1) * 100)


@pytest.mark.parametrize(
    ("typed", "first", "slip", "likely"),
    [
        ("2851", "gain", "digit-mistyped", "2651"),
        ("2251", "jump-down", "digit-mistyped", "2651"),
        ("265.1", "decimal-slip", "decimal-slip", "2651"),
        ("26.51", "decimal-slip", "decimal-slip", "2651"),
        ("26510", "decimal-slip", "decimal-slip", "2651"),
        ("2.651", "unit-slip", "unit-slip", "2.651 kg"),
        ("5.84", "unit-slip", "unit-slip", "5.84 lb"),
        ("93.5", "unit-slip", "unit-slip", "93.5 oz"),
        ("26551", "gain", "digit-doubled", "2651"),
        ("72651", "gain", "digit-added", "2651"),
    ],
)
def test_slips_are_named_with_the_likely_truth(build, typed, first, slip, likely):
    found = asked(build, "1", typed)
    assert found[0].finding.code == first
    assert found[0].finding.values["slip"] == slip
    assert found[0].likely == weight_from_text(likely, WeightUnit.G)
    assert slip in codes(found)


def test_a_lost_digit_is_named_even_where_several_would_fit(build):
    found = asked(build, "1", "265")
    assert found[0].finding.values["slip"] == "digit-missing"
    assert found[0].likely is None


def test_a_lost_digit_that_only_one_fits_is_the_likely_truth(build):
    assert asked(build, "1", "251")[0].likely == weight_from_text("2651", WeightUnit.G)


@pytest.mark.parametrize("divisions", [1, 2])
def test_gains_within_two_divisions_are_noise(build, divisions):
    assert asked(build, "1", 2701 + divisions) == ()


def test_a_gain_beyond_two_divisions_is_asked_about(build):
    assert codes(asked(build, "1", 2704)) == ["gain"]


def test_the_scale_division_is_the_boards_own():
    build = ChargeBuilder()
    board = build.board("1", 3000, scale_division=5)
    build.section(board, "a", "180.0", "100.0")
    for day in DAYS:
        build.weigh(board, 3000 - 50 * day, day)
    assert asked(build, "1", 2760) == ()
    assert codes(asked(build, "1", 2765)) == ["gain"]


def test_a_loss_beyond_the_boards_own_pace_is_asked_about(build):
    found = asked(build, "1", 2490)
    assert "jump-down" in codes(found)
    assert found[0].finding.values["change_g"] == -211


def test_too_small_a_loss_is_asked_about_once_others_show_that_the_kiln_ran():
    """At 10 points a day, as soon as two boards of the round have lost what was to be expected."""
    build = ChargeBuilder()
    for board in ("1", "2", "3"):
        build.section(build.board(board, 3000), "a", "180.0", "100.0")
        for day in DAYS:
            build.weigh(f"board-000{board}", round(1725 + 1275 * 0.8**day), day)
    assert asked(build, "3", 2130) == ()
    today = round(1725 + 1275 * 0.8**6)
    build.weigh("board-0001", today, 6)
    build.weigh("board-0002", today, 6)
    assert asked(build, "3", today) == ()
    found = asked(build, "3", 2130)
    assert "jump-up" in codes(found)
    assert found[0].finding.values["change_g"] == -13


def test_a_kiln_that_stood_is_not_asked_about_board_by_board(build):
    for board in ("1", "2", "3"):
        assert asked(build, board, weight_on(board, 5) - 2) == ()
        build.weigh(f"board-000{board}", weight_on(board, 5) - 2, 6)
    assert asked(build, "4", weight_on("4", 5) - 2) == ()


def test_the_next_boards_weight_is_known_for_what_it_is(build):
    found = asked(build, "1", weight_on("2", 6))
    assert found[0].finding.code == "boards-swapped"
    assert found[0].other_board == "board-0002"
    assert found[0].finding.values["other_board"] == "2"
    assert found[0].likely is None  # board 1 itself was not weighed yet
    assert "gain" in codes(found)


def test_two_boards_that_fit_each_others_line_are_swapped():
    """The first of the two was kept, because a kiln may stand still; the second shows what happened."""
    build = ChargeBuilder()
    lines = {"1": (3000, 40), "2": (2960, 40)}
    for board, (start, daily) in lines.items():
        entity = build.board(board, start)
        build.section(entity, "a", "180.0", "100.0")
        for day in DAYS:
            build.weigh(entity, start - daily * day, day)
    assert asked(build, "2", 2760) == ()
    build.weigh("board-0002", 2760, 6)
    first, *rest = asked(build, "1", 2720)
    assert first.finding.code == "boards-swapped"
    assert first.other_board == "board-0002"
    assert first.likely == weight_from_text("2760", WeightUnit.G)
    assert first.finding.values["other_g"] == 2760
    assert "jump-down" in codes(rest)


def test_a_withdrawn_board_is_not_mixed_up_with(build):
    build.withdraw("board-0002", 5.5)
    assert "boards-swapped" not in codes(asked(build, "1", weight_on("2", 6)))


def test_below_oven_dry_is_grave_but_may_be_insisted_on(build):
    found = asked(build, "1", 1640)  # oven-dry by its section: 1660 g
    assert found[0].finding.code == "below-oven-dry"
    assert found[0].finding.severity is Severity.ACT
    assert found[0].possible
    assert found[0].finding.values["oven_dry_weight_g"] == pytest.approx(1660)


def test_far_below_oven_dry_is_impossible(build):
    found = asked(build, "1", 1200)
    assert found[0].finding.code == "below-oven-dry"
    assert not found[0].possible


def test_a_false_basis_is_not_asked_about_every_day():
    build = ChargeBuilder()
    board = build.board("1", 1750)
    build.section(board, "a", "180.0", "170.0")  # oven-dry 1653 g, far too high
    for day, weight_g in enumerate((1730, 1712, 1696, 1680, 1665, 1651, 1640), start=1):
        build.weigh(board, weight_g, day)
    assert asked(build, "1", 1630, 8) == ()


def test_before_it_was_cut_nothing_can_be_weighed(build):
    (found,) = asked(build, "1", 2990, -0.5)
    assert (found.finding.code, found.possible) == ("before-cut", False)
    assert found.finding.severity is Severity.ACT
    assert found.finding.values["early_h"] == pytest.approx(12)


def test_the_future_is_impossible_beyond_a_small_tolerance(build):
    now = build.when(6.0)
    (found,) = asked(build, "1", weight_on("1", 6), 6.25, now=now)
    assert (found.finding.code, found.possible) == ("in-future", False)
    assert found.finding.values["ahead_h"] == pytest.approx(6)
    assert asked(build, "1", weight_on("1", 6), 6 + 3 / 1440, now=now) == ()


def test_a_second_weighing_in_the_same_minute(build):
    build.weigh("board-0001", 2651, 6)
    (found,) = asked(build, "1", 2651, 6 + 20 / 86400)
    assert found.finding.code == "same-minute"
    assert found.possible
    assert found.finding.values["other_g"] == 2651


def test_the_start_weight_typed_again_that_minute_is_no_second_weighing():
    build = ChargeBuilder()
    build.board("1", 3000)
    assert asked(build, "1", 3000, 0) == ()
    found = codes(asked(build, "1", 3010, 0))
    assert (found[0], found[-1]) == ("gain", "same-minute")


def test_correcting_a_line_leaves_it_out_of_account(build):
    wrong = build.weigh("board-0001", 2215, 6)
    assert asked(build, "1", 2651, 6, corrects=wrong) == ()
    assert "gain" in codes(asked(build, "1", 2651, 6))


def test_a_clock_put_back_is_noticed(build):
    (found,) = asked(build, "1", weight_on("1", 4.5), 4.5, now=build.when(4.51))
    assert found.finding.code == "clock-far"
    assert found.finding.values["last_at"] == build.when(5)


def test_a_time_far_from_every_entry_is_noticed(build):
    found = asked(build, "1", weight_on("1", 36), 36)
    assert codes(found) == ["clock-far"]
    assert found[0].finding.values["away_h"] == pytest.approx(31 * 24)
    assert asked(build, "1", weight_on("1", 12), 12) == ()


def test_a_weight_entered_late_is_held_against_both_neighbours(build):
    now = build.when(6)
    assert asked(build, "1", weight_on("1", 4.5), 4.5, now=now) == ()
    low = asked(build, "1", weight_on("1", 6) - 30, 4.5, now=now)
    assert "jump-down" in codes(low)
    assert low[0].finding.values["next_g"] == 2701
    assert "gain" in codes(asked(build, "1", weight_on("1", 3), 4.5, now=now))


def test_damp_air_on_purpose_makes_a_gain_no_doubt(build):
    assert "gain" in codes(asked(build, "1", 2720))
    build.event(EventKind.CONDITIONING, 5.5, state=EventState.START)
    assert asked(build, "1", 2720) == ()
    assert codes(asked(build, "1", 2950))[0] == "jump-up"


def test_while_equalizing_a_gain_beyond_a_dry_shell_is_asked_about_of_a_correction_too(build):
    build.event(EventKind.EQUALIZING, 5.5, state=EventState.START)
    kept = build.weigh("board-0001", weight_on("1", 6), 6)
    # dry weight 2988 / 1.8 = 1660 g; 2718 g last: +10 g is 0.6 points, +40 g 2.4 points
    last = weight_on("1", 5)
    assert asked(build, "1", last + 10, corrects=kept) == ()
    found = asked(build, "1", last + 40, corrects=kept)
    assert codes(found)[0] == "jump-up"
    assert worded_finding(found[0].finding).headline.startswith("40 g more than")


def test_damp_air_that_ended_before_the_last_weighing_is_over(build):
    build.event(EventKind.EQUALIZING, 3.5, state=EventState.START)
    build.event(EventKind.EQUALIZING, 4.5, state=EventState.END)
    assert "gain" in codes(asked(build, "1", 2720))


def test_the_end_coat_is_part_of_what_the_scale_shows():
    build = ChargeBuilder()
    board = build.board("1", 3000, coating_weight=60)
    build.section(board, "a", "180.0", "100.0")
    for day in DAYS:
        build.weigh(board, 3060 - 40 * day, day)
    assert asked(build, "1", 2822) == ()
    found = asked(build, "1", 2922)
    assert found[0].finding.values["last_g"] == 2860
    assert found[0].finding.values["expected_low_g"] < 2822 < found[0].finding.values["expected_high_g"]


@pytest.mark.parametrize("dry", ["66.0", None])
def test_a_recut_makes_a_board_lighter_without_drying_it(build, dry):
    """Section dried or still in the oven: 300 g cut off at about 63 % moisture."""
    build.recut("board-0001", 2701, 2401, "107.4", dry, at=5.02, dried_at=5.5 if dry else None)
    today = round(2401 * weight_on("1", 6) / 2701)
    assert asked(build, "1", today) == ()
    found = asked(build, "1", today + 100)
    assert "gain" in codes(found)
    assert found[0].finding.values["last_g"] == pytest.approx(2401)
    assert "jump-down" in codes(asked(build, "1", today - 250))


def test_the_coat_on_a_recut_end_is_weighed_from_then_on(build):
    build.recut("board-0001", 2701, 2401, "107.4", "66.0", at=5.02, dried_at=5.5, coating_weight=40)
    assert asked(build, "1", round(2401 * weight_on("1", 6) / 2701) + 40) == ()


def test_a_break_makes_a_board_lighter_without_drying_it(build):
    build.breaks("board-0001", 2701, 2551, 5.02)
    assert asked(build, "1", round(2551 * weight_on("1", 6) / 2701)) == ()
    assert "gain" in codes(asked(build, "1", weight_on("1", 6)))


def test_late_before_a_break_the_piece_is_the_whole_board(build):
    build.breaks("board-0001", 2701, 2551, 5.02)
    assert asked(build, "1", weight_on("1", 4.5), 4.5, now=build.when(6)) == ()


def test_sections_still_in_the_oven_leave_the_weights_to_compare_by():
    build = ChargeBuilder()
    board = build.board("1", 3000)
    build.section(board, "a", "180.0")
    for day in DAYS:
        build.weigh(board, 3000 - 40 * day, day)
    assert asked(build, "1", 2762) == ()
    found = asked(build, "1", 7262)
    assert codes(found) == ["gain", "digits-turned"]
    assert found[0].likely == weight_from_text("2762", WeightUnit.G)
    assert "mc_pct" not in found[0].finding.values


def test_pounds_are_answered_in_pounds():
    build = ChargeBuilder(unit=WeightUnit.LB)
    board = build.board("1", "6.60")
    build.section(board, "a", "180.0", "100.0")
    for day, typed in enumerate(("6.50", "6.40", "6.30", "6.22", "6.14"), start=1):
        build.weigh(board, typed, day)
    assert asked(build, "1", "6.06", unit=WeightUnit.LB) == ()
    found = asked(build, "1", "606", unit=WeightUnit.LB)
    assert found[0].finding.code == "decimal-slip"
    assert found[0].likely == weight_from_text("6.06", WeightUnit.LB)


def test_before_loading_a_gain_is_no_matter_of_the_kiln():
    build = ChargeBuilder(loaded_at=None)
    board = build.board("1", 3000)
    build.section(board, "a", "180.0", "100.0")
    for day in DAYS:
        build.weigh(board, 3000 - 20 * day, day)
    assert asked(build, "1", 2910) == ()  # rain
    found = asked(build, "1", 3110)
    assert found[0].finding.code == "jump-up"
    assert found[0].finding.values["running"] is False


def test_the_last_weight_is_told_by_when_it_was_read_not_by_the_loading_after_it():
    build = ChargeBuilder()
    board = build.board("1", 3000, at=-3)
    build.section(board, "a", "180.0", "100.0", at=-3, dried_at=-0.5)
    build.weigh(board, 2990, at=-1)  # 29 Feb; the kiln is loaded on 1 Mar
    found = asked(build, "1", 3200, at=2)
    assert found[0].finding.code == "gain"
    assert found[0].finding.values["last_at"] == build.when(-1)
    assert found[0].finding.values["last_g"] == 2990
    assert worded_finding(found[0].finding).headline == "210 g more than on 29 Feb"
