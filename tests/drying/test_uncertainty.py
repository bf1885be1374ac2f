"""Uncertainty of an MC: against the printed sensitivities, finite differences and simulated readings."""

from math import sqrt

import numpy as np
import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import BoardFigures
from kilnlog.drying.moisture_content import moisture_content_pct, oven_dry_weight_g
from kilnlog.drying.uncertainty import (
    Budget,
    budget_of,
    reading_uncertainty_g,
    section_weighing_uncertainty_pct,
)
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

GREEN = Budget(
    green_pct=None,
    dry_pct=None,
    assumed_green_pct=2.0,
    assumed_dry_pct=0.5,
    dry_below_pct=30.0,
    oven_pct=0.2,
    coverage=2.0,
)


def boards_of(build: ChargeBuilder, at: float = 60) -> tuple[BoardFigures, ...]:
    return assess(build.record(), load(), build.when(at)).boards


# Worked out beside the law of propagation (JCGM 100): sections of 75 %, 4500 g when cut, 2777 g
# now give an oven-dry weight of 2571.4 g, 7.99 %, and a factor of 0.617 on the sections' error.
def test_the_sections_error_is_carried_forward_by_its_factor():
    dry_g = oven_dry_weight_g(4500, 75)
    mc_pct = moisture_content_pct(2777, dry_g)
    assert dry_g == pytest.approx(2571.4, abs=0.05)
    assert mc_pct == pytest.approx(7.99, abs=0.005)
    assert (100 + mc_pct) / (100 + 75) == pytest.approx(0.617, abs=0.0005)
    # Two points of error at 75 % are 1.23 at 8 %; the section term alone, k = 2, is 2.5.
    assert GREEN.expanded_pct(mc_pct, (2 / 175) ** 2, 0) == pytest.approx(2 * 1.23, abs=0.01)


# Computed for a section of 120 g wet and 70 g dry (71.4 %): 0.008, 0.08 and 0.82 points.
@pytest.mark.parametrize(("step_g", "points"), [(0.01, 0.008), (0.1, 0.08), (1, 0.82)])
def test_what_the_balance_leaves_open_in_a_section(step_g, points):
    assert section_weighing_uncertainty_pct(120, 70, step_g) == pytest.approx(points, rel=0.03)


def test_a_reading_is_as_likely_anywhere_within_its_step():
    # The standard deviation of a uniform distribution of width 0.1, by simulation with a fixed seed.
    drawn = np.random.default_rng(1).uniform(-0.05, 0.05, 200_000)
    assert reading_uncertainty_g(0.1) == pytest.approx(float(drawn.std()), rel=0.01)


def one_board(now: str) -> ChargeBuilder:
    build = ChargeBuilder()
    board = build.board("1", "4500")
    build.section(board, "a", "175.00", "100.00")
    build.weigh(board, now, at=30)
    return build


def test_the_budget_of_a_board_agrees_with_finite_differences():
    """JCGM 100 by differences: each input moved by its own u through the sums themselves, the moves added."""
    (board,) = boards_of(one_board("2777"))

    def mc(section_mc_pct: float, start_g: float, now_g: float) -> float:
        return moisture_content_pct(now_g, oven_dry_weight_g(start_g, section_mc_pct))

    balance = section_weighing_uncertainty_pct(175, 100, 0.01)
    moved = (
        mc(75 + sqrt(2.0**2 + 0.2**2 + balance**2) * 1e-4, 4500, 2777),
        mc(75, 4500 + reading_uncertainty_g(1) * 1e-4, 2777),
        mc(75, 4500, 2777 + reading_uncertainty_g(1) * 1e-4),
    )
    here = mc(75, 4500, 2777)
    assert board.mc_uncertainty_pct == pytest.approx(
        2 * sqrt(sum(((there - here) * 1e4) ** 2 for there in moved)), rel=1e-3
    )
    assert board.mc_uncertainty_pct == pytest.approx(2.5, abs=0.05)


def test_the_budget_of_a_board_agrees_with_simulated_readings():
    """Sections and scale drawn at random (fixed seed) from what the budget assumes."""
    (board,) = boards_of(one_board("2777"))
    chance = np.random.default_rng(7)
    count = 200_000
    section_mc = 75 + chance.normal(0, sqrt(2.0**2 + 0.2**2), count)
    start = 4500 + chance.uniform(-0.5, 0.5, count)
    now = 2777 + chance.uniform(-0.5, 0.5, count)
    mc = 100 * (now * (100 + section_mc) / (100 * start) - 1)
    assert board.mc_uncertainty_pct == pytest.approx(2 * float(mc.std()), rel=0.01)


def test_when_cut_only_the_sections_count():
    start, later = boards_of(one_board("2777"))[0].points
    balance = section_weighing_uncertainty_pct(175, 100, 0.01)
    assert start.mc_uncertainty_pct == pytest.approx(2 * sqrt(2.0**2 + 0.2**2 + balance**2))
    assert later.mc_uncertainty_pct < start.mc_uncertainty_pct


# Formula: s^2 = sum (a - b)^2 / 2N over the pairs of a charge, u of a mean of two = s / sqrt 2 (JCGM 100).
def test_pairs_of_sections_are_pooled_over_the_charge():
    pairs = [(66.5, 58.0), (70.0, 72.0), (61.0, 60.0)]
    budget = budget_of([list(pair) for pair in pairs], load())
    pooled = sqrt(sum((a - b) ** 2 for a, b in pairs) / (2 * len(pairs)))
    assert budget.green_pct == pytest.approx(pooled)
    assert budget.dry_pct is None
    assert budget.sections_pct(62, [0.0, 0.0]) == pytest.approx(sqrt(pooled**2 / 2 + 0.2**2))
    assert budget.sections_pct(62, [0.0]) == pytest.approx(sqrt(pooled**2 + 0.2**2))


def test_green_and_dry_sections_are_pooled_apart():
    budget = budget_of([[66.0, 58.0], [14.0, 14.6], [50.0]], load())
    assert budget.green_pct == pytest.approx(8 / sqrt(2))
    assert budget.dry_pct == pytest.approx(0.6 / sqrt(2))


def test_pooling_more_than_two_sections_agrees_with_numpy():
    groups = [[66.0, 58.0, 61.0], [70.0, 72.0]]
    squares = sum(float(np.var(group)) * len(group) for group in groups)
    assert budget_of(groups, load()).green_pct == pytest.approx(sqrt(squares / 3))


def test_without_dry_pairs_the_green_ones_cap_what_is_assumed_of_dry_sections():
    close, apart = budget_of([[66.0, 66.4]], load()), budget_of([[66.0, 60.0]], load())
    assert close.sections_pct(12, [0.0]) == pytest.approx(sqrt(0.4**2 / 2 + 0.04))
    assert apart.sections_pct(12, [0.0]) == pytest.approx(sqrt(0.25 + 0.04))


def test_without_pairs_the_assumption_depends_on_green_or_dry():
    assert GREEN.sections_pct(30, [0.0]) == pytest.approx(sqrt(4 + 0.04))
    assert GREEN.sections_pct(29.9, [0.0]) == pytest.approx(sqrt(0.25 + 0.04))
    assert GREEN.unknown_pct(75) == pytest.approx(sqrt(4 + 0.04))


def test_a_recut_near_the_end_makes_the_figure_surer():
    build = one_board("2950")
    before = boards_of(build, at=30.5)[0].mc_uncertainty_pct
    build.recut("board-0001", "2940", "2700", "57.00", "50.00", at=31)
    board = boards_of(build)[0]
    assert board.points[-1].mc_uncertainty_pct == pytest.approx(2 * sqrt(0.25 + 0.04), rel=0.01)
    assert board.mc_uncertainty_pct < before / 2
    assert board.points[1].mc_uncertainty_pct < before / 2  # the weight before it stands on the new basis too


def test_coats_and_coarse_scales_each_add():
    plain = boards_of(one_board("2777"))[0].mc_uncertainty_pct
    coarse = ChargeBuilder()
    board = coarse.board("1", "4500", scale_division="100", coating_weight="20")
    coarse.section(board, "a", "175.00", "100.00")
    coarse.weigh(board, "2797", at=30)
    figures = boards_of(coarse)[0]
    assert figures.mc_pct == pytest.approx(7.99, abs=0.01)
    weights = (100 / sqrt(12) / 4500) ** 2 + (100**2 / 12 + 1 / 12) / 2777**2
    sections = (4.04 + section_weighing_uncertainty_pct(175, 100, 0.01) ** 2) / 175**2
    expected = 2 * (100 + figures.mc_pct) * sqrt(weights + sections)
    assert figures.mc_uncertainty_pct == pytest.approx(expected, rel=1e-6)
    assert figures.mc_uncertainty_pct > plain


def test_each_part_of_the_budget_adds_as_a_square():
    """The relative variances of the oven-dry weight's own chain, written out by hand."""
    step_sq = 1 / 12  # of a reading to the gram
    build = one_board("3920")
    board = "board-0001"
    build.breaks(board, "3900", "1950", at=31)
    build.recut(board, "1800", "900", "65.00", "50.00", at=32, coating_weight="10")
    build.weigh(board, "810", at=33)
    start, weighed, broken, _, last = boards_of(build)[0].points

    balance = section_weighing_uncertainty_pct(65, 50, 0.01)
    section = (4 + 0.04 + balance**2) / 130**2
    since_recut = section + step_sq / 900**2 + (step_sq + step_sq) / 800**2
    assert last.mc_pct == pytest.approx(100 * (800 / (900 / 1.3) - 1))
    assert last.mc_uncertainty_pct == pytest.approx(2 * (100 + last.mc_pct) * sqrt(since_recut), rel=1e-9)
    before_recut = section + step_sq / 1800**2
    before_break = before_recut + step_sq / 3900**2 + step_sq / 1950**2
    for point, own in ((weighed, step_sq / 3920**2), (broken, step_sq / 3900**2), (start, step_sq / 4500**2)):
        expected = 2 * (100 + point.mc_pct) * sqrt(before_break + own)
        assert point.mc_uncertainty_pct == pytest.approx(expected, rel=1e-9)


def test_a_break_adds_the_readings_on_both_its_sides():
    build = one_board("2900")
    build.breaks("board-0001", "2890", "100", at=31)
    build.weigh("board-0001", "97", at=32)
    last = boards_of(build)[0].points[-1]
    balance = section_weighing_uncertainty_pct(175, 100, 0.01)
    readings = sum(1 / 12 / weight**2 for weight in (4500, 2890, 100, 97))
    expected = 2 * (100 + last.mc_pct) * sqrt((4.04 + balance**2) / 175**2 + readings)
    assert last.mc_uncertainty_pct == pytest.approx(expected, rel=1e-9)


def test_an_oven_dry_weight_typed_for_a_board_is_no_surer_than_the_assumption():
    build = ChargeBuilder()
    board = build.board("1", "4500", oven_dry_weight="2571")
    build.weigh(board, "2777", at=30)
    (figures,) = boards_of(build)
    assert figures.mc_uncertainty_pct == pytest.approx(2.48, abs=0.02)
