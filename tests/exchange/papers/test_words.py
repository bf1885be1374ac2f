"""Figures and dates as papers write them; intervals in words."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.drying.closing.statistics import as_shown
from kilnlog.exchange.papers.contents import IntervalPart
from kilnlog.exchange.papers.final_words import average_sentence, interval_sentence
from kilnlog.exchange.papers.limit_words import ordered
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.readings_figure import scale_of
from kilnlog.exchange.papers.time_axis import TimeAxis
from kilnlog.exchange.papers.words import dated, day, days, figure, minutes, short, short_day, volume
from tests.exchange.papers import samples

DAY_FIRST, MONTH_FIRST = PaperOptions(), PaperOptions(month_first=True)


@given(st.floats(0, 200))
def test_a_figure_is_shown_as_it_was_counted(mc_pct: float) -> None:
    assert figure(mc_pct) == f"{as_shown(mc_pct):.1f}"


@pytest.mark.parametrize(
    ("value", "places", "shown"),
    [
        (None, 1, "–"),
        (-0.4, 1, "−0.4"),
        (-0.04, 1, "0.0"),
        (9999.4, 0, "9999"),
        (12345.6, 0, "12,346"),
        (8.05, 1, "8.0"),
        (8.15, 1, "8.2"),
    ],
)
def test_figures(value: float | None, places: int, shown: str) -> None:
    assert figure(value, places) == shown


def test_short_figures_keep_their_whole_noughts() -> None:
    assert [short(value) for value in (100, 7.0, 7.5, 0.25, 1000.0)] == ["100", "7", "7.5", "0.25", "1000"]


def test_volumes_and_times_have_their_unit() -> None:
    assert volume(380.4, "bf") == "380\u00a0bf"
    assert volume(1.25, "m3") == "1.25\u00a0m³"
    assert volume(3.14, "bf") == "3.1\u00a0bf"
    assert minutes(38.0) == "38\u00a0min"
    assert minutes(150.0) == "2\u00a0h 30\u00a0min"
    # Never up to a time that was not reached.
    assert minutes(29.99) == "29.9\u00a0min"
    assert minutes(1439.8) == "23\u00a0h 59\u00a0min"
    assert minutes(0.5) == "30\u00a0s"


def test_days_cannot_be_taken_for_months() -> None:
    at = date(2026, 3, 4)
    assert day(at, DAY_FIRST) == "4 March 2026"
    assert day(at, MONTH_FIRST) == "March 4, 2026"
    assert (short_day(at, DAY_FIRST), short_day(at, MONTH_FIRST)) == ("4 Mar", "Mar 4")


def test_a_span_within_a_month_names_it_once() -> None:
    span = ("2026-11-13T09:00:00-05:00", "2026-11-18T09:10:00-05:00")
    assert days(*span, DAY_FIRST) == "13 to 18 November 2026"
    assert days(*span, MONTH_FIRST) == "November 13 to 18, 2026"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("K1 dipped, 2026-10-27 15:50 to 2026-10-27 16:04.", "K1 dipped, 27 October 2026, 15:50 to 16:04."),
        (
            "2026-10-31 23:50 to 2026-11-01 00:10",
            "31 October 2026, 23:50 to 1 November 2026, 00:10",
        ),
        ("one reading, 2026-10-27 15:50.", "one reading, 27 October 2026, 15:50."),
        ("piece 2026-99-99 15:50 of 2026", "piece 2026-99-99 15:50 of 2026"),
    ],
)
def test_moments_in_sentences_are_written_as_all_others(text: str, said: str) -> None:
    assert dated(text, DAY_FIRST) == said


def test_a_span_over_new_year_names_both_years() -> None:
    told = days("2025-12-20T08:00:00+01:00", "2026-01-14T08:00:00+01:00", DAY_FIRST)
    assert told == "20 December 2025 to 14 January 2026"


def interval(kind: str, low: float | None, high: float | None, factor: float | None) -> IntervalPart:
    return {
        "kind": kind,
        "low_pct": low,
        "high_pct": high,
        "share_pct": 90,
        "confidence_pct": 95,
        "factor": factor,
    }


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (
            interval("normal", 6.1, 8.2, 2.31),
            "With 95 % confidence at least 90 % of all pieces lie between 6.1 and 8.2 %, "
            "given a normal spread (mean ± 2.31 SD).",
        ),
        (
            interval("normal", None, 18.6, 1.9),
            "With 95 % confidence at least 90 % of all pieces lie below 18.6 %, "
            "given a normal spread (mean + 1.90 SD).",
        ),
        (
            interval("normal", 6.2, None, 1.9),
            "With 95 % confidence at least 90 % of all pieces lie above 6.2 %, "
            "given a normal spread (mean − 1.90 SD).",
        ),
        (
            interval("free", 5.9, 8.4, None),
            "With 95 % confidence at least 90 % of all pieces lie between 5.9 and 8.4 %, "
            "as the lowest and the highest read, however moisture is spread.",
        ),
    ],
)
def test_an_interval_says_share_confidence_and_ground(part: IntervalPart, said: str) -> None:
    assert interval_sentence(part).replace("\u00a0", " ") == said


@pytest.mark.parametrize(
    ("named", "low", "high", "shown"),
    [
        ("6 to 8 %, average 7", 6, 8, "6 to 8 %, average 7 %"),
        ("6-8, average 7", 6, 8, "6 to 8 %, average 7 %"),
        ("the mill's own rule", 6, 8, "6 to 8 %, average 7 % (the mill's own rule)"),
        ("", None, 19, "19 % or less, average 7 %"),
    ],
)
def test_what_was_ordered_is_told_once(named: str, low: float | None, high: float, shown: str) -> None:
    assert ordered(samples.limits(low, high, named=named)).replace("\u00a0", " ") == shown


@pytest.mark.parametrize(
    ("named", "target", "shown"),
    [
        ("6 to 8 %, average 7", 7, "6 to 8 %, average 7"),
        ("6-8 %, aim at 7.5", 7.5, "6-8 %, aim at 7.5"),
        ("6 to 8 %, average 7", 6, "6 to 8 %, target 6 % (6 to 8 %, average 7)"),  # 6 is the range's
        ("6 to 8 %, average 7", 7.5, "6 to 8 %, target 7.5 % (6 to 8 %, average 7)"),
        ("5 to 9 %, average 7", 7, "6 to 8 %, target 7 % (5 to 9 %, average 7)"),
        ("the mill's own rule", 7, "6 to 8 %, target 7 % (the mill's own rule)"),
    ],
)
def test_a_target_that_the_order_names_is_told_once(named: str, target: float, shown: str) -> None:
    asked = samples.limits(named=named, target_mc_pct=target, average_low_pct=None, average_high_pct=None)
    assert ordered(asked).replace("\u00a0", " ") == shown


def test_midnights_stand_on_the_clock_of_the_charge_over_the_end_of_summer_time() -> None:
    """The night of 1 November 2026 has 25 hours in New York (IANA tz database)."""
    axis = TimeAxis.over(["2026-10-30T08:00:00-04:00", "2026-11-04T08:00:00-05:00"], samples.ZONE)
    assert axis is not None
    at = [axis.at(midnight, 0, 1) * 121 for midnight in axis.midnights(9)]  # hours since the first moment
    assert [round(hour, 6) for hour in at] == [16, 40, 65, 89, 113]


def test_an_unknown_zone_leaves_the_moments_own_clock() -> None:
    axis = TimeAxis.over(["2026-10-30T08:00:00-04:00", "2026-11-02T08:00:00-04:00"], "No/Such")
    assert axis is not None
    assert [midnight.isoformat() for midnight in axis.midnights(9)] == [
        f"2026-{day}T00:00:00-04:00" for day in ("10-31", "11-01", "11-02")
    ]


def test_an_average_without_the_pieces_over_the_range_answers_nothing() -> None:
    """They would raise it: 23 pieces of a mean of 7.1 % and one over 30 % may be no lot of 7 to 8 %."""
    asked = samples.limits(average_low_pct=6.5, average_high_pct=7.5)
    known = [samples.reading(7.0), samples.reading(7.2)]
    whole = samples.figures(known, asked)
    assert average_sentence(whole, asked).endswith("the mean read, 7.1\u00a0%, is inside.")
    over = samples.figures([*known, samples.reading(None, over=True)], asked)
    said = average_sentence(over, asked)
    assert said.endswith("it is not known: 1 piece read over 30\u00a0%.")
    assert "inside" not in said


def test_a_figure_of_any_size_is_printed() -> None:
    assert figure(1e30, 0).replace(",", "") == "1" + "0" * 30


@pytest.mark.parametrize(
    ("wettest", "step"), [(8.0, 1), (19.0, 2), (95.0, 10), (190.0, 20), (480.0, 50), (980.0, 100)]
)
def test_the_axis_of_readings_reaches_as_far_as_wood_is_wet(wettest: float, step: int) -> None:
    """Oven-dried pieces of light green wood hold more than twice their dry weight in water."""
    read = samples.series([samples.reading(1.0), samples.reading(wettest)], samples.NO_LIMITS, "oven-dry")
    assert scale_of([read], samples.NO_LIMITS).step() == step
