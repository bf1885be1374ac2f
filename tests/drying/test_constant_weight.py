"""Constant weight: where each rule decides, against its definition written a second time in exact decimals.

The oven weights (``oven_series.csv``) are those of a SUNY ESF presentation on oven time and temperature:
eleven pieces of maple and ash at 185, 217.4 and 266 F, weighed for up to 414 h.
"""

import csv
from collections import defaultdict
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.drying.constant_weight import (
    DEFAULT_RULE,
    RULES,
    Judgement,
    Refusal,
    judge,
    rule_from_setting,
)
from kilnlog.records.errors import UnknownWord
from kilnlog.records.moment import Moment

START = Moment(datetime(2025, 3, 3, 8, 0, tzinfo=UTC), "UTC")
Series = list[tuple[Decimal, Decimal]]  # hours, grams, as printed


def printed_series() -> dict[str, Series]:
    pieces: dict[str, Series] = defaultdict(list)
    with Path(__file__).with_name("oven_series.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            pieces[f"{row['piece']} at {row['oven_f']} F"].append(
                (Decimal(row["time_h"]), Decimal(row["weight_g"]))
            )
    return dict(pieces)


PIECES = printed_series()

# The rules a second time: limit in percent or in divisions, hours, and whether the limit itself still passes.
DEFINITIONS = {
    "0.1 % in 2 h": ("pct", Decimal("0.1"), Decimal(2)),  # EN 13183-1 (memory): below 0.1 %
    "0.5 % in 6 h": ("pct", Decimal("0.5"), Decimal(6)),  # ISO 13061-1 (memory)
    "2 divisions in 3 h": ("div", Decimal(2), Decimal(3)),  # ASTM D4442 method A: no more than twice
}


def by_definition(series: Series, division: Decimal, rule: str) -> tuple[Decimal, Decimal, Decimal] | None:
    """Hour reached, hour compared with, and the lower of the two weights; None where never."""
    kind, limit, interval = DEFINITIONS[rule]
    for hour, weight in series:
        candidates = [(h, w) for h, w in series if h <= hour - interval]
        if not candidates:
            continue
        then, before = max(candidates)
        change = max(weight - before, before - weight)
        reached = change * 100 < limit * weight if kind == "pct" else change <= limit * division
        if reached:
            return hour, then, min(weight, before)
    return None


def as_readings(series: Series) -> list[tuple[Moment, float]]:
    return [(START.plus_hours(float(hour)), float(weight)) for hour, weight in series]


def decided(judgement: Judgement) -> tuple[float, float, float] | None:
    if not judgement.constant:
        return None
    assert judgement.at is not None
    assert judgement.compared_with is not None
    assert judgement.oven_dry_weight_g is not None
    return (
        judgement.at.hours_since(START),
        judgement.compared_with.hours_since(START),
        judgement.oven_dry_weight_g,
    )


def test_the_series_are_all_there() -> None:
    assert len(PIECES) == 11
    assert sum(map(len, PIECES.values())) == 128


@pytest.mark.parametrize("division", ["0.001", "0.01"])
@pytest.mark.parametrize("rule", list(DEFINITIONS))
@pytest.mark.parametrize("piece", list(PIECES))
def test_decides_where_the_definition_says(piece: str, rule: str, division: str) -> None:
    """SUNY ESF oven series; the definition is written above, in decimals."""
    series = PIECES[piece]
    judgement = judge(as_readings(series), float(division), RULES[rule])
    expected = by_definition(series, Decimal(division), rule)
    assert decided(judgement) == (None if expected is None else tuple(map(float, expected)))


# Read off the printed weights by hand, so that the two writings of the rule cannot be wrong together.
BY_HAND = [
    # 79.097 at 6 h is 0.59 % below 79.566 at 3 h; 79.069 at 10 h is 0.035 % below 79.097.
    ("Maple-5 at 217.4 F", "0.1 % in 2 h", "0.001", (10, 6, 79.069)),
    # 6 h against 0 h is 22 %; 10 h against 3 h (6 h is only 4 h earlier) 0.63 %; 12 h against 6 h 0.06 %.
    ("Maple-5 at 217.4 F", "0.5 % in 6 h", "0.001", (12, 6, 79.053)),
    # 12 h against 6 h 0.044 g; 24 h 0.054 g; 48 h against 24 h 0.014 g, within 2 x 0.01 g.
    ("Maple-5 at 217.4 F", "2 divisions in 3 h", "0.01", (48, 24, 78.985)),
    ("Maple-5 at 217.4 F", "2 divisions in 3 h", "0.001", None),
    # At 266 F 6 h is 0.04 % below 3 h already.
    ("Maple-1 at 266 F", "0.1 % in 2 h", "0.001", (6, 3, 69.562)),
    # 66.222 at 10 h is a gain of 0.002 g on 66.220 at 6 h: two divisions of 0.001 g exactly.
    ("Ash-2 at 266 F", "2 divisions in 3 h", "0.001", (10, 6, 66.220)),
]


@pytest.mark.parametrize(("piece", "rule", "division", "expected"), BY_HAND)
def test_decides_where_the_eye_does(
    piece: str, rule: str, division: str, expected: tuple[float, float, float] | None
) -> None:
    assert decided(judge(as_readings(PIECES[piece]), float(division), RULES[rule])) == expected


@pytest.mark.parametrize("piece", list(PIECES))
def test_a_coarse_scale_is_refused_the_division_rule(piece: str) -> None:
    """Two divisions of 0.1 g are above 0.2 % of every one of these pieces (59.8 to 79 g)."""
    judgement = judge(as_readings(PIECES[piece]), 0.1, RULES["2 divisions in 3 h"])
    assert (judgement.constant, judgement.refused) == (False, Refusal.DIVISION_COARSE)


def test_the_division_rule_needs_a_division() -> None:
    judgement = judge(as_readings(PIECES["Maple-5 at 217.4 F"]), None, RULES["2 divisions in 3 h"])
    assert (judgement.constant, judgement.refused) == (False, Refusal.DIVISION_UNKNOWN)
    assert judge([], 0.01, RULES["2 divisions in 3 h"]) == Judgement(constant=False)


def test_two_divisions_of_exactly_the_share_still_judge() -> None:
    """0.2 % of 100 g is 0.2 g, two divisions of 0.1 g; of 99.9 g it is less."""
    rule = RULES["2 divisions in 3 h"]
    even = [(START, 100.2), (START.plus_hours(3), 100.0)]
    assert judge(even, 0.1, rule).constant
    # 2 x 0.167 g is 0.2 % of 167 g too, and in floats a hair more.
    assert judge([(START, 167.3), (START.plus_hours(3), 167.0)], 0.167, rule).constant
    assert judge([(at, weight - 0.1) for at, weight in even], 0.1, rule).refused is Refusal.DIVISION_COARSE


def test_the_first_reading_decides_nothing() -> None:
    assert not judge([(START, 60.0)], 0.01, DEFAULT_RULE).constant


def test_readings_closer_than_the_interval_are_not_compared() -> None:
    near = [(START.plus_hours(hours), 60.0) for hours in (0, 0.5, 1, 1.5, 1.99)]
    assert not judge(near, 0.01, DEFAULT_RULE).constant
    assert judge([*near, (START.plus_hours(2), 60.0)], 0.01, DEFAULT_RULE).constant


def test_the_limit_is_not_stretched_to_the_time() -> None:
    """0.3 % in 8 h is less than 0.1 % in each 2 h; it is no constant weight all the same."""
    assert not judge([(START, 60.18), (START.plus_hours(8), 60.0)], 0.01, DEFAULT_RULE).constant


def test_the_last_reading_far_enough_back_is_the_one_compared() -> None:
    readings = [(START, 70.0), (START.plus_hours(2), 60.03), (START.plus_hours(3), 60.02)]
    readings.append((START.plus_hours(4), 60.01))
    judgement = judge(readings, 0.01, DEFAULT_RULE)
    assert decided(judgement) == (4, 2, 60.01)


def test_the_percentage_itself_is_not_below_it() -> None:
    """80.08 to 80.00 g is 0.1 % of 80 g to the last digit, whatever floats make of the difference."""
    assert not judge([(START, 80.08), (START.plus_hours(2), 80.0)], 0.01, DEFAULT_RULE).constant
    assert judge([(START, 80.07), (START.plus_hours(2), 80.0)], 0.01, DEFAULT_RULE).constant


def test_a_small_gain_is_tolerated_and_the_lower_weight_counts() -> None:
    judgement = judge([(START, 60.0), (START.plus_hours(2), 60.03)], 0.01, DEFAULT_RULE)
    assert decided(judgement) == (2, 0, 60.0)


def test_a_large_gain_is_no_constant_weight() -> None:
    """Ash-1 at 48 h is printed 60.160 after 60.049, a gain of 0.18 %: a slip, and not constant weight."""
    late = [reading for reading in PIECES["Ash-1 at 266 F"] if 24 <= reading[0] <= 48]
    assert [weight for _, weight in late] == [Decimal("60.049"), Decimal("60.160")]
    assert not judge(as_readings(late), 0.001, DEFAULT_RULE).constant


def test_what_an_oven_too_hot_goes_on_losing_is_told() -> None:
    """Maple-1 at 266 F: decided at 69.562 g, 69.259 g in the end."""
    judgement = judge(as_readings(PIECES["Maple-1 at 266 F"]), 0.001, DEFAULT_RULE)
    assert judgement.lost_later_pct == pytest.approx(100 * (69.562 - 69.259) / 69.562)
    assert judge(as_readings(PIECES["Maple-5 at 217.4 F"][:5]), 0.001, DEFAULT_RULE).lost_later_pct == 0


@given(
    weights=st.lists(
        st.tuples(st.integers(0, 400), st.integers(5990, 6030)),
        min_size=1,
        max_size=9,
        unique_by=lambda r: r[0],
    ),
    rule=st.sampled_from(list(DEFINITIONS)),
    shuffle=st.randoms(),
)
def test_any_series_is_decided_by_the_definition(
    weights: list[tuple[int, int]], rule: str, shuffle: Random
) -> None:
    """Tenths of an hour, hundredths of a gram, in any order of entry."""
    series = sorted((Decimal(tenths) / 10, Decimal(grams) / 100) for tenths, grams in weights)
    # Hours of six minutes are exact in seconds, so that no float stands between the two writings.
    readings = as_readings(series)
    shuffle.shuffle(readings)
    expected = by_definition(series, Decimal("0.01"), rule)
    assert decided(judge(readings, 0.01, RULES[rule])) == (
        None if expected is None else tuple(map(float, expected))
    )


def test_the_default_is_the_one_of_sawn_timber() -> None:
    assert RULES["0.1 % in 2 h"] == DEFAULT_RULE
    assert (DEFAULT_RULE.max_change_pct, DEFAULT_RULE.interval_h) == (0.1, 2)


@pytest.mark.parametrize("name", list(DEFINITIONS))
def test_a_setting_names_a_rule(name: str) -> None:
    assert rule_from_setting(f" {name} ") is RULES[name]


@pytest.mark.parametrize(
    ("text", "pct", "divisions", "hours"),
    [
        ("own: 0.05 % in 4 h", 0.05, None, 4),
        ("own: 0.2% in 1.5 h", 0.2, None, 1.5),
        ("own: 2 divisions in 3 h", None, 2, 3),
        ("own: 1 division in 24 h", None, 1, 24),
    ],
)
def test_the_operators_own(text: str, pct: float | None, divisions: float | None, hours: float) -> None:
    rule = rule_from_setting(text)
    assert (rule.max_change_pct, rule.max_change_divisions, rule.interval_h) == (pct, divisions, hours)
    series = PIECES["Maple-5 at 217.4 F"]
    like = replace(DEFAULT_RULE, max_change_pct=pct, max_change_divisions=divisions, interval_h=hours)
    assert decided(judge(as_readings(series), 0.01, rule)) == decided(judge(as_readings(series), 0.01, like))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "0.1 %",
        "own",
        "own: 0 % in 2 h",
        "own: 5 % in 2 h",
        "own: 0.1 % in 0 h",
        "own: 0.1 % in 100 h",
        "own: 11 divisions in 3 h",
        "own: ..1 % in 2 h",
        "own: 0.1.1 % in 2 h",
        "own: nan % in 2 h",
        "own: -0.1 % in 2 h",
    ],
)
def test_a_setting_that_is_no_rule(text: str) -> None:
    with pytest.raises(UnknownWord) as refused:
        rule_from_setting(text)
    assert refused.value.values["column"] == "constant_weight_rule"
