"""How figures are written for people."""

from __future__ import annotations

from decimal import Decimal

import pytest

from kilnlog.logbook import figures
from kilnlog.logbook.figures import Marks
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import WeightUnit
from tests.builders import moment

CONTINENTAL = Marks(decimal=",", group=".")


@pytest.mark.parametrize(
    ("value", "decimals", "written"),
    [
        (0, 0, "0"),
        (-0.04, 1, "0.0"),
        (-0.05000001, 1, "−0.1"),
        (1234567.891, 2, "1,234,567.89"),
        (-1234.5, 1, "−1,234.5"),
        (0.125, 2, "0.12"),  # half to even, on the decimal value itself
        (2.675, 2, "2.68"),  # as typed 2.675, though its nearest float lies below
        (None, 1, "–"),
    ],
)
def test_numbers(value, decimals, written):
    assert figures.number(value, decimals) == written


def test_the_country_says_how_numbers_are_marked():
    assert figures.number(1234.5, 1, CONTINENTAL) == "1.234,5"
    assert figures.trimmed(1234.50, 3, CONTINENTAL) == "1.234,5"
    assert figures.weight(1234.5, WeightUnit.G, 0.1, CONTINENTAL) == "1.234,5"


@pytest.mark.parametrize(("value", "written"), [(7, "7"), (7.5, "7.5"), (100, "100"), (None, "–"), (0, "0")])
def test_a_number_as_somebody_would_write_it(value, written):
    assert figures.trimmed(value) == written


def test_moisture_to_a_tenth_and_rates_to_a_hundredth():
    assert figures.mc(41.894) == "41.9"
    assert figures.rate(-0.304) == "−0.30"
    assert figures.mc(None) == figures.rate(None) == "–"


def test_a_range_takes_a_thin_dash_with_spaces():
    assert figures.span("2,299", "2,325") == "2,299 – 2,325"
    assert figures.span("2,299", "2,299") == "2,299"


@pytest.mark.parametrize(
    ("grams", "unit", "step_g", "written"),
    [
        (1647.12, WeightUnit.G, None, "1,647 g"),
        (1647.12, WeightUnit.G, 0.1, "1,647.1 g"),
        (1647.12, WeightUnit.G, 5, "1,647 g"),
        (Decimal("2023.0219702"), WeightUnit.LB, None, "4.46 lb"),  # exactly 4.46 lb
        (2023.02, WeightUnit.KG, None, "2.023 kg"),
        (-12.4, WeightUnit.G, None, "−12 g"),
        (None, WeightUnit.G, None, "–"),
    ],
)
def test_computed_weights_are_told_in_the_operators_unit(grams, unit, step_g, written):
    assert figures.weight_with_unit(grams, unit, step_g) == written


def test_pounds_and_ounces_carry_their_own_names():
    typed = weight_from_text("10 lb 13.6 oz", WeightUnit.LB_OZ)
    assert figures.weight_with_unit(typed.grams, WeightUnit.LB_OZ) == "10 lb 13.6 oz"


@pytest.mark.parametrize(
    ("text", "unit", "written"),
    [
        ("1842.50", WeightUnit.G, "1842.50 g"),
        ("4.46", WeightUnit.LB, "4.46 lb"),
        ("10 lb 13.6 oz", WeightUnit.LB_OZ, "10 lb 13.6 oz"),
        ("4.46 lb", WeightUnit.G, "4.46 lb"),
    ],
)
def test_a_typed_weight_keeps_its_text_with_its_unit_once(text, unit, written):
    assert figures.as_typed(weight_from_text(text, unit)) == written


@pytest.mark.parametrize(
    ("low_g", "high_g", "unit", "step_g", "written"),
    [
        (2311.6, 2320.9, WeightUnit.G, None, "2,312 – 2,321 g"),
        (2311.6, 2312.4, WeightUnit.G, None, "2,312 g"),
        (2311.64, 2312.4, WeightUnit.G, 0.5, "2,311.6 – 2,312.4 g"),
        # 2268 g are 5.0001 lb, and 2313 g are 5 lb 1.6 oz (1 oz = 28.349523125 g).
        (2268.0, 2313.0, WeightUnit.LB, None, "5.00 – 5.10 lb"),
        (2268.0, 2313.0, WeightUnit.LB_OZ, None, "5 lb 0.0 oz – 5 lb 1.6 oz"),
    ],
)
def test_a_range_of_weights_says_its_unit_once(low_g, high_g, unit, step_g, written):
    assert figures.weight_span(low_g, high_g, unit, step_g) == written


@pytest.mark.parametrize(
    ("hours", "written"),
    [(0.001, "1 min"), (0.1, "6 min"), (1, "1 h"), (3.52, "3.5 h"), (47.9, "47.9 h"), (48, "2 days")],
)
def test_how_long_is_told_in_the_unit_one_would_say_it_in(hours, written):
    assert figures.duration(hours) == written


@pytest.mark.parametrize(
    ("text", "written"), [("2337", "2,337"), ("1842.50", "1,842.50"), ("10 lb", "10 lb")]
)
def test_typed_thousands_are_grouped_without_touching_the_rest(text, written):
    assert figures.grouped_text(text) == written


@pytest.mark.parametrize(
    ("amount", "unit", "written"),
    [(1150, "bf", "1,150 bf"), (1.55, "m3", "1.55 m³"), (None, None, "–")],
)
def test_volumes(amount, unit, written):
    assert figures.volume(amount, unit) == written


def test_days_are_told_beside_the_time():
    now = moment("2026-11-25 07:44")
    assert figures.day_and_time(moment("2026-11-25 00:05"), now) == "today, 00:05"
    assert figures.day_and_time(moment("2026-11-24 23:55"), now) == "yesterday, 23:55"
    assert figures.day_and_time(moment("2026-11-23 07:30"), now) == "Mon 23 Nov, 07:30"
    assert figures.day_and_time(moment("2025-11-23 07:30"), now) == "Sun 23 Nov 2025, 07:30"


def test_counts():
    assert figures.count(1, "board") == "1 board"
    assert figures.count(1200, "board") == "1,200 boards"


@pytest.mark.parametrize(
    ("loaded", "until", "day"),
    [
        pytest.param("2026-11-03 08:00", "2026-11-03 23:59", 1, id="the day of loading"),
        pytest.param("2026-11-03 23:59", "2026-11-04 00:01", 2, id="the next date, two minutes later"),
        pytest.param("2026-11-03 08:00", "2026-11-07 07:00", 5, id="three days and 23 hours"),
        pytest.param("2026-10-31 23:30", "2026-11-01 23:15", 2, id="a day of 25 hours"),
    ],
)
def test_days_are_counted_as_on_a_calendar(loaded, until, day):
    begun, ended = moment(loaded), moment(until)
    assert figures.day_number(begun, ended.hours_since(begun) / 24) == day
    assert figures.days(begun, ended.hours_since(begun) / 24) == str(day)


def test_a_charge_not_loaded_has_no_day():
    assert (figures.day_number(None, None), figures.days(None, None)) == (None, "–")
