"""The moisture content relations against the same relations written a second time in exact fractions."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.drying import moisture_content as mc
from kilnlog.records import measures
from kilnlog.records.words import VolumeUnit

RELATIVE = 1e-9
weights = st.floats(min_value=1e-3, max_value=1e6)
# Zero, and what wood can hold; nothing between that only a float's smallest numbers could tell apart.
contents = st.just(0.0) | st.floats(min_value=1e-3, max_value=400)


def close(value: float, exact: Fraction, scale: Fraction = Fraction(0)) -> bool:
    """Within 1e-9 of the exact value, or of the size of what was subtracted to get it."""
    return abs(Fraction(value) - exact) <= Fraction(RELATIVE) * max(abs(exact), scale)


@given(weights, contents)
def test_board_chain(weight: float, start: float) -> None:
    """Weight and MC to oven-dry weight and back, as exact fractions say."""
    exact_od = 100 * Fraction(weight) / (100 + Fraction(start))
    od = mc.oven_dry_weight_g(weight, start)
    assert close(od, exact_od)
    assert close(mc.moisture_content_pct(weight, od), Fraction(start), scale=100 + Fraction(start))
    assert close(mc.weight_at_mc_g(od, start), Fraction(weight))


@given(weights, weights)
def test_section(wet: float, dry: float) -> None:
    assert close(mc.moisture_content_pct(wet, dry), 100 * (Fraction(wet) / Fraction(dry) - 1))
    assert close(mc.mc_per_weight_pct(wet, dry), 100 * Fraction(wet) / Fraction(dry))


@given(st.lists(contents, min_size=1, max_size=6))
def test_mean_of_sections(sections: list[float]) -> None:
    assert close(mc.mean_mc_pct(sections), sum(map(Fraction, sections), Fraction(0)) / len(sections))


@given(weights, contents, contents, st.floats(min_value=0.01, max_value=1e4))
def test_water_rate_and_days(od: float, now: float, target: float, hours: float) -> None:
    points = Fraction(now) - Fraction(target)
    assert close(mc.water_to_lose_g(od, now, target), Fraction(od) * points / 100)
    assert close(mc.rate_pct_per_day(now, target, hours), 24 * points / Fraction(hours))
    assert close(mc.days_at_constant_rate(now, target, hours), points / Fraction(hours))
    assert close(mc.mass_loss_pct(now, target), 100 * points / (100 + Fraction(now)))


@given(st.lists(st.tuples(weights, contents), min_size=1, max_size=5))
def test_whole_from_parts(parts: list[tuple[float, float]]) -> None:
    water = sum((Fraction(dry) * Fraction(part) for dry, part in parts), Fraction(0))
    assert close(mc.whole_mc_pct(parts), water / sum((Fraction(dry) for dry, _ in parts), Fraction(0)))


@given(contents)
def test_wet_basis(content: float) -> None:
    assert close(mc.wet_basis_pct(content), 100 * Fraction(content) / (100 + Fraction(content)))
    back = mc.mc_from_wet_basis_pct(mc.wet_basis_pct(content))
    assert back == pytest.approx(content, rel=RELATIVE, abs=1e-9)


# Constructed by plain algebra, not published: a recut's chain, shell and core, to the digits worked out.
def test_recut_chain_constructed() -> None:
    first_od = mc.oven_dry_weight_g(4.46, 62.2)
    assert mc.moisture_content_pct(3.20, first_od) == pytest.approx(16.38, abs=0.005)
    section = mc.moisture_content_pct(52.40, 45.90)
    assert section == pytest.approx(14.161, abs=0.0005)
    corrected_od = mc.oven_dry_weight_g(3.20, section)
    assert corrected_od == pytest.approx(2.8031, abs=0.00005)
    assert mc.moisture_content_pct(4.46, corrected_od) == pytest.approx(59.11, abs=0.005)
    remainder_od = mc.oven_dry_weight_g(3.08, section)
    assert remainder_od == pytest.approx(2.6979, abs=0.00005)
    assert mc.moisture_content_pct(2.95, remainder_od) == pytest.approx(9.343, abs=0.0005)
    assert mc.weight_at_mc_g(remainder_od, 8) == pytest.approx(2.9138, abs=0.00005)


def test_shell_and_core_constructed() -> None:
    shell, core = mc.moisture_content_pct(30.60, 28.90), mc.moisture_content_pct(34.10, 31.10)
    assert (shell, core) == (pytest.approx(5.882, abs=0.0005), pytest.approx(9.646, abs=0.0005))
    assert mc.whole_mc_pct([(28.90, shell), (31.10, core)]) == pytest.approx(7.833, abs=0.0005)
    assert mc.mean_mc_pct([shell, core]) == pytest.approx(7.764, abs=0.0005)  # what it must not be


def test_target_weight_rate_and_division_constructed() -> None:
    assert mc.weight_at_mc_g(2.75, 8) == pytest.approx(2.97, rel=RELATIVE)
    assert mc.rate_pct_per_day(50.5, 47.2, 20) == pytest.approx(3.96, rel=RELATIVE)
    assert mc.mc_per_weight_pct(0.05, 2.75) == pytest.approx(1.8, abs=0.05)  # half a 0.1 lb division


@given(st.floats(min_value=1e-3, max_value=1e6))
def test_volumes_convert_by_the_inch(volume: float) -> None:
    """1 bf = 144 cubic inches, 1 in = 0.0254 m exactly, so 1 m3 = 423.776 bf."""
    exact = Fraction(volume) / (144 * Fraction(254, 10000) ** 3)
    assert close(measures.board_feet(volume, VolumeUnit.CUBIC_METRES), exact)
    assert close(
        measures.cubic_metres(measures.board_feet(volume, VolumeUnit.CUBIC_METRES), VolumeUnit.BOARD_FEET),
        Fraction(volume),
    )
