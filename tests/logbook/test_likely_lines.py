"""Lines of the close-out beyond what a meter shows, wood holds or a kiln takes are asked about.

What would fit had a decimal mark slipped is worked out by hand beside each check. Where the limits lie is
common practice, no source.
"""

from __future__ import annotations

import pytest

from kilnlog.drying.closing.tally import Rounding
from kilnlog.logbook.final_readings import (
    DRY,
    PACK,
    PIECE,
    READING,
    WET,
    SeriesTerms,
    meter_reading,
    oven_reading,
)
from kilnlog.logbook.likely_reading import oven_doubts, reading_doubts
from kilnlog.logbook.tally_lines import doubts, tally_line
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import VolumeUnit

MOST, WETTEST = 30.0, 200.0


def asked_of_meter(shown):
    typed = {PACK: "1", PIECE: "1", READING: shown}
    return list(reading_doubts(meter_reading("c", "l", SeriesTerms(), typed, "."), MOST, WETTEST))


def asked_of_oven(wet, dry):
    typed = {PACK: "1", PIECE: "1", WET: wet, DRY: dry}
    return list(oven_doubts(oven_reading("c", "l", typed, WeightUnit.G, "."), MOST, WETTEST))


def asked_of_tally(**typed):
    texts = {
        "when": "net",
        "grade": "FAS",
        "thickness": "4/4",
        "width": "6 in",
        "length": "10 ft",
        "pieces": "20",
    } | typed
    line = tally_line("c", "l", texts, ".", VolumeUnit.BOARD_FEET)
    return doubts(line, Rounding.EXACT, VolumeUnit.BOARD_FEET)


@pytest.mark.parametrize(
    ("shown", "meant"),
    [("72", "7.2"), ("84", "8.4"), ("640", "6.4"), ("300", "30"), ("72.5", "7.25")],
)
def test_a_misplaced_decimal_mark_of_a_meter_is_offered(shown, meant):
    [said] = asked_of_meter(shown)
    assert f"Was {meant} % meant? Then type that." in said


def test_where_no_slip_fits_none_is_offered():
    [said] = asked_of_meter("35")  # 3.5 % is drier than finished wood is
    assert said.startswith("35 % is above 30 %")
    assert "meant" not in said


def test_far_above_what_wood_holds_is_asked_otherwise_than_just_above_the_meter():
    [far], [near] = asked_of_meter("300"), asked_of_meter("35")
    assert far.startswith("300 % is far above 30 %, which a meter measures to, and above 200 %")
    assert "far above" not in near
    assert asked_of_meter("30") == []


def test_an_oven_dried_piece_wetter_than_wood_is_asked_about():
    # 100 x (60 - 10) / 10 = 500 %; no mark moved makes a finished piece of it.
    [said] = asked_of_oven("60", "10")
    assert said.startswith("60 wet and 10 oven-dry make 500 % MC; above 200 % is hardly ever seen.")
    assert "decimal mark" not in said
    assert asked_of_oven("60", "20") == []  # 200 %: green wood may be so wet


def test_the_weight_whose_decimal_mark_slipped_is_named():
    # 60 / 5.6 is 971 %; 56 makes 100 x 4 / 56 = 7.1 %. 600 / 56 likewise, with 60.
    [dry], [wet] = asked_of_oven("60", "5.6"), asked_of_oven("600", "56")
    assert "With the decimal mark of the oven-dry weight moved it would be 7.1 %." in dry
    assert "7.1 %" in wet


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"length": "99999 ft"}, "99,999 ft is longer than lumber in a kiln is."),
        ({"length": "120 ft"}, "120 ft is longer than lumber in a kiln is. Was 12 ft meant?"),
        ({"length": "4800 cm"}, "4,800 cm is longer than lumber in a kiln is. Was 480 cm meant?"),
        ({"width": "65 in"}, "65 in is wider than lumber in a kiln is. Was 6.5 in meant?"),
        ({"thickness": "44/4"}, "44/4 is thicker than kilns take."),
        ({"pieces": "50000"}, "50,000 pieces are more than one line of a kiln's charge holds."),
    ],
)
def test_sizes_beyond_reason_are_asked_about(typed, said):
    assert asked_of_tally(**typed) == (said,)


@pytest.mark.parametrize(
    "typed",
    [{}, {"length": "40 ft"}, {"width": "40 in"}, {"thickness": "24/4"}, {"pieces": "5000"}],
)
def test_large_lumber_is_not(typed):
    assert asked_of_tally(**typed) == ()


@pytest.mark.parametrize("column", ["width", "length", "volume"])
def test_a_size_of_nothing_is_refused_without_a_range_that_holds_it(column):
    with pytest.raises(KilnlogError) as refused:
        asked_of_tally(**{column: "0"})
    assert worded(refused.value).text == "“0” is nothing at all. Type what was read, above 0."
    assert refused.value.values["column"] == column


def test_what_is_no_number_is_answered_by_an_example_that_fits_a_moisture_too():
    with pytest.raises(KilnlogError) as refused:
        asked_of_meter("7.x")
    assert worded(refused.value).text.endswith("Type digits with one decimal mark, like 12.5.")
