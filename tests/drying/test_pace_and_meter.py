"""Boards that stop losing, rounds that are overdue, meters that disagree."""

from __future__ import annotations

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.findings.meter import corrected_pct
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.words import EventKind, EventState, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

F, C = TemperatureUnit.FAHRENHEIT, TemperatureUnit.CELSIUS


def charge(*daily, every=1.0, target=8, **particulars):
    """A board of 1000 g oven-dry with these MC [%], one a day unless told."""
    build = ChargeBuilder(target_mc_pct=target, **particulars)
    board = build.board("1", "1800", lot=build.lot("A"), oven_dry_weight="1000", coated=True)
    for number, mc_pct in enumerate(daily, start=1):
        build.weigh(board, f"{1000 + 10 * mc_pct:.0f}", number * every)
    return build


def found(build, code, at):
    findings = assess(build.record(), load(), build.when(at)).findings
    return [finding for finding in findings if finding.code == code]


# Two points a day, then this much; a division is worth 0.1 %, so steps alone make 0.2 a day.
@pytest.mark.parametrize(
    ("loss", "fires"), [(0.0, True), (0.3, True), (0.5, False), (-0.1, True), (-0.5, False)]
)
def test_a_board_that_loses_far_less_than_it_did(loss, fires):
    told = found(charge(50, 48, 46, 44, 44 - loss), "stalled", 5.1)
    assert bool(told) is fires
    if fires:
        assert told[0].values["rate_pct_per_day"] == pytest.approx(loss)
        assert 1.8 < told[0].values["usual_rate_pct_per_day"] < 2
        assert told[0].since.hours_since(charge().when(4)) == 0


def test_wood_that_slows_down_as_it_dries_has_not_stalled():
    falling = [50.0]
    while falling[-1] > 9:
        falling.append(falling[-1] - 0.08 * (falling[-1] - 5))
    build = charge(*(round(mc, 1) for mc in falling))
    build.air(len(falling), dry_bulb=110, wet_bulb=80)  # EMC 5.1
    for day in range(2, len(falling) + 1):
        assert not found(build, "stalled", day + 0.1)


def test_nothing_is_expected_of_a_board_from_another_step():
    build = charge(50, 48, 46, 44, 44, schedule="S")
    build.steps("S", None, 45)
    assert found(build, "stalled", 5.1)
    build.take_step(2, at=4.0)
    assert not found(build, "stalled", 5.1)


@pytest.mark.parametrize("kind", [EventKind.POWER_CUT, EventKind.EQUALIZING, EventKind.CONDITIONING])
def test_a_stall_that_was_explained_is_none(kind):
    build = charge(50, 48, 46, 44, 44)
    build.event(kind, 4.2, state=EventState.START)
    assert not found(build, "stalled", 5.1)


def test_a_board_at_its_target_need_lose_no_more():
    build = charge(14, 12, 10, 8, 8)
    assert not found(build, "stalled", 5.1)
    assert found(charge(14, 12, 10, 9, 9), "stalled", 5.1)


@pytest.mark.parametrize(("hours", "fires"), [(36, False), (36.5, True)])
def test_a_round_overdue_by_a_day_and_a_half(hours, fires):
    build = charge(50, 48, 46)
    told = found(build, "weighing-overdue", 3 + hours / 24)
    assert bool(told) is fires
    if fires:
        assert told[0].values["without_h"] == pytest.approx(hours)
        assert told[0].values["usual_h"] == pytest.approx(24)
        assert told[0].since == build.when(3 + 36 / 24)


def test_a_charge_weighed_every_third_day_is_overdue_later():
    build = charge(30, 29, 28, every=3)
    assert not found(build, "weighing-overdue", 9 + 4.4)
    assert found(build, "weighing-overdue", 9 + 4.6)


def test_a_loaded_charge_that_nobody_weighed_is_overdue():
    assert found(charge(), "weighing-overdue", 1.6)
    assert not found(charge(), "weighing-overdue", 1.4)
    assert not found(ChargeBuilder(), "weighing-overdue", 9)  # without boards there is nothing to weigh


def metered(board_mc, reading, *, at=2.0, **told):
    build = charge(board_mc + 1, board_mc)
    build.meter("board-0001", reading, at, **told)
    return build


def test_a_meter_that_disagrees_by_more_than_both_may_be_off():
    """2 points for the meter: Wengert and Bois 1997, quoted in Shupe; the board's own is its k = 2."""
    build = metered(14, 14.0)
    board = assess(build.record(), load(), build.when(2.1)).boards[0]
    beyond = board.mc_uncertainty_pct + 2
    assert not found(metered(14, 14 - beyond + 0.01), "meter-disagrees", 2.1)
    (finding,) = found(metered(14, 14 - beyond - 0.01), "meter-disagrees", 2.1)
    assert finding.subject == "board 1"
    assert finding.values["mc_pct"] == pytest.approx(14)
    assert found(metered(14, 14 + beyond + 0.01), "meter-disagrees", 2.1)


@pytest.mark.parametrize(("board", "reading"), [(31, 27), (25, 31), (60, 35), (59.5, 29)])
def test_above_30_percent_a_meter_never_counts(board, reading):
    """Wood Handbook FPL-GTR-190 (2010), chapter 13: above 30 % qualitative at best."""
    assert not found(metered(board, reading), "meter-disagrees", 2.1)


def test_a_dry_reading_on_a_board_above_30_percent_disagrees():
    """A meter shows some 30 % on wood wetter than that, and not 12 % (Wood Handbook, chapter 13)."""
    (finding,) = found(metered(59.5, 12.0), "meter-disagrees", 2.1)
    assert finding.values["mc_pct"] == pytest.approx(59.5)


def test_only_the_last_reading_of_a_board_counts():
    build = metered(14, 25.0)
    assert found(build, "meter-disagrees", 2.1)
    build.meter("board-0001", 14.2, 2.05)
    assert not found(build, "meter-disagrees", 2.1)


def test_a_reading_between_two_rounds_is_held_against_the_board_of_that_hour():
    build = charge(20, 10)
    build.meter("board-0001", 6.0, 1.5)
    (finding,) = found(build, "meter-disagrees", 2.1)
    assert finding.values["mc_pct"] == pytest.approx(15)
    late = charge(20, 10)
    late.meter("board-0001", 20.0, 4)  # two days after its last weight nobody knows where the board is
    assert not found(late, "meter-disagrees", 4.1)


def test_a_board_weighed_only_when_it_was_cut_is_held_against_the_meter_for_days():
    """It may have lost a point a day meanwhile, which does not bridge the two."""
    build = ChargeBuilder()
    build.board("1", "1205", lot=build.lot("A"), oven_dry_weight="1000", coated=True, at=-0.1)
    build.meter("board-0001", 12.0, 1.0)
    (finding,) = found(build, "meter-disagrees", 1.1)
    assert finding.values["mc_pct"] == pytest.approx(20.5)
    build.meter("board-0001", 12.0, 6.8)
    assert not found(build, "meter-disagrees", 6.9)


def test_hot_wood_reads_high_by_half_a_point_in_ten_degrees_fahrenheit():
    """Wood Handbook FPL-GTR-190 (2010), chapter 13; 0.09 points a degree Celsius, from 20 C."""
    hot = MeterCheck("c", "b", 14.0, wood_temperature=140.0, temperature_unit=F)
    assert corrected_pct(hot, load()) == pytest.approx(14 - 0.09 * 40)
    assert corrected_pct(MeterCheck("c", "b", 14.0), load()) == 14
    by_hand = MeterCheck("c", "b", 14.0, wood_temperature=60.0, temperature_unit=C, corrected_pct=11.2)
    assert corrected_pct(by_hand, load()) == 11.2


def test_a_meter_never_moves_a_boards_own_figures():
    without, with_one = (
        assess(build.record(), load(), build.when(2.1)) for build in (charge(15, 14), metered(14, 25.0))
    )
    assert [board.mc_pct for board in without.boards] == [board.mc_pct for board in with_one.boards]
    assert without.control == with_one.control


def test_air_read_long_ago_hides_no_stall():
    build = charge(40, 38, 36, 34, 32, 30, 29.9, 29.8)
    build.air(0.5, dry_bulb=20, rh_pct=99, temperature_unit=TemperatureUnit.CELSIUS)  # EMC 29 %, green wood
    assert found(build, "stalled", 8.1)
    build.air(8, dry_bulb=20, rh_pct=99, temperature_unit=TemperatureUnit.CELSIUS)  # and still today
    assert not found(build, "stalled", 8.1)
