"""Which schedule step is in force, which the control calls for, and when it is due."""

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment, ScheduleFigures
from kilnlog.drying.schedule import called_for
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, When


def assessed(build: ChargeBuilder, at: When = 30) -> Assessment:
    return assess(build.record(), load(), build.when(at))


def schedule_at(build: ChargeBuilder, at: When = 30) -> ScheduleFigures:
    schedule = assessed(build, at).schedule
    assert schedule is not None
    return schedule


def own_schedule(*boards: list[float]) -> ChargeBuilder:
    """Steps from green, 40, 35 and 30 %; boards of 1000 g oven-dry, one MC a day from day 1."""
    build = ChargeBuilder(schedule="ours", target_mc_pct=8)
    build.steps(
        "ours",
        None,
        40.0,
        35.0,
        30.0,
        dry_bulb=110.0,
        depression=4.0,
        temperature_unit=TemperatureUnit.FAHRENHEIT,
    )
    for label, daily in enumerate(boards, start=1):
        board = build.board(str(label), "1600", oven_dry_weight="1000")
        for day, mc_pct in enumerate(daily, start=1):
            build.weigh(board, f"{1000 + 10 * mc_pct:.1f}", at=day)
    return build


def test_no_schedule_no_figures():
    assert assessed(ChargeBuilder()).schedule is None
    assert assessed(ChargeBuilder(schedule="lost")).schedule is None


def test_the_first_step_is_in_force_until_one_is_taken():
    build = own_schedule([45.0])
    schedule = schedule_at(build)
    assert (schedule.step, schedule.of, schedule.due, schedule.called_for) == (1, 4, None, 1)
    build.take_step(2, at=3)
    assert schedule_at(build, at=2).step == 1
    assert schedule_at(build).step == 2


def test_the_last_step_taken_is_in_force_even_where_it_goes_back():
    build = own_schedule([38.0])
    build.take_step(3, at=2)
    build.take_step(2, at=2.5)
    schedule = schedule_at(build)
    assert (schedule.step, schedule.called_for, schedule.due) == (2, 2, None)


@pytest.mark.parametrize(
    ("mc_pct", "called"), [(40.1, 1), (40.0, 2), (35.1, 2), (35.0, 3), (31.0, 3), (12.0, 4)]
)
def test_a_step_is_called_for_once_its_mc_is_reached_exactly(mc_pct, called):
    schedule = schedule_at(own_schedule([mc_pct]))
    assert schedule.called_for == called
    assert schedule.due == (called if called > 1 else None)


# Sums in floats come out a little beside the figure they stand for, as 0.1 + 0.2 does.
def test_an_mc_reached_but_for_float_noise_is_reached():
    steps = [ScheduleStep("s", 1), ScheduleStep("s", 2, from_mc_pct=35.0)]
    assert called_for(steps, 35.00000000000001, None) == 2
    assert called_for(steps, 35.000001, None) == 1
    assert called_for(steps[1:], 35.000001, None) is None


def test_no_step_is_due_while_a_board_that_feeds_the_control_was_missed():
    build = own_schedule([39.0, 36.0], [38.0])
    schedule = schedule_at(build)
    assert schedule.called_for == 2
    assert schedule.due is None
    build.weigh("board-0002", "1360.0", at=2.01)
    assert schedule_at(build).due == 2


def test_a_drier_board_that_was_missed_holds_no_step_back():
    """It can only have become drier since, so it cannot join those the control is taken from."""
    build = own_schedule([39.0, 36.0], [30.0])
    assert schedule_at(build).due == 2


def test_nothing_is_due_before_loading_or_after_unloading():
    build = own_schedule([36.0])
    build.correct(build.entity, loaded_at=build.when(5))
    assert schedule_at(build, at=4).due is None
    assert schedule_at(build, at=6).due == 2
    build.change(build.entity, 10, unloaded_at=build.when(10))
    assert schedule_at(build, at=11).due is None


def test_a_step_by_hours_counts_from_loading():
    build = ChargeBuilder(schedule="by the clock")
    for step, hours in enumerate((0.0, 48.0, 96.0), start=1):
        build.first(ScheduleStep("by the clock", step, from_hours=hours), 0)
    assert [schedule_at(build, at=day).called_for for day in (0, 1.99, 2, 4, 9)] == [1, 1, 2, 3, 3]
    assert schedule_at(build, at=2).due == 2


def test_the_set_points_are_those_of_the_step_in_force_as_it_was_written():
    build = own_schedule([36.0])
    assert schedule_at(build).set_points == {"dry_bulb": 110.0, "depression": 4.0, "temperature_unit": "F"}
    (first, *_) = [line.entity for line in build.record().schedule_step]
    build.change(
        first, 5, dry_bulb=45.0, depression=None, rh_pct=80.0, temperature_unit=TemperatureUnit.CELSIUS
    )
    assert schedule_at(build, at=4).set_points["dry_bulb"] == 110.0
    assert schedule_at(build, at=6).set_points == {"dry_bulb": 45.0, "rh_pct": 80.0, "temperature_unit": "C"}


def test_a_charge_put_on_another_schedule_follows_it_from_then():
    build = own_schedule([36.0])
    build.steps("gentler", None, 30.0, rh_pct=85.0)
    build.change(build.entity, 2, schedule="gentler")
    assert schedule_at(build, at=1.5).schedule == "ours"
    assert schedule_at(build).schedule == "gentler"
    assert schedule_at(build).of == 2
    assert schedule_at(build).set_points == {"rh_pct": 85.0}


def test_what_a_schedule_asks_for_names_it_as_its_source():
    """A schedule filled in from the handbook is named after it, and so are the findings that rest on it."""
    build = own_schedule([42, 39], [41, 38])
    (due,) = [finding for finding in assessed(build, 2).findings if finding.code == "step-due"]
    assert due.source == "the schedule “ours” of this charge"


def test_a_later_step_that_says_not_when_it_begins_is_never_called_for_by_itself():
    steps = [
        ScheduleStep("ours", 1),
        ScheduleStep("ours", 2, from_mc_pct=40.0),
        ScheduleStep("ours", 3, dry_bulb=180.0, temperature_unit=TemperatureUnit.FAHRENHEIT),
    ]
    assert called_for(steps, 60.0, 24.0) == 1
    assert called_for(steps, 40.0, 24.0) == 2
    assert called_for(steps, None, None) == 1
    assert called_for(steps[2:], 60.0, 24.0) == 3  # the only one: constant air


def test_heat_of_a_step_nobody_called_for_is_too_hot_for_wet_wood():
    build = own_schedule([60.0, 58.0])
    build.correct("schedule_step-0004", from_mc_pct=None, dry_bulb=180.0)
    build.air(2, dry_bulb=150.0, wet_bulb=140.0)
    codes = [finding.code for finding in assessed(build, 2.1).findings]
    assert "air-too-hot" in codes
    assert "step-due" not in codes


def test_a_step_without_a_rule_is_taken_against_none():
    build = own_schedule([60.0, 58.0])
    build.correct("schedule_step-0002", from_mc_pct=None)
    build.take_step(2, at=2.0)
    assert not [one for one in assessed(build, 2.1).findings if one.code == "step-against-rule"]
    build.take_step(3, at=2.0)
    assert [one for one in assessed(build, 2.1).findings if one.code == "step-against-rule"]
