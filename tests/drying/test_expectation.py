"""What a board should weigh: the range follows its own pace, and widens with what is not known."""

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.drying.expectation import FLOOR_MC_PCT, RoundPace, expect
from tests.builders import moment

START = moment("2026-11-20 07:12")
DRY_G = 1647.0
DAILY = (2430.0, 2405.0, 2381.0, 2357.0, 2337.0)  # 1.4 points a day


def line(*weights_g, hours=24.0):
    return [(START.plus_hours(hours * place), weight_g) for place, weight_g in enumerate(weights_g)]


def after(points, hours):
    return points[-1][0].plus_hours(hours)


def decaying(pace, days, start_g=3000.0):
    """Exact decay towards the floor, written out."""
    floor_g = DRY_G * (1 + FLOOR_MC_PCT / 100)
    return [floor_g + (start_g - floor_g) * exp(-pace * day) for day in days]


@pytest.mark.parametrize("pace", [0.03, 0.12, 0.4])
def test_a_board_that_decays_exactly_is_expected_exactly(pace):
    weights_g = decaying(pace, range(6))
    points = line(*weights_g[:5])
    found = expect(points, DRY_G, 0.001, after(points, 24))
    assert found.likely_g == pytest.approx(weights_g[5], rel=2e-3 if pace < 0.09 else 1e-9)


def test_uneven_times_are_no_matter_where_the_decay_is_exact():
    days = (0.0, 0.6, 2.9, 3.3, 6.1)
    points = [(START.plus_hours(24 * day), g) for day, g in zip(days, decaying(0.12, days), strict=True)]
    found = expect(points, DRY_G, 0.001, START.plus_hours(24 * 9.7))
    assert found.likely_g == pytest.approx(decaying(0.12, (9.7,))[0], rel=1e-9)


def test_the_shown_range_is_about_the_usual_loss():
    points = line(*DAILY)
    found = expect(points, DRY_G, 1, after(points, 24))
    assert 2290 < found.low_g < 2313 < found.high_g < 2330
    assert found.high_g - found.low_g < 30


weights = st.lists(st.floats(900, 4000), min_size=1, max_size=8)


@given(
    weights,
    st.floats(0.05, 400),
    st.floats(0.1, 50),
    st.one_of(st.none(), st.floats(800, 2000)),
    st.sampled_from((0.0, 1.0, 5.0)),
    st.one_of(
        st.none(),
        st.builds(
            RoundPace,
            against_recent=st.one_of(st.none(), st.floats(0.05, 30)),
            boards=st.integers(1, 12),
            scatter=st.floats(0, 2),
            pace=st.one_of(st.none(), st.floats(0.005, 3)),
            paces=st.integers(1, 12),
        ),
    ),
)
def test_the_shown_range_lies_inside_the_range_not_asked_about(
    weights_g, hours, division_g, dry_g, gain_points, pace
):
    points = line(*weights_g)
    found = expect(
        points, dry_g, division_g, after(points, hours), round_pace=pace, may_gain_points=gain_points
    )
    assert found.asked_below_g <= found.low_g <= found.likely_g <= found.high_g <= found.asked_above_g


@given(weights, st.floats(-300, 300))
def test_a_weight_entered_late_has_its_shown_range_inside_as_well(weights_g, hours):
    points = line(*weights_g)
    found = expect(points, DRY_G, 1, START.plus_hours(hours))
    assert found.asked_below_g <= found.low_g <= found.high_g <= found.asked_above_g


@pytest.mark.parametrize("division_g", [1.0, 5.0, 45.359237])
def test_gains_within_two_divisions_are_not_asked_about_without_others(division_g):
    points = line(*DAILY)
    found = expect(points, DRY_G, division_g, after(points, 24))
    assert found.lets_pass(DAILY[-1] + 2 * division_g)
    assert not found.lets_pass(DAILY[-1] + 2.01 * division_g)


def test_it_widens_with_the_time_since_the_last_weighing():
    points = line(*DAILY)
    widths = []
    for days in (0.25, 1, 2, 4, 8):
        found = expect(points, DRY_G, 1, after(points, 24 * days))
        widths.append((found.high_g - found.low_g, found.asked_above_g - found.asked_below_g))
    assert widths == sorted(widths)
    assert widths[-1][0] > 4 * widths[1][0]


def test_it_is_wider_the_fewer_weights_there_are():
    spans = []
    for count in (5, 3, 2, 1):
        points = line(*decaying(0.09, range(5))[5 - count :])
        found = expect(points, DRY_G, 1, after(points, 24))
        spans.append(found.asked_above_g - found.asked_below_g)
    assert spans == sorted(spans)
    assert spans[-1] > 1.5 * spans[0]


def test_it_is_wider_on_a_coarse_scale():
    points = line(*DAILY)
    fine = expect(points, DRY_G, 1, after(points, 24))
    coarse = expect(points, DRY_G, 20, after(points, 24))
    assert coarse.high_g - coarse.low_g > 1.5 * (fine.high_g - fine.low_g)


def test_a_coarse_scale_that_shows_no_loss_for_days_is_no_proof_of_none():
    points = line(2000.0, 2000.0, 2000.0)
    found = expect(points, DRY_G, 45.359237, after(points, 24))
    assert found.lets_pass(2000.0 - 45.359237)
    assert found.likely_g < 2000.0


def test_it_follows_a_step_of_the_schedule():
    slow, fast = decaying(0.04, range(4)), decaying(0.08, range(4))
    points = line(*slow, *(slow[-1] - (fast[0] - g) for g in fast[1:]))
    before = expect(points[:4], DRY_G, 1, after(points[:4], 24))
    assert before.lets_pass(points[4][1])  # the first day after the step is not asked about
    then = expect(points, DRY_G, 1, after(points, 24))
    loss_before, loss_then = points[3][1] - before.likely_g, points[-1][1] - then.likely_g
    assert loss_then > 1.5 * loss_before


def test_one_day_of_a_kiln_that_stood_is_not_taken_for_its_pace():
    weights_g = decaying(0.12, range(6))
    steady = line(*weights_g)
    stalled = line(*weights_g, weights_g[-1] - 1)
    loss_steady = weights_g[-1] - expect(steady, DRY_G, 1, after(steady, 24)).likely_g
    loss_stalled = weights_g[-1] - 1 - expect(stalled, DRY_G, 1, after(stalled, 24)).likely_g
    assert loss_stalled == pytest.approx(loss_steady, rel=0.05)


def test_one_wrong_weight_that_was_kept_does_not_throw_the_range_off():
    weights_g = list(decaying(0.06, range(8)))
    weights_g[5] -= 150
    points = line(*weights_g)
    found = expect(points, DRY_G, 1, after(points, 24))
    assert found.lets_pass(decaying(0.06, (8,))[0])


def test_others_of_the_round_narrow_the_range_and_prove_that_the_kiln_ran():
    weights_g = decaying(0.2, range(5))
    points = line(*weights_g)
    alone = expect(points, DRY_G, 1, after(points, 24))
    others = RoundPace(against_recent=1.0, boards=4, scatter=0.05, pace=0.2, paces=4)
    told = expect(points, DRY_G, 1, after(points, 24), round_pace=others)
    assert told.high_g - told.low_g < 0.7 * (alone.high_g - alone.low_g)
    assert alone.lets_pass(weights_g[-1])
    assert not told.lets_pass(weights_g[-1])


def test_others_of_the_round_move_the_range():
    points = line(*decaying(0.1, range(5)))
    others = RoundPace(against_recent=2.0, boards=4, scatter=0.05, pace=0.2, paces=4)
    usual = expect(points, DRY_G, 1, after(points, 24))
    told = expect(points, DRY_G, 1, after(points, 24), round_pace=others)
    assert told.likely_g == pytest.approx(
        points[-1][1] - (points[-1][1] - 1704.645) * (1 - exp(2 * log(_left(usual, points)))), rel=1e-4
    )


def _left(found, points):
    """Share of the distance from the floor (3.5 % of 1,647 g) that is left after a day."""
    return (found.likely_g - 1704.645) / (points[-1][1] - 1704.645)


def test_the_first_weighing_takes_its_pace_from_the_others():
    points = line(3000.0)
    others = RoundPace(against_recent=None, boards=0, scatter=0.0, pace=0.3, paces=3)
    alone = expect(points, DRY_G, 1, after(points, 24))
    told = expect(points, DRY_G, 1, after(points, 24), round_pace=others)
    assert told.likely_g < alone.likely_g
    assert told.asked_above_g < 3000 < alone.asked_above_g


def test_air_that_is_damped_on_purpose_allows_a_gain():
    points = line(*DAILY)
    dry = expect(points, DRY_G, 1, after(points, 24))
    damp = expect(points, DRY_G, 1, after(points, 24), may_gain_points=5)
    two_points_g = 0.02 * DRY_G
    assert damp.lets_pass(DAILY[-1] + two_points_g)
    assert not dry.lets_pass(DAILY[-1] + two_points_g)
    assert not damp.lets_pass(DAILY[-1] + 5 * two_points_g)


def test_a_weight_entered_late_lies_between_its_neighbours():
    points = line(2430.0, 2337.0, hours=96)
    found = expect(points, DRY_G, 1, START.plus_hours(48))
    assert found.likely_g == pytest.approx(2383.5)
    assert found.lets_pass(2420.0)
    assert not found.lets_pass(2445.0)
    assert not found.lets_pass(2325.0)


def test_a_weight_before_the_first_is_no_lighter_than_it():
    found = expect(line(2430.0), DRY_G, 1, START.plus_hours(-24))
    assert found.lets_pass(2460.0)
    assert not found.lets_pass(2400.0)


def test_without_an_oven_dry_weight_there_is_a_range_all_the_same():
    points = line(*DAILY)
    found = expect(points, None, 1, after(points, 24))
    assert found.shows(2313.0)
    assert not found.lets_pass(2513.0)
    assert not found.lets_pass(2113.0)


def test_without_any_weight_there_is_none():
    with pytest.raises(ValueError, match="no expectation"):
        expect([], DRY_G, 1, START)
