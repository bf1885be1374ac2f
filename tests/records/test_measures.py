"""Thickness as the trade writes it; board feet and cubic metres."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.measures import (
    BOARD_FEET_PER_CUBIC_METRE,
    board_feet,
    board_feet_of,
    cubic_metres,
    scale_correction_factor,
    thickness_mm,
)
from kilnlog.records.words import VolumeUnit


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("8/4", 50.8),
        ("4/4", 25.4),
        ("5/4 in", 31.75),
        ("1 1/4 in", 31.75),
        ("1-1/4 in.", 31.75),
        ('1-1/4"', 31.75),
        ('1.25"', 31.75),
        ("1.25″", 31.75),
        ("1.25 inch", 31.75),
        ("1.25 Inches", 31.75),
        ("5/8 in", 15.875),
        ("27 mm", 27.0),
        ("27mm", 27.0),
        ("2.7 cm", 27.0),
        ("500 mm", 500.0),
    ],
)
def test_reads(text: str, mm: float) -> None:
    assert thickness_mm(text) == mm


def test_decimal_comma() -> None:
    assert thickness_mm("2,7 cm", decimal_mark=",") == 27.0
    with pytest.raises(AmbiguousNumber):
        thickness_mm("2,125 in")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "blank"),
        ("27", "unit"),
        ("5/8", "unit"),
        ("27 m", "characters"),
        ("1 5/4 in", "fraction"),
        ("1 4/4 in", "fraction"),
        ("1/0 in", "fraction"),
        ("0/4", "zero"),
        ("0 mm", "zero"),
        ("-27 mm", "negative"),
        ("9000 mm", "range"),
        ("99/4", "range"),
        ("２7 mm", "foreign-digits"),
        ("2,7 mm", "other-mark"),
        ("thick", "characters"),
    ],
)
def test_refuses_and_says_why(text: str, why: str) -> None:
    with pytest.raises(UnreadableNumber) as refused:
        thickness_mm(text)
    assert refused.value.values["why"] == why


@given(st.integers(1, 60), st.sampled_from([2, 4, 8, 16, 32]), st.integers(0, 12))
def test_every_fraction_of_an_inch(top: int, bottom: int, whole: int) -> None:
    """1 in = 25.4 mm exactly."""
    mixed = whole > 0
    text = f"{whole} {top}/{bottom} in" if mixed else f"{top}/{bottom} in"
    exact = (whole + Fraction(top, bottom)) * Fraction("25.4")
    if (mixed and top >= bottom) or exact > 500:
        with pytest.raises(UnreadableNumber):
            thickness_mm(text)
    else:
        assert thickness_mm(text) == float(exact)


@given(st.text(alphabet='0123456789/ -.,"inmcIN', max_size=12) | st.text(max_size=16))
def test_whatever_is_typed_is_a_thickness_or_an_operators_error(text: str) -> None:
    try:
        thickness = thickness_mm(text)
    except (UnreadableNumber, AmbiguousNumber):
        return
    assert 0 < thickness <= 500


def test_a_cubic_metre_is_423_776_board_feet() -> None:
    """By the inch of 1959: 1 / (144 x 0.0254^3)."""
    assert round(BOARD_FEET_PER_CUBIC_METRE, 3) == Fraction("423.776")
    assert board_feet(1.0, VolumeUnit.CUBIC_METRES) == pytest.approx(423.776, abs=0.0005)
    assert cubic_metres(1000.0, VolumeUnit.BOARD_FEET) == pytest.approx(2.359737216, rel=1e-12)
    assert board_feet(250.0, VolumeUnit.BOARD_FEET) == 250.0
    assert cubic_metres(2.5, VolumeUnit.CUBIC_METRES) == 2.5


@given(*[st.floats(min_value=0.25, max_value=100)] * 6)
def test_board_feet_and_scale_correction_by_fractions(
    t: float, w: float, length: float, t_nominal: float, w_nominal: float, l_nominal: float
) -> None:
    exact_bf = Fraction(t) * Fraction(w) * Fraction(length) / 12
    assert board_feet_of(t, w, length) == pytest.approx(float(exact_bf), rel=1e-12)
    exact = Fraction(t) / Fraction(t_nominal) * Fraction(w) / Fraction(w_nominal)
    exact *= Fraction(length) / Fraction(l_nominal)
    factor = scale_correction_factor((t, w, length), (t_nominal, w_nominal, l_nominal))
    assert factor == pytest.approx(float(exact), rel=1e-12)
