"""The longest heat interval, against a search through every pair of instants that knows only the rule.

The thresholds are those of ISPM 15 (56 C for 30 minutes) and of others; the traces are invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from statistics import median
from time import perf_counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlog.drying.closing.heat_interval import HeatInterval, Stretch, heat_interval
from kilnlog.drying.closing.probes import Probe, ProbeSeries, probes_of
from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, TemperatureUnit

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
CORE, AIR = ProbePlace.CORE, ProbePlace.AIR


@dataclass(frozen=True)
class Trace:
    """A probe as a person would write it down: minutes, and temperatures as logged; "" where none was."""

    rows: tuple[tuple[float, str], ...]
    unit: TemperatureUnit = C
    place: ProbePlace = CORE

    def probe(self, name: str) -> Probe:
        at_s = np.array([60 * minute for minute, _ in self.rows], dtype=np.float64)
        shown = np.array([float(text) if text else np.nan for _, text in self.rows], dtype=np.float64)
        return Probe(name, self.place, (ProbeSeries(at_s, shown, self.unit),))

    def warm(self, at_least_c: Fraction) -> list[tuple[float, bool]]:
        """Each instant once, the coldest reading counting; compared as fractions."""
        coldest: dict[float, Fraction] = {}
        for minute, text in self.rows:
            if text:
                shown = Fraction(Decimal(text))
                in_c = shown if self.unit is C else (shown - 32) / Fraction(9, 5)
                coldest[minute] = min(in_c, coldest.get(minute, in_c))
        return [(minute, coldest[minute] >= at_least_c) for minute in sorted(coldest)]


def holds(readings: list[tuple[float, bool]], begins: float, ends: float) -> bool:
    """Whether one probe vouches for all of a stretch: the rule, word for word."""
    instants = [minute for minute, _ in readings]
    before = [number for number, minute in enumerate(instants) if minute <= begins]
    after = [number for number, minute in enumerate(instants) if minute >= ends]
    if not before or not after:
        return False
    first, last = before[-1], after[0]
    if not all(warm for _, warm in readings[first : last + 1]):
        return False
    gaps = [late - early for early, late in pairwise(instants)]
    return all(gap <= 2 * median(gaps) for gap in gaps[first:last])


def searched(traces: list[Trace], at_least_c: Fraction) -> list[tuple[float, float]]:
    """Every stretch between two readings that all probes vouch for and that lies in no longer one."""
    read = [trace.warm(at_least_c) for trace in traces]
    instants = sorted({minute for readings in read for minute, _ in readings})
    found = [
        (begins, ends)
        for begins in instants
        for ends in instants
        if begins <= ends and all(holds(readings, begins, ends) for readings in read)
    ]
    return [
        one
        for one in found
        if not any(other != one and other[0] <= one[0] and one[1] <= other[1] for other in found)
    ]


def widest(found: list[Trace], told: HeatInterval) -> float | None:
    """The longest step of any probe that has more than an end in common with the longest run."""
    if told.longest is None or told.longest.minutes == 0:
        return None
    begins, ends = told.longest.from_s / 60, told.longest.until_s / 60
    steps = [pair for trace in found for pair in pairwise(minute for minute, _ in trace.warm(Fraction(56)))]
    return max(late - early for early, late in steps if early < ends and late > begins)


def interval(
    *traces: Trace, at_least: float = 56, unit: TemperatureUnit = C, asked: float = 30
) -> HeatInterval:
    probes = [trace.probe(str(number)) for number, trace in enumerate(traces)]
    return heat_interval(probes, at_least, unit, asked)


def in_minutes(runs: tuple[Stretch, ...]) -> list[tuple[float, float]]:
    return [(run.from_s / 60, run.until_s / 60) for run in runs]


def every(minutes: float, *shown: str, start: float = 0, unit: TemperatureUnit = C) -> Trace:
    return Trace(tuple((start + minutes * number, text) for number, text in enumerate(shown)), unit)


#: Steps of readings that make ties, holes and readings of two probes at one instant likely.
GAPS = st.sampled_from([0, 1, 1, 1, 2, 2, 3, 5, 9])
SHOWN_C = st.sampled_from(["55.9", "56", "56.0", "56.1", "60", "55.99", ""])
SHOWN_F = st.sampled_from(["132.7", "132.8", "132.80", "132.9", "133", "132.79", ""])


@st.composite
def traces(draw: st.DrawFn) -> Trace:
    unit = draw(st.sampled_from([C, F]))
    gaps = draw(st.lists(GAPS, min_size=0, max_size=11))
    at, rows = draw(st.integers(0, 4)), []
    for gap in [0, *gaps]:
        at += gap
        rows.append((float(at), draw(SHOWN_C if unit is C else SHOWN_F)))
    return Trace(tuple(rows), unit)


@settings(max_examples=600, deadline=None)
@given(st.lists(traces(), min_size=1, max_size=3))
def test_it_is_what_a_search_through_all_pairs_finds(found: list[Trace]) -> None:
    expected = searched(found, Fraction(56))
    told = interval(*found)
    assert in_minutes(told.runs) == expected
    longest = max((ends - begins for begins, ends in expected), default=None)
    assert told.widest_minutes == widest(found, told)
    assert (None if told.longest is None else told.longest.minutes) == longest
    assert told.reached is (longest is not None and longest >= 30)


def test_long_random_traces_agree_with_the_search() -> None:
    random = np.random.default_rng(2024)
    seen = 0
    for _ in range(40):
        made = []
        for unit in (C, F):
            at = np.cumsum(random.choice([1, 1, 1, 1, 1, 2, 3, 4], size=45))
            shown = random.choice(["56", "57.5", "58", "59", "60", "61", "62", "55.9"], size=45)
            in_unit = [text if unit is C else str(Decimal(text) * 9 / 5 + 32) for text in shown]
            made.append(Trace(tuple(zip(at.tolist(), in_unit, strict=True)), unit))
        expected = searched(made, Fraction(56))
        seen += len(expected)
        assert in_minutes(interval(*made).runs) == expected
    assert seen > 200


def test_from_the_first_to_the_last_qualifying_sample() -> None:
    told = interval(every(5, "50", "56", "57", "58", "57", "56", "56", "57", "50"))
    assert in_minutes(told.runs) == [(5, 35)]
    assert told.reached  # 30 minutes to the second
    assert told.sampling_minutes == 5
    assert not interval(every(5, "50", "56", "57", "58", "57", "56", "56", "57", "50"), asked=30.1).reached


def test_a_dip_of_a_single_sample_breaks_it() -> None:
    told = interval(every(5, *["60"] * 5, "55.9", *["60"] * 5))
    assert in_minutes(told.runs) == [(0, 20), (30, 50)]
    assert not told.reached
    assert told.probes[0].dips == (Stretch(25 * 60, 25 * 60),)


def test_a_dip_of_any_probe_breaks_it() -> None:
    good, dips = every(5, *["60"] * 11), every(5, *["60"] * 3, "50", *["60"] * 7)
    assert interval(good).reached
    assert in_minutes(interval(good, dips).runs) == [(0, 10), (20, 50)]


@pytest.mark.parametrize(
    ("shown", "unit", "at_least", "asked_in", "counts"),
    [
        ("56", C, 56, C, True),
        ("132.8", F, 56, C, True),  # 56 x 9/5 + 32 = 132.8, though no binary number is
        ("132.7", F, 56, C, False),
        ("132.79999", F, 56, C, False),
        ("56.0", C, 132.8, F, True),
        ("55.9", C, 132.8, F, False),
        ("56.1", C, 133, F, False),  # 133 F = 56.1111... C
        ("56.12", C, 133, F, True),
        ("60", C, 140, F, True),
        ("140", F, 60, C, True),
        ("151.7", F, 66.5, C, True),  # 66.5 x 9/5 + 32 = 151.7 exactly
        ("151.6", F, 66.5, C, False),
    ],
)
def test_equal_to_the_threshold_counts_in_either_unit(
    shown: str, unit: TemperatureUnit, at_least: float, asked_in: TemperatureUnit, counts: bool
) -> None:
    told = interval(every(10, *[shown] * 4, unit=unit), at_least=at_least, unit=asked_in)
    assert told.reached is counts


def test_every_tenth_of_a_degree_is_equal_to_itself_in_the_other_unit() -> None:
    for tenths in range(300, 1001):
        typed = Decimal(tenths) / 10
        in_f = str(typed * 9 / 5 + 32)
        below = str(typed * 9 / 5 + 32 - Decimal("0.01"))
        assert interval(every(30, in_f, in_f, unit=F), at_least=float(typed)).reached
        assert interval(every(30, in_f, below, unit=F), at_least=float(typed)).runs[0].minutes == 0


def test_a_hole_over_twice_the_usual_interval_breaks_it_and_one_of_twice_does_not() -> None:
    rows = [(float(at), "60") for at in range(0, 40, 2)]
    twice = tuple(row for row in rows if row[0] != 20)
    over = tuple(row for row in rows if row[0] not in (20, 22))
    assert interval(Trace(twice)).reached
    told = interval(Trace(over))
    assert in_minutes(told.runs) == [(0, 18), (24, 38)]
    assert told.probes[0].holes == (Stretch(18 * 60, 24 * 60),)
    empty_cells = tuple((at, "" if at in (20, 22) else text) for at, text in rows)
    assert interval(Trace(empty_cells)).runs == told.runs


def test_a_probe_that_drops_out_ends_it_and_one_that_comes_late_begins_it() -> None:
    whole, drops, late = every(5, *["60"] * 13), every(5, *["60"] * 6), every(5, *["60"] * 10, start=15)
    assert in_minutes(interval(whole, drops).runs) == [(0, 25)]
    assert in_minutes(interval(whole, late).runs) == [(15, 60)]
    assert in_minutes(interval(whole, drops, late).runs) == [(15, 25)]
    assert not interval(whole, Trace(())).runs  # a probe that gave nothing vouches for nothing


def test_probes_read_at_different_instants() -> None:
    early, late = every(10, *["60"] * 5), every(10, "50", *["60"] * 5, start=3)
    assert in_minutes(interval(early, late).runs) == [(13, 40)]


def test_of_two_readings_at_one_instant_the_colder_counts() -> None:
    rows = [(float(at), "60") for at in range(0, 50, 5)]
    for both in ([(20.0, "50")], [(20.0, "60"), (20.0, "50")]):
        told = interval(Trace(tuple(sorted([*rows, *both], key=lambda row: row[0]))))
        assert in_minutes(told.runs) == [(0, 15), (25, 45)]


def test_a_single_sample_is_no_time_at_all() -> None:
    told = interval(Trace(((7.0, "60"),)))
    assert in_minutes(told.runs) == [(7, 7)]
    assert told.longest is not None
    assert told.longest.minutes == 0
    assert not told.reached
    assert told.sampling_minutes is None


def test_nothing_read_and_nothing_warm() -> None:
    for told in (interval(), interval(every(5, *["55.9"] * 9))):
        assert told.runs == ()
        assert told.longest is None
        assert not told.reached
    assert not interval().air_only


def test_a_probe_in_the_air_says_nothing_of_the_wood() -> None:
    hot_air = Trace(every(5, *["80"] * 13).rows, place=AIR)
    told = interval(hot_air)
    assert told.air_only
    assert in_minutes(told.runs) == [(0, 60)]  # of the air, and said to be
    assert not told.reached
    with_core = interval(hot_air, every(5, *["50"] * 13))
    assert not with_core.air_only
    assert [probe.counted for probe in with_core.probes] == [False, True]
    assert with_core.runs == ()
    cold_air = Trace(every(5, *["20"] * 13).rows, place=AIR)
    assert interval(cold_air, every(5, *["60"] * 13)).reached


def test_the_sampling_interval_is_that_of_the_slowest_counted_probe() -> None:
    air = Trace(every(60, *["80"] * 3).rows, place=AIR)
    told = interval(every(1, *["60"] * 50), every(15, *["60"] * 5), air)
    assert told.sampling_minutes == 15
    assert not told.is_coarse
    assert interval(every(120, "60", "60")).is_coarse


def test_a_step_far_longer_than_those_around_it_is_told() -> None:
    """Slow for days, quick while heated: the usual interval would let a long silence pass unsaid."""
    slow = [(float(at), "20") for at in range(-3000, 0, 30)]
    quick = [(float(at), "60") for at in (*range(6), *range(50, 60))]
    told = interval(Trace((*slow, *quick)))
    assert in_minutes(told.runs) == [(0, 59)]
    assert (told.sampling_minutes, told.widest_minutes) == (30, 45)
    assert told.is_coarse
    assert interval(every(5, *["60"] * 9)).widest_minutes == 5


def test_a_probe_read_by_hand_and_by_a_logger_in_two_units_is_one_probe() -> None:
    first = Moment.from_text("2024-03-01 08:00", "America/New_York")
    start = first.utc.timestamp()
    logged = ProbeSeries(start + np.arange(0, 3600, 300.0), np.full(12, 60.0), C)
    cold = ProbeReading("charge", "K1", CORE, 131.0, F)
    warm = ProbeReading("charge", "K1", CORE, 140.0, F)
    probes = probes_of(
        [("air", AIR, logged), ("K1", CORE, logged)],
        [(first.plus_hours(0.5), cold), (first.plus_hours(0.26), warm)],
    )
    assert [(probe.name, probe.placed_in) for probe in probes] == [("K1", CORE), ("air", AIR)]
    told = heat_interval(probes, 56, C, 30)
    assert in_minutes(told.runs) == [(start / 60, start / 60 + 25), (start / 60 + 35, start / 60 + 55)]
    assert told.probes[0].highest_c == 60  # 140 F
    assert told.probes[0].readings == 13  # the one at the half hour stands for both


def test_a_million_readings_are_quick_against_reading_through_them_once() -> None:
    random = np.random.default_rng(7)
    at_s = np.arange(500_000) * 60.0
    made = [
        Probe(name, CORE, (ProbeSeries(at_s + shift, 60 + random.normal(0, 2, len(at_s)), C),))
        for name, shift in (("a", 0.0), ("b", 30.0))
    ]
    began = perf_counter()
    longest = run = 0
    for shown in np.concatenate([probe.parts[0].temperature for probe in made]).tolist():
        run = run + 1 if shown >= 56 else 0
        longest = max(longest, run)
    plain_s = perf_counter() - began
    began = perf_counter()
    told = heat_interval(made, 56, C, 30)
    assert perf_counter() - began < 15 * plain_s  # 1,000,000 readings with some 20,000 dips
    assert told.longest is not None
    assert len(told.runs) > 10_000
