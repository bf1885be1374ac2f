"""A schedule step in every kiln's terms."""

from __future__ import annotations

import pytest

from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.step_terms import rh_at_pct, step_terms
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.words import TemperatureUnit

F, C = TemperatureUnit.FAHRENHEIT, TemperatureUnit.CELSIUS
SEA = pressure_pa(0)


def step(**given):
    return ScheduleStep("S", 1, temperature_unit=given.pop("unit", F), **given)


def test_110_f_dry_and_106_f_wet_is_87_percent():
    """Computed with the ASHRAE relations; CoolProp agrees within 0.1 (tests/drying/air)."""
    terms = step_terms(step(dry_bulb=110, wet_bulb=106), SEA)
    assert terms.rh_pct == pytest.approx(87.4, abs=0.1)
    assert terms.depression == pytest.approx(4)


@pytest.mark.parametrize("unit", [F, C])
def test_every_way_of_writing_a_step_means_the_same(unit):
    written = step(dry_bulb=110 if unit is F else 43, wet_bulb=102 if unit is F else 38, unit=unit)
    terms = step_terms(written, SEA)
    dry = {"dry_bulb": terms.dry_bulb, "unit": unit}
    for other in (
        step(depression=terms.depression, **dry),
        step(rh_pct=terms.rh_pct, **dry),
        step(emc_pct=terms.emc_pct, **dry),
    ):
        again = step_terms(other, SEA)
        assert again.wet_bulb == pytest.approx(terms.wet_bulb, abs=1e-5)
        assert again.emc_pct == pytest.approx(terms.emc_pct, abs=1e-6)


def test_altitude_counts():
    low = step_terms(step(dry_bulb=110, wet_bulb=102), SEA)
    assert step_terms(step(dry_bulb=110, wet_bulb=102), pressure_pa(1500)).rh_pct > low.rh_pct + 0.5


def test_a_cooler_kiln_keeps_the_steps_emc_at_a_lower_humidity():
    """Wood Handbook FPL-GTR-190 (2010), Table 4-2.

    It prints 16.2 % EMC at 120 F and 85 % RH; at 90 F it prints 15.4 at 80 % and 17.3 at 85 %, so that 16.2
    lies at 82.1 % by straight interpolation.
    """
    terms = step_terms(step(dry_bulb=120, emc_pct=16.2), SEA)
    assert terms.rh_pct == pytest.approx(85, abs=0.5)
    assert rh_at_pct(terms, (120 - 32) * 5 / 9) == pytest.approx(terms.rh_pct)
    assert rh_at_pct(terms, (90 - 32) * 5 / 9) == pytest.approx(82.1, abs=0.5)
    assert rh_at_pct(step_terms(step(dry_bulb=30, emc_pct=26), SEA), 100) is None


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"dry_bulb": 110},
        {"wet_bulb": 100},
        {"dry_bulb": 110, "wet_bulb": 106, "unit": None},
        {"dry_bulb": 100, "wet_bulb": 110},
        {"dry_bulb": 100, "emc_pct": 80},
    ],
)
def test_a_step_that_says_too_little_or_what_cannot_be_has_no_terms(given):
    assert step_terms(step(**given), SEA) is None
