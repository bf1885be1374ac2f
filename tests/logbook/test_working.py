"""Show working: the sums written out come to the figures beside them when worked out again by hand."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import BasisKind
from kilnlog.logbook.working import FIGURES, working
from kilnlog.records.weight import WeightUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

AT = 12


def design_board(**particulars):
    """The board of the design's own pictures: 3,020 g when cut, sections at 83.8 and 82.9 %."""
    build = ChargeBuilder(target_mc_pct=7, **particulars)
    lot = build.lot("A")
    board = build.board("5", "3020", lot=lot)
    build.section(board, "A", "108.6", "59.1")
    build.section(board, "B", "101.7", "55.6")
    build.weigh(board, "2357", 10)
    build.weigh(board, "2337", 11)
    return build, board


def lines_of(build, board, figure, at=AT):
    record = build.record()
    worked = working(record, assess(record, load(), build.when(at)), board, figure)
    assert worked is not None
    assert worked.source
    return worked.lines


def worked_out(line: str) -> tuple[Fraction, Fraction, Fraction]:
    """The sum left of “=” in exact fractions, the figure right of it, and half its last digit."""
    left, _, right = line.partition(", until")[0].partition(", not counted")[0].rpartition(" = ")
    left = re.sub(r"^\w+: ", "", left.replace(",", ""))
    figure = re.search(r"[±−]?\s*(\d[\d,]*\.?\d*)", right)
    assert figure is not None
    shown = figure[1].replace(",", "")
    decimals = len(shown.partition(".")[2])
    sum_of = left.translate(str.maketrans({"×": "*", "÷": "/", "−": "-", "²": ""}))
    sum_of = re.sub(r"[^\d.()+\-*/ ]", " ", sum_of)
    exact = re.sub(r"(\d+(?:\.\d+)?)", r'Fraction("\1")', sum_of)
    value = eval(exact, {"Fraction": Fraction})  # our own sum, made of digits and signs alone
    sign = -1 if "−" in right else 1
    return value, sign * Fraction(shown), Fraction(1, 2 * 10**decimals)


SUMS = ("mc", "oven_dry_weight", "water_to_lose", "weight_at_target", "rate", "start_mc")


@pytest.mark.parametrize("figure", SUMS)
@pytest.mark.parametrize("unit", [WeightUnit.G, WeightUnit.LB, WeightUnit.KG])
def test_a_sum_done_again_by_hand_comes_to_the_figure_shown(figure, unit):
    build = ChargeBuilder(target_mc_pct=7, unit=unit)
    scale = {WeightUnit.G: (1, 0), WeightUnit.LB: (453.6, 3), WeightUnit.KG: (1000, 3)}[unit]

    def typed(grams):
        return f"{grams / scale[0]:.{scale[1]}f}"

    board = build.board("5", typed(3020), lot=build.lot("A"), coating_weight=typed(14))
    build.section(board, "A", "108.6", "59.1")
    build.section(board, "B", "101.7", "55.6")
    build.weigh(board, typed(2371), 10)
    build.weigh(board, typed(2351), 11)
    sums = [line for line in lines_of(build, board, figure) if " = " in line]
    assert sums
    for line in sums:
        value, shown, half_a_digit = worked_out(line)
        # One digit more goes in than comes out, so a sum done by hand is out by one in the last at most.
        assert abs(value - shown) <= 2 * half_a_digit


def test_the_oven_dry_weight_as_the_design_writes_it():
    build, board = design_board()
    # 3020 x 100 / (100 + (83.756 + 82.914) / 2) = 1647.3, worked out with exact fractions.
    mean = (Fraction("108.6") / Fraction("59.1") + Fraction("101.7") / Fraction("55.6") - 2) * 50
    assert round(3020 * 100 / (100 + mean)) == 1647
    assert lines_of(build, board, "oven_dry_weight") == ("3,020 g when cut × 100 ÷ (100 + 83.34) = 1,647 g",)


def test_the_current_moisture_content_names_its_weights():
    build, board = design_board()
    assert lines_of(build, board, "mc") == ("(2,337 g ÷ 1,647.3 g − 1) × 100 = 41.9 %",)


def test_an_end_coat_is_taken_off_in_sight():
    build = ChargeBuilder(target_mc_pct=7)
    board = build.board("1", "1800", lot=build.lot("A"), coating_weight="12")
    build.section(board, "a", "180.0", "100.0")
    build.weigh(board, "1512", 5)
    assert lines_of(build, board, "mc") == ("((1,512 g − 12.0 g end coat) ÷ 1,000.0 g − 1) × 100 = 50.0 %",)
    assert lines_of(build, board, "weight_at_target") == (
        "1,000.0 g × (100 + 7) ÷ 100 + 12 g end coat = 1,082 g",
    )


def test_a_rejected_section_is_shown_and_not_counted():
    build, board = design_board()
    build.section(board, "C", "100.0", "50.0", rejected_because="scorched")
    lines = lines_of(build, board, "start_mc")
    assert "C: (100.0 g ÷ 50.0 g − 1) × 100 = 100.00 %, not counted: scorched" in lines
    assert lines[-1] == "(83.76 + 82.91) ÷ 2 = 83.34 %"


def test_a_recut_shows_its_section_and_what_it_corrects():
    build = ChargeBuilder(target_mc_pct=7)
    board = build.board("1", "1800", lot=build.lot("A"))
    build.section(board, "a", "180.0", "100.0")
    build.recut(board, "1300", "1150", "124.0", "100.0", at=5, dried_at=6)
    build.weigh(board, "1100", 8)
    assert lines_of(build, board, "oven_dry_weight") == (
        "its section: (124.0 g ÷ 100.0 g − 1) × 100 = 24.00 %",
        "1,150 g left by the recut × 100 ÷ (100 + 24.00) = 927 g",
        "Until 2024-03-06 08:00 it was 1,000 g (sections).",
        "The recut corrects that to 1,048 g.",
    )
    # Until the section is dry the old oven-dry weight goes on, scaled.
    assert lines_of(build, board, "oven_dry_weight", at=5.5)[0] == (
        "1,000.0 g × 1,150 g ÷ 1,300 g = 885 g, until its section is dry"
    )


def test_a_break_scales_the_oven_dry_weight():
    build = ChargeBuilder(target_mc_pct=7)
    board = build.board("1", "1800", lot=build.lot("A"))
    build.section(board, "a", "180.0", "100.0")
    build.breaks(board, "1500", "1350", 4)
    assert lines_of(build, board, "oven_dry_weight")[0] == "1,000.0 g × 1,350 g ÷ 1,500 g = 900 g"


def test_a_typed_oven_dry_weight_says_that_it_was_typed():
    build = ChargeBuilder(target_mc_pct=7)
    board = build.board("1", "1800", lot=build.lot("A"), oven_dry_weight="1010")
    [line] = lines_of(build, board, "oven_dry_weight")
    assert line.startswith("1,010 g, as typed")
    record = build.record()
    assert assess(record, load(), build.when(1)).boards[0].basis.kind is BasisKind.TYPED


def test_the_control_names_its_boards():
    build = ChargeBuilder(target_mc_pct=7)
    lot = build.lot("A")
    for label, grams in (("1", "1400"), ("2", "1300"), ("3", "1200")):
        board = build.board(label, "1800", lot=lot)
        build.section(board, "a", "180.0", "100.0")
        build.weigh(board, grams, 3)
    record = build.record()
    worked = working(record, assess(record, load(), build.when(3)), None, "control")
    assert worked.lines == ("(40.00 + 30.00) ÷ 2 = 35.0 %", "wettest half: the 2 wettest of 3 boards")


def test_half_of_two_boards_is_the_wettest_of_them():
    build = ChargeBuilder()
    for label, grams in (("1", "1400"), ("2", "1300")):
        build.board(label, grams, oven_dry_weight="1000")
    record = build.record()
    worked = working(record, assess(record, load(), build.when(1)), None, "control")
    assert worked.lines == ("board 1: 40.0 %", "wettest half: the wettest of 2 boards")


def test_uncertainty_is_built_up_in_sight():
    build, board = design_board()
    record = build.record()
    figures = assess(record, load(), build.when(AT)).boards[0]
    lines = lines_of(build, board, "uncertainty")
    now, carried = (float(re.search(r"([\d.]+) %$", line)[1]) for line in lines[:2])
    assert 2 * (now**2 + carried**2) ** 0.5 == pytest.approx(figures.mc_uncertainty_pct, abs=0.03)
    assert lines[2].endswith(f"± {figures.mc_uncertainty_pct:.1f} %")


@pytest.mark.parametrize("figure", [*FIGURES, "control"])
def test_what_is_not_known_yet_has_no_working(figure):
    build = ChargeBuilder()
    board = build.board("1", "1800")
    record = build.record()
    assert working(record, assess(record, load(), build.when(0)), board, figure) is None
