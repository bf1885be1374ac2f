"""The sums of water and venting, written out, come to their figures when worked out again by hand."""

from __future__ import annotations

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.outside_air import SETTING
from kilnlog.logbook.working import CHARGE_FIGURES, working
from kilnlog.logbook.working_water import venting_line
from kilnlog.records.words import TemperatureUnit, VolumeUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder
from tests.logbook.test_working import worked_out

C = TemperatureUnit.CELSIUS


def charge(**kiln):
    build = ChargeBuilder(target_mc_pct=7)
    build.correct(build.entity, kiln=build.kiln("north", exhaust_m3_per_h=650.0, temperature_unit=C, **kiln))
    maple = build.lot("A", volume=1234, volume_unit=VolumeUnit.BOARD_FEET, species="sugar maple")
    ash = build.lot("B", volume=3.21, volume_unit=VolumeUnit.CUBIC_METRES, basic_specific_gravity=0.55)
    build.lot("C", species="sugar maple")
    for label, lot, grams in (
        ("1", maple, ("1571", "1533")),
        ("2", maple, ("1602", "1559")),
        ("3", ash, ("1498", "1467")),
    ):
        board = build.board(label, "1800", lot=lot, oven_dry_weight="1013", coated=True)
        for day, reading in enumerate(grams, start=1):
            build.weigh(board, reading, day)
    build.air(2, dry_bulb=52, wet_bulb=45, temperature_unit=C)
    return build


def shown(build, figure, at=2.1):
    record = build.record()
    return working(record, assess(record, load(), build.when(at)), None, figure)


@pytest.mark.parametrize("figure", CHARGE_FIGURES)
def test_every_sum_comes_to_its_figure(figure):
    told = shown(charge(), figure)
    sums = [line for line in told.lines if " = " in line]
    assert len(sums) >= 2
    for line in sums:
        value, figure_shown, half_a_digit = worked_out(line)
        assert abs(value - figure_shown) <= 2 * half_a_digit, line
    assert told.source


def test_water_leaving_names_what_it_rests_on():
    told = shown(charge(), "water_leaving")
    water = assess(charge().record(), load(), charge().when(2.1)).water
    assert told.lines[-3].endswith(f"= {water.leaving_kg_per_day:.1f} kg a day")
    assert told.lines[-2].startswith("Board feet go by nominal sizes")
    assert told.lines[-1] == "Without C: no volume, specific gravity or usable board."
    assert "FIA" in told.source  # sugar maple, by its published specific gravity
    assert "typed for this lot" in told.source


def test_venting_says_by_which_air_and_that_leaks_count():
    told = shown(charge(), "venting")
    assert told.lines[0] == (
        "Kiln air as read on 2024-03-03 08:00; outside air 15 °C, RH 70 %, taken, as nobody set it."
    )
    assert "leaks" in told.lines[-1]
    build = charge()
    build.setting(SETTING, "5 C, 60 %")
    assert shown(build, "venting").lines[0].endswith("outside air 5 °C, RH 60 %, as set.")


def test_the_exhaust_in_words():
    build = charge()
    vent = assess(build.record(), load(), build.when(2.1)).venting
    words = f"The exhaust must run about {100 * vent.exhaust_share:.0f} % of the time."
    assert shown(build, "exhaust").lines[-2] == words
    assert venting_line(vent) == (
        f"Venting: about {vent.outside_m3_per_h:.0f} m³ an hour of outside air, leaks included. {words}"
    )
    build.change("kiln-0001", 2, exhaust_m3_per_h=20.0)
    assert shown(build, "exhaust").lines[-2].startswith("The exhaust cannot keep up")


def test_outside_air_too_humid_is_said_so():
    build = charge()
    build.setting(SETTING, "48 C, 95 %")
    assert shown(build, "venting").lines[-1].endswith("no venting dries the kiln.")
    assert shown(build, "exhaust") is None
    assert shown(build, "heat") is None


@pytest.mark.parametrize("figure", CHARGE_FIGURES)
def test_nothing_is_shown_of_what_nobody_knows(figure):
    build = ChargeBuilder(target_mc_pct=7)
    build.board("1", "1800", oven_dry_weight="1000")
    assert shown(build, figure) is None


def test_what_one_board_lost_too_much_takes_nothing_off_what_another_has_to_lose():
    build = charge()
    for label, grams in (("0001", 1120), ("0002", 1050)):
        build.weigh(f"board-{label}", str(grams), 3)  # 1013 g oven-dry: 10.56 and 3.65 %, for 7 %
    told = shown(build, "water_to_lose_charge", 3.1)
    assert "+ 0) ÷ 2 = " in told.lines[1]
    assert "Past the target, and so counted as 0: 2." in told.lines
    for line in told.lines:
        if " = " in line:
            value, figure_shown, half_a_digit = worked_out(line)
            assert abs(value - figure_shown) <= 2 * half_a_digit, line
