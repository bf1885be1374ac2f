"""Volumes of tally lines, surface measure, totals and what they shrank by."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from kilnlog.drying.closing.tally import (
    OWNER_COLUMNS,
    Rounding,
    TallyRemark,
    owner_rows,
    tally_of,
    worked_out_m3,
)
from kilnlog.records.errors import UnreadableNumber
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import LengthUnit, TallyTime, VolumeUnit

IN, FT, MM, M = LengthUnit.INCHES, LengthUnit.FEET, LengthUnit.MILLIMETRES, LengthUnit.METRES
BF, M3 = VolumeUnit.BOARD_FEET, VolumeUnit.CUBIC_METRES
GREEN, NET = TallyTime.GREEN, TallyTime.NET
SURFACE = Rounding.SURFACE_MEASURE


def pieces_of(
    thickness: str,
    width: float,
    length: float,
    pieces: int = 1,
    *,
    when: TallyTime = GREEN,
    units: tuple[LengthUnit, LengthUnit] = (IN, FT),
    grade: str | None = None,
) -> TallyLine:
    return TallyLine(
        charge="c",
        lot="l",
        when=when,
        grade=grade,
        thickness=thickness,
        width=width,
        width_unit=units[0],
        length=length,
        length_unit=units[1],
        pieces=pieces,
    )


def total(volume: float, unit: VolumeUnit = BF, when: TallyTime = NET, **more: object) -> TallyLine:
    return TallyLine("c", "l", when, volume=volume, volume_unit=unit, **more)  # type: ignore[arg-type]


@given(
    st.sampled_from([("4/4", 1.0), ("8/4", 2.0), ("5/4", 1.25), ("1 1/4 in", 1.25), ('1.5"', 1.5)]),
    st.integers(1, 24),
    st.integers(1, 20),
    st.integers(1, 500),
)
def test_board_feet_are_thickness_by_width_by_length_over_twelve(
    thick: tuple[str, float], width: int, length: int, pieces: int
) -> None:
    """T [in] x W [in] x L [ft] / 12: the formula every handbook prints."""
    told = tally_of([pieces_of(thick[0], width, length, pieces)], BF)
    assert told.green == pytest.approx(thick[1] * width * length / 12 * pieces, rel=1e-12)


def test_cubic_metres_by_the_inch_and_foot_of_codata() -> None:
    """scipy.constants: inch and foot [m]."""
    line = pieces_of("8/4", 7.5, 9.25, 13)
    expected = 2 * constants.inch * 7.5 * constants.inch * 9.25 * constants.foot * 13
    assert tally_of([line], M3).green == pytest.approx(expected, rel=1e-12)
    metric = pieces_of("27 mm", 180, 2.5, 40, units=(MM, M))
    assert tally_of([metric], M3).green == pytest.approx(0.486, rel=1e-12)  # 0.027 x 0.18 x 2.5 x 40
    assert tally_of([metric], BF).green == pytest.approx(0.486 / (constants.inch**3 * 144), rel=1e-12)


# Wengert, Forestry Facts No. 69, Univ. of Wisconsin (1993): the wood there over the wood traded. The first is
# printed as 1.149 from 8.17 / 8 rounded to 1.021; by its own sizes it is 1.1484.
@pytest.mark.parametrize(
    ("actual", "nominal", "printed"),
    [
        pytest.param(("1 1/8 in", 1, 98 / 12), ("4/4", 1, 8), 1.1484, id="example 1"),
        pytest.param(("2.15625 in", 1, 14), ("8/4", 1, 14), 1.078, id="example 2"),
        pytest.param(("1.5 in", 5.5, 12), ("8/4", 6, 12), 0.688, id="example 3"),
    ],
)
def test_actual_over_nominal_volume_as_printed(
    actual: tuple[str, float, float], nominal: tuple[str, float, float], printed: float
) -> None:
    there = tally_of([pieces_of(*actual)], BF).green
    traded = tally_of([pieces_of(*nominal)], BF).green
    assert there is not None
    assert traded is not None
    assert there / traded == pytest.approx(printed, abs=0.0005)


# Common practice, no source: worked by hand.
@pytest.mark.parametrize(
    ("line", "board_feet"),
    [
        (("4/4", 8, 12, 1), 8),  # 8 square feet
        (("4/4", 7, 11, 1), 6),  # 6.42
        (("4/4", 8, 11.5, 1), 8),  # 7.67
        (("6/4", 7, 11, 10), 90),  # 6 x 1.5 x 10
        (("4/4", 9, 10, 1), 8),  # 7.5: up
        (("4/4", 9, 10, 2), 15),  # up and down by turns
        (("4/4", 9, 10, 3), 23),
        (("5/4", 9, 10, 4), 37.5),
        (("3/4", 8, 12, 1), 8),  # thinner than an inch counts as one
        (("1/2 in", 8, 12, 1), 8),
        (("4/4", 5, 1, 1), 0),  # 0.42
    ],
)
def test_surface_measure(line: tuple[str, float, float, int], board_feet: float) -> None:
    assert tally_of([pieces_of(*line)], BF, SURFACE).green == board_feet


def test_surface_measure_of_metric_sizes_is_that_of_the_same_sizes_in_inches() -> None:
    metric = pieces_of("25.4 mm", 228.6, 3.048, 3, units=(MM, M))  # 9 in by 10 ft: an exact half
    assert tally_of([metric], BF, SURFACE).green == 23


@given(st.floats(1, 24), st.floats(1, 20), st.integers(1, 400))
def test_surface_measure_is_never_further_off_than_half_a_foot_a_piece(
    width: float, length: float, pieces: int
) -> None:
    line = pieces_of("4/4", width, length, pieces)
    exact, surface = worked_out_m3(line, Rounding.EXACT), worked_out_m3(line, SURFACE)
    assert exact is not None
    assert surface is not None
    one_board_foot = constants.inch**3 * 144
    assert abs(float(exact - surface)) <= pieces * 0.5 * one_board_foot * (1 + 1e-9)


def test_a_typed_total_stands_and_what_the_sizes_come_to_is_beside_it() -> None:
    line = pieces_of("4/4", 8, 12, 10)
    typed = total(78, thickness="4/4", width=8, width_unit=IN, length=12, length_unit=FT, pieces=10)
    (figure,) = tally_of([typed], BF, SURFACE).lines
    assert (figure.volume, figure.is_typed, figure.worked_out) == (78, True, 80)
    (figure,) = tally_of([line], BF).lines
    assert (figure.volume, figure.is_typed, figure.worked_out) == (80, False, None)
    (figure,) = tally_of([total(2.0, M3)], BF).lines
    assert figure.volume == pytest.approx(2 / (constants.inch**3 * 144), rel=1e-12)
    assert tally_of([total(1500.5)], BF).net == 1500.5


def test_green_and_net_are_added_up_and_told_apart() -> None:
    told = tally_of(
        [total(93, when=NET), pieces_of("4/4", 6, 10, 12), pieces_of("4/4", 8, 12, 5)],
        BF,
    )
    assert (told.green, told.net) == (100, 93)
    assert told.shrinkage_pct == pytest.approx(7)
    assert [figure.line.when for figure in told.lines] == [GREEN, GREEN, NET]
    assert (told.green_pieces, told.net_pieces) == (17, None)


def test_totals_add_as_written_not_as_binary_numbers() -> None:
    assert tally_of([total(0.1), total(0.2)], BF).net == 0.3
    assert tally_of([total(0.1) for _ in range(10)], BF).net == 1.0


@pytest.mark.parametrize("lines", [[], [total(5, when=GREEN)], [total(5)], [total(0, when=GREEN), total(0)]])
def test_no_shrinkage_from_one_side_alone(lines: list[TallyLine]) -> None:
    told = tally_of(lines, BF)
    assert told.shrinkage_pct is None
    assert told.remarks == ()


def test_what_keeps_a_shrinkage_from_being_that_of_the_wood() -> None:
    sawn, dry = pieces_of("28 mm", 8, 10, 9), pieces_of("26 mm", 7.6, 10, 9, when=NET)
    assert tally_of([sawn, dry], BF).remarks == ()
    assert tally_of([sawn, dry], BF, SURFACE).remarks == (TallyRemark.ROUNDED,)
    nominal = pieces_of("4/4", 8, 10, 9, when=NET)
    assert tally_of([sawn, nominal], BF).remarks == (TallyRemark.NOMINAL,)
    fewer = pieces_of("26 mm", 7.6, 10, 8, when=NET)
    assert tally_of([sawn, fewer], BF).remarks == (TallyRemark.OTHER_PIECES,)
    more = tally_of([sawn, pieces_of("29 mm", 8, 10, 9, when=NET)], BF)
    assert more.remarks == (TallyRemark.GREW,)
    assert more.shrinkage_pct is not None
    assert more.shrinkage_pct < 0
    assert tally_of([total(10, when=GREEN), total(9)], BF, SURFACE).remarks == ()


def test_a_thickness_nobody_can_read_is_said_to_be_one() -> None:
    with pytest.raises(UnreadableNumber):
        tally_of([pieces_of("thick", 8, 12)], BF)
    assert tally_of([pieces_of("1,25 in", 8, 12)], BF, decimal_mark=",").green == 10


def test_beside_a_total_a_thickness_may_be_in_any_words() -> None:
    line = replace(pieces_of("full inch", 8, 12), volume=10.0, volume_unit=BF)
    told = tally_of([line], BF)
    assert (told.green, told.lines[0].worked_out) == (10.0, None)


def test_an_owner_gets_lines_to_price() -> None:
    told = tally_of([pieces_of("4/4", 8, 12, 5, grade="FAS"), total(37.5)], BF)
    rows = [dict(zip(OWNER_COLUMNS, row, strict=True)) for row in owner_rows("A", told)]
    assert [row["volume"] for row in rows] == [40, 37.5]
    assert rows[0] == {
        "lot": "A",
        "when": "green",
        "grade": "FAS",
        "thickness": "4/4",
        "width": 8,
        "width_unit": "in",
        "length": 12,
        "length_unit": "ft",
        "pieces": 5,
        "volume": 40,
        "volume_unit": "bf",
        "price": None,
        "note": None,
    }
