"""Air-dried stock is told to be eased in, for the hours print gives and no longer."""

from __future__ import annotations

import pytest

from kilnlog.drying.air.emc import emc_pct
from kilnlog.drying.air.moist_air import from_wet_bulb, pressure_pa
from kilnlog.drying.assessment import assess
from kilnlog.records.temperature import celsius
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

F = TemperatureUnit.FAHRENHEIT


def charge(start_mc_pct, dry=140.0, wet=96.0):
    """Four boards of 1000 g oven-dry that came at this moisture, on a schedule whose third step is drier."""
    build = ChargeBuilder(schedule="ours")
    lot = build.lot("A")
    for number in range(4):
        weight = f"{1000 + 10 * (start_mc_pct + number / 10):.0f}"
        build.board(str(number + 1), weight, lot=lot, oven_dry_weight="1000", coated=True)
    build.steps("ours", None, 40, 25, dry_bulb=110, wet_bulb=106, temperature_unit=F)
    build.correct("schedule_step-0003", dry_bulb=dry, wet_bulb=wet)
    return build


def told(build, at):
    found = assess(build.record(), load(), build.when(at)).findings
    return [finding for finding in found if finding.code == "ease-in"]


def test_stock_that_comes_dry_is_eased_in_two_points_under_its_driest_board():
    (finding,) = told(charge(20), 0.1)
    assert finding.values["step"] == 3
    assert finding.values["eased_emc_pct"] == pytest.approx(18.0)
    # What is told brings the wood there: the settings taken back through the air and the EMC equation.
    dry_c, wet_c = (celsius(finding.values[name], F) for name in ("set_dry_bulb", "set_wet_bulb"))
    air = from_wet_bulb(dry_c, wet_c, pressure_pa(0))
    assert emc_pct(dry_c, float(air.rh_pct)) == pytest.approx(18.0, abs=0.01)


def test_green_stock_begins_at_the_first_step():
    assert told(charge(80), 0.1) == []


@pytest.mark.parametrize(("hours", "fires"), [(11.9, True), (12.1, False)])
def test_it_ends_twelve_hours_after_the_step_was_taken(hours, fires):
    build = charge(20)
    build.take_step(3, 0.1)
    assert bool(told(build, 0.1 + hours / 24)) is fires


def test_a_step_taken_after_a_day_on_the_first_was_not_entered_at():
    build = charge(20)
    build.take_step(3, 1.2)
    assert told(build, 1.3) == []


def test_a_step_as_mild_as_that_needs_no_easing():
    assert told(charge(20, dry=110.0, wet=107.0), 0.1) == []


def test_stock_that_came_dry_and_was_never_stepped_is_eased_in_whatever_the_hours():
    build = charge(20)
    assert told(build, 2)
    due = next(
        finding
        for finding in assess(build.record(), load(), build.when(2)).findings
        if finding.code == "step-due"
    )
    assert due.values["eased_emc_pct"] == pytest.approx(18.0)


def test_green_stock_whose_steps_nobody_wrote_down_did_not_come_dry():
    build = charge(80)
    for number in range(4):
        build.weigh(f"board-{number + 1:04d}", "1200", 20)
    assert told(build, 20.1) == []
