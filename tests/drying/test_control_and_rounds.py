"""Which boards control, which rounds there were, and what is carried."""

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.control import control_of
from kilnlog.drying.figures import Assessment, BoardState, ChargeState
from kilnlog.records.words import ControlRule
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, When


def assessed(build: ChargeBuilder, at: When = 30) -> Assessment:
    return assess(build.record(), load(), build.when(at))


def board_of(build: ChargeBuilder, label: str, *readings: tuple[float, float], **fields: object) -> str:
    """A board of 1000 g oven-dry, so that a reading of 1300 g is 30 %; readings are (day, MC)."""
    board = build.board(label, "1800", oven_dry_weight="1000", coated=True, **fields)
    for day, mc_pct in readings:
        build.weigh(board, f"{1000 + 10 * mc_pct:.0f}", at=day)
    return board


FIVE = [("1", 40.0), ("2", 52.0), ("3", 45.0), ("4", 38.0), ("5", 50.0)]


@pytest.mark.parametrize(
    ("rule", "mc_pct", "boards"),
    [
        (ControlRule.WETTEST_HALF, (52 + 50 + 45) / 3, ("2", "5", "3")),
        (ControlRule.WETTEST_BOARD, 52, ("2",)),
        (ControlRule.MEAN, 45, ("2", "5", "3", "1", "4")),
    ],
)
def test_each_rule_takes_its_boards(rule, mc_pct, boards):
    control = control_of(rule, FIVE)
    assert control.mc_pct == pytest.approx(mc_pct)
    assert control.boards == boards


@pytest.mark.parametrize(("count", "taken"), [(1, 1), (2, 1), (3, 2), (4, 2), (7, 4)])
def test_the_wettest_half_of_an_odd_number_is_rounded_up(count, taken):
    assert (
        len(control_of(ControlRule.WETTEST_HALF, [(str(n), float(n)) for n in range(count)]).boards) == taken
    )


def test_no_boards_no_control():
    assert control_of(ControlRule.WETTEST_HALF, []).mc_pct is None


def test_boards_equally_wet_keep_their_walking_order():
    assert control_of(ControlRule.WETTEST_BOARD, [("9", 30.0), ("1", 30.0)]).boards == ("9",)


def mixed_charge() -> tuple[ChargeBuilder, str, str]:
    """A thick governing lot and a thin one."""
    build = ChargeBuilder(target_mc_pct=8)
    thick, thin = build.lot("8/4", governs=True), build.lot("4/4", target_mc_pct=6)
    board_of(build, "1", (1, 60), (2, 58), lot=thick)
    board_of(build, "2", (1, 50), (2, 49), lot=thick)
    board_of(build, "3", (1, 70), (2, 60), lot=thin)
    return build, thick, thin


def test_only_governing_lots_feed_the_control():
    build, _, thin = mixed_charge()
    assessment = assessed(build)
    assert assessment.control.mc_pct == pytest.approx(58)
    assert [board.governs for board in assessment.boards] == [True, True, False]
    assert [board.feeds_control for board in assessment.boards] == [True, False, False]
    assert assessment.wettest.board == "3"  # wettest, driest and mean are over all
    assert assessment.driest.board == "2"
    assert assessment.mean_mc_pct == pytest.approx((58 + 49 + 60) / 3)
    assert [lot.control.mc_pct for lot in assessment.lots] == [pytest.approx(58), pytest.approx(60)]
    assert [lot.target_mc_pct for lot in assessment.lots] == [8, 6]
    build.correct(thin, governs=True)
    assert assessed(build).control.boards == ("3", "1")


def test_where_no_lot_is_marked_all_govern():
    build, thick, _ = mixed_charge()
    build.correct(thick, governs=False)
    assert assessed(build).control.boards == ("3", "1")


def test_a_lot_made_governing_on_a_day_did_not_govern_before():
    build, _, thin = mixed_charge()
    build.change(thin, 1.5, governs=True)
    first_weighed, second_weighed = assessed(build).rounds[-2:]
    assert first_weighed.control.boards == ("1",)
    assert second_weighed.control.boards == ("3", "1")


def test_once_the_governing_lot_has_left_the_rest_govern():
    build, thick, _ = mixed_charge()
    build.change(thick, 3, out_at=build.when(3))
    assert assessed(build, at=2.9).control.boards == ("1",)
    assessment = assessed(build, at=3)
    assert assessment.control.boards == ("3",)
    assert [board.state for board in assessment.boards] == [BoardState.OUT, BoardState.OUT, BoardState.IN_USE]
    assert [lot.is_out for lot in assessment.lots] == [True, False]
    assert assessment.lots[0].control.mc_pct is None


def test_a_withdrawn_board_leaves_the_control_from_that_moment_and_stays_on_the_curve():
    build, _, _ = mixed_charge()
    build.withdraw("board-0001", at=1.5)
    build.weigh("board-0001", "1550", at=3)
    build.weigh("board-0002", "1480", at=3)
    assessment = assessed(build)
    assert assessment.boards[0].state is BoardState.WITHDRAWN
    assert assessment.boards[0].mc_pct == pytest.approx(55)
    assert len(assessment.boards[0].points) == 4
    assert assessment.control.boards == ("2",)
    assert [found.control.boards for found in assessment.rounds] == [("1",), ("1",), ("2",), ("2",)]
    assert "1" in assessment.rounds[-1].weighed
    assert "1" not in assessment.rounds[-1].mc_pct


def test_from_that_very_moment_a_board_withdrawn_or_a_lot_out_counts_no_more():
    build, _, thin = mixed_charge()
    build.withdraw("board-0001", at=2)
    build.correct(thin, out_at=build.when(2))
    assert list(assessed(build).rounds[1].mc_pct) == ["1", "2", "3"]
    assert list(assessed(build).rounds[2].mc_pct) == ["2"]


def test_the_control_rule_of_the_time_holds_for_each_round():
    build, _, _ = mixed_charge()
    build.change(build.entity, 1.5, control_rule=ControlRule.MEAN)
    assert assessed(build).rounds[1].control.rule is ControlRule.WETTEST_HALF
    assert assessed(build).rounds[2].control.boards == ("1", "2")


def test_weights_less_than_two_hours_from_their_neighbour_are_one_round():
    build = ChargeBuilder()
    first, second = board_of(build, "1"), board_of(build, "2")
    for board, at in ((first, "07:00"), (second, "08:59"), (first, "10:58"), (second, "12:58")):
        build.weigh(board, "1500", at=f"2024-03-05 {at}")
    rounds = assessed(build).rounds
    assert [found.at.text() for found in rounds[1:]] == ["2024-03-05 07:00", "2024-03-05 12:58"]
    assert rounds[1].until.text() == "2024-03-05 10:58"
    assert rounds[2].weighed == ("2",)


def test_a_missed_board_is_carried_and_marked():
    build, _, _ = mixed_charge()
    build.weigh("board-0002", "1470", at=3)
    assessment = assessed(build)
    assert [board.carried for board in assessment.boards] == [True, False, True]
    assert assessment.boards[0].mc_pct == pytest.approx(58)
    assert assessment.boards[0].since == build.when(2)
    assert assessment.rounds[-1].carried == ("1", "3")
    assert assessment.rounds[-1].mc_pct == {
        "1": pytest.approx(58),
        "2": pytest.approx(47),
        "3": pytest.approx(60),
    }
    assert assessment.control.mc_pct == pytest.approx(58)


def test_a_recut_and_a_break_count_in_their_round():
    build, _, _ = mixed_charge()
    build.weigh("board-0001", "1560", at=3)
    build.recut("board-0002", "1460", "1300", "70.00", "50.00", at=3.02)
    build.breaks("board-0003", "1550", "1500", at=3.04)
    found = assessed(build).rounds[-1]
    assert found.at == build.when(3)
    assert found.mc_pct == {"1": pytest.approx(56), "2": pytest.approx(40), "3": pytest.approx(55)}
    assert found.carried == ()
    assert not any(board.carried for board in assessed(build).boards)


def test_a_recut_between_rounds_does_not_make_the_others_missed():
    build, _, _ = mixed_charge()
    build.recut("board-0002", "1485", "1300", "70.00", "50.00", at=2.5)
    assessment = assessed(build)
    assert assessment.rounds[-1].weighed == ("2",)
    assert not any(board.carried for board in assessment.boards)


def test_a_recut_known_now_corrects_the_rounds_before_it():
    build, _, _ = mixed_charge()
    build.recut("board-0001", "1540", "1400", "70.00", "50.00", at=3)
    # 1540 g at 40 % is 1100 g of dry wood, not 1000.
    assert assessed(build, at=2).rounds[2].mc_pct["1"] == pytest.approx(58)
    assert assessed(build, at=3).rounds[2].mc_pct["1"] == pytest.approx(100 * (1580 / 1100 - 1))


def test_boards_cut_on_different_days_and_not_yet_weighed_are_not_missed():
    build = ChargeBuilder(loaded_at="2024-03-05 08:00")
    for label, day in (("1", -3), ("2", -2), ("3", -1)):
        board_of(build, label, at=day)
    assert not any(board.carried for board in assessed(build, at=1).boards)


def test_the_start_weights_are_the_first_round():
    build, _, _ = mixed_charge()
    first = assessed(build).rounds[0]
    assert first.mc_pct == {"1": pytest.approx(80), "2": pytest.approx(80), "3": pytest.approx(80)}
    assert first.rate_pct_per_day == {}


def test_rates_of_a_round_are_those_of_the_boards_weighed():
    build, _, _ = mixed_charge()
    assert assessed(build).rounds[2].rate_pct_per_day == {
        "1": pytest.approx(2),
        "2": pytest.approx(1),
        "3": pytest.approx(10),
    }


def test_states_of_a_charge_follow_its_days():
    build = ChargeBuilder(loaded_at="2024-03-01 08:00")
    board_of(build, "1", (1, 60))
    build.change(build.entity, 20, unloaded_at=build.when(20))
    assert assessed(build, at=-1).state is ChargeState.PLANNED
    assert assessed(build, at=-1).days is None
    assert assessed(build, at=5).state is ChargeState.DRYING
    assert assessed(build, at=5).days == pytest.approx(5)
    assert assessed(build, at=25).state is ChargeState.UNLOADED
    assert assessed(build, at=25).days == pytest.approx(20)
    build.close(at=26)
    assert assessed(build, at=27).state is ChargeState.CLOSED
    build.void(build.entity)
    assert assessed(build, at=27).state is ChargeState.TAKEN_BACK


def test_the_days_of_a_charge_end_when_it_is_unloaded_or_closed():
    build = ChargeBuilder()
    assert assessed(build, at=4).days == 4
    build.close(at=9)
    assert assessed(build, at=30).days == 9
    unloaded = ChargeBuilder(unloaded_at=build.when(7))
    unloaded.close(at=9)
    assert assessed(unloaded, at=30).days == 7


def test_a_charge_is_in_the_kiln_of_its_last_stay():
    build = ChargeBuilder()
    assert assessed(build).kiln is None
    first, second = build.kiln("North"), build.kiln("South")
    build.correct(build.entity, kiln=first)
    assert assessed(build).kiln == "North"
    build.stay(first, at=0, out_at=4)
    build.stay(second, at=4)
    assert assessed(build, at=3).kiln == "North"
    assert assessed(build, at=4).kiln == "South"
    build.change(second, 10, kiln="South, new roof")
    assert assessed(build, at=9).kiln == "South"
    assert assessed(build, at=10).kiln == "South, new roof"
