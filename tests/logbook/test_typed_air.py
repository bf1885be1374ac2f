"""Two typed figures of the air: read, worked out, doubted, explained, told in lists."""

from __future__ import annotations

import re

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.logbook.air_doubts import air_doubt
from kilnlog.logbook.air_lists import event_line, meter_line, reading_line, set_point_line, terms_words
from kilnlog.logbook.in_kiln import asked_now, in_kiln
from kilnlog.logbook.set_doubts import set_doubt
from kilnlog.logbook.typed_air import DRY, Second, read_air, usual_second
from kilnlog.logbook.wording import worded
from kilnlog.logbook.working_air import air_workings
from kilnlog.records.air_reading import AirReading
from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber, WetAboveDry
from kilnlog.records.event import Event
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.set_point import SetPoint
from kilnlog.records.words import AirControl, EventKind, EventState, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, moment

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
SEA_LEVEL_PA = 101_325.0
HIGH_PA = 84_556.0  # 1500 m in the standard atmosphere
NOW = moment("2024-03-09 08:00")

#: Dry bulb, wet bulb [C], RH at sea level and 1500 m [%]: CoolProp 6.6, HAPropsSI.
AIRS = ((45, 40, 73.62, 74.21), (60, 50, 58.81, 59.38), (70, 45, 25.70, 26.61))


@pytest.mark.parametrize(("dry", "wet", "sea_pct", "high_pct"), AIRS)
def test_any_second_figure_tells_the_same_air(dry, wet, sea_pct, high_pct):
    for pressure, rh_pct in ((SEA_LEVEL_PA, sea_pct), (HIGH_PA, high_pct)):
        by_wet = read_air(str(dry), str(wet), Second.WET_BULB, C, pressure)
        by_depression = read_air(str(dry), str(dry - wet), Second.DEPRESSION, C, pressure)
        by_rh = read_air(str(dry), str(rh_pct), Second.RH, C, pressure)
        assert float(by_wet.state.rh_pct) == pytest.approx(rh_pct, abs=0.1)
        assert float(by_depression.state.rh_pct) == pytest.approx(float(by_wet.state.rh_pct), abs=1e-9)
        assert float(by_rh.state.wet_bulb_c) == pytest.approx(wet, abs=0.05)


def test_a_depression_in_fahrenheit_is_a_difference():
    # 110 F dry, 106 F wet is 87 % RH: Wood Handbook, the kiln schedules' worked example.
    told = read_air("110", "4", Second.DEPRESSION, F, SEA_LEVEL_PA)
    assert float(told.state.rh_pct) == pytest.approx(87, abs=0.5)
    assert told.terms["depression"] == 4
    assert told.terms["temperature_unit"] is F


@pytest.mark.parametrize(
    ("dry", "second", "which", "column", "error"),
    [
        ("11o", "106", Second.WET_BULB, DRY, UnreadableNumber),
        ("1,106", "100", Second.WET_BULB, DRY, AmbiguousNumber),
        ("110", "-4", Second.DEPRESSION, Second.DEPRESSION, UnreadableNumber),
        ("110", "-4", Second.RH, Second.RH, UnreadableNumber),
        ("106", "110", Second.WET_BULB, Second.WET_BULB, WetAboveDry),
    ],
)
def test_what_is_wrong_is_told_by_its_field(dry, second, which, column, error):
    told = read_air(dry, second, which, F, SEA_LEVEL_PA)
    assert set(told.wrong) == {column}
    assert isinstance(told.wrong[column], error)
    assert told.state is None


@pytest.mark.parametrize(
    ("dry", "second", "which", "column", "sentence"),
    [
        (
            "110",
            "20",
            Second.WET_BULB,
            Second.WET_BULB,
            "With 110 °F dry, a wet bulb of 20 °F would mean less",
        ),
        ("110", "90", Second.DEPRESSION, Second.DEPRESSION, "With 110 °F dry, a depression of 90 °F would"),
        ("250", "215", Second.WET_BULB, Second.WET_BULB, "With a wet bulb of 215 °F the wick would boil"),
        ("250", "90", Second.RH, Second.RH, "At 250 °F no air of this altitude holds an RH of 90 %"),
        ("", "101", Second.RH, Second.RH, "RH lies between 0 and 100 %"),
        ("500", "100", Second.WET_BULB, DRY, "No kiln stands at such temperatures"),
    ],
)
def test_the_impossible_is_told_in_the_unit_it_was_typed_in(dry, second, which, column, sentence):
    told = read_air(dry, second, which, F, SEA_LEVEL_PA)
    assert set(told.wrong) == {column}
    assert worded(told.wrong[column]).what.startswith(sentence)


def test_empty_texts_say_nothing_and_are_not_wrong():
    nothing = read_air(" ", "", Second.WET_BULB, F, SEA_LEVEL_PA)
    assert (nothing.dry_bulb, nothing.second, nothing.state, nothing.wrong) == (None, None, None, {})
    humidity = read_air("", "80", Second.RH, F, SEA_LEVEL_PA)
    assert humidity.terms["temperature_unit"] is None
    cold = read_air("-3", "-4", Second.WET_BULB, C, SEA_LEVEL_PA)
    assert cold.dry_bulb == -3
    assert 0 < float(cold.state.rh_pct) < 100


def test_air_too_hot_for_the_equation_has_no_emc():
    hot = read_air("300", "20", Second.RH, F, SEA_LEVEL_PA)
    assert hot.state is not None
    assert hot.emc_pct is None


@pytest.mark.parametrize(
    ("dry", "second", "which", "unit", "kept"),
    [
        ("110 F", "106", Second.WET_BULB, F, (110, 106)),
        ("43 C", "41°C", Second.WET_BULB, C, (43, 41)),
        ("43 C", "106", Second.WET_BULB, F, (109.4, 106)),
        ("110", "5C", Second.DEPRESSION, F, (110, 9)),  # a difference knows no freezing point
        ("43C", "", Second.WET_BULB, C, (43, None)),
        ("43C", "87 %", Second.RH, C, (43, 87)),
    ],
)
def test_a_unit_typed_with_a_figure_wins(dry, second, which, unit, kept):
    told = read_air(dry, second, which, F, SEA_LEVEL_PA)
    assert told.wrong == {}
    assert (told.dry_bulb, told.second) == kept
    assert told.terms["temperature_unit"] is unit


def test_a_comma_where_a_point_is_wanted_is_told_with_the_mark_to_type():
    told = read_air("43,3", "41", Second.WET_BULB, C, SEA_LEVEL_PA)
    assert worded(told.wrong[DRY]).text == (
        "“43,3” can only be read with the other decimal mark. Type “.” before the decimals."
    )


def test_the_decimal_mark_is_that_of_the_place():
    assert read_air("43,3", "41,1", Second.WET_BULB, C, SEA_LEVEL_PA, ",").second == 41.1


@pytest.mark.parametrize(
    ("control", "which"),
    [
        (None, Second.WET_BULB),
        (AirControl.WET_BULB, Second.WET_BULB),
        (AirControl.HUMIDISTAT, Second.RH),
        (AirControl.DEHUMIDIFIER, Second.RH),
    ],
)
def test_what_a_kiln_shows_beside_its_dry_bulb(control, which):
    assert usual_second(control) is which


def doubt(build, dry, second="", which=Second.WET_BULB, unit=F, at=NOW):
    record = build.record()
    typed = read_air(dry, second, which, unit, SEA_LEVEL_PA)
    reference = load()
    return air_doubt(record, assess(record, reference, NOW), typed, at, NOW, reference)


def told(error):
    return None if error is None else error.values["why"]


def test_a_dry_bulb_is_held_against_what_was_read_and_set():
    build = ChargeBuilder()
    assert doubt(build, "250", "200") is None  # nothing to hold it against
    build.air("2024-03-09 07:00", dry_bulb=110, wet_bulb=106)
    assert doubt(build, "120", "110") is None
    assert told(doubt(build, "43", "41")) == "other-unit"
    assert told(doubt(build, "170", "150")) == "far"  # 60 F, 33 C
    assert doubt(build, "163", "150") is None  # 53 F, 29 C
    build.set_air("2024-03-09 07:30", dry_bulb=180, wet_bulb=150)
    assert doubt(build, "145", "130") is None  # on its way from the one to the other
    assert told(doubt(build, "245", "200")) == "far"


def test_an_old_reading_says_nothing_of_now_but_a_setting_does():
    build = ChargeBuilder()
    build.air("2024-03-07 07:00", dry_bulb=110, wet_bulb=106)  # two days ago
    assert doubt(build, "40") is not None
    assert told(doubt(build, "40")) == "one-figure"
    assert doubt(build, "40", "39") is None
    build.set_air("2024-03-02 07:30", dry_bulb=110, wet_bulb=106)
    assert told(doubt(build, "43", "41")) == "other-unit"


def test_the_step_in_force_counts_where_nobody_wrote_a_setting():
    build = ChargeBuilder(schedule="Oak")
    build.steps("Oak", 100, 40, dry_bulb=110, wet_bulb=106, temperature_unit=F)
    asked = doubt(build, "43.3", "41")
    assert told(asked) == "other-unit"
    assert "near what the kiln is set to, 110 °F." in worded(asked).what


def test_a_reading_copied_later_is_held_against_what_came_before_it():
    build = ChargeBuilder()
    build.air("2024-03-09 07:00", dry_bulb=180, wet_bulb=150)
    assert doubt(build, "60", "58", at=moment("2024-03-05 07:00")) is None


def test_without_anything_to_hold_it_against_a_hot_celsius_is_asked_about():
    asked = doubt(ChargeBuilder(), "110", "90", unit=C)
    assert told(asked) == "hot"
    assert worded(asked).text.startswith("Is that 110 °F? 110 °C is hotter than most kilns go.")
    assert doubt(ChargeBuilder(), "80", "70", unit=C) is None


# EMC of 110/106 F is 17.7, of 110/105 F 16.4, of 112/80 F 4.9: equation 4-5, which test_emc
# holds against table 4-2.
def test_an_emc_far_from_the_last_reading_and_from_what_is_set_is_asked_about():
    build = ChargeBuilder(schedule="Oak")
    build.steps("Oak", 100, 40, dry_bulb=110, wet_bulb=106, temperature_unit=F)
    asked = doubt(build, "112", "80")
    assert told(asked) == "far-emc"
    assert worded(asked).what == (
        "An EMC of 4.9 % is 12.9 points away from what the kiln is set to, EMC 17.7 %."
    )
    assert doubt(build, "110", "104") is None
    assert doubt(build, "90", "70") is None  # heating up
    build.air("2024-03-09 07:00", dry_bulb=112, wet_bulb=80)
    assert doubt(build, "112", "81") is None  # as it was read before
    assert doubt(build, "112", "95") is None  # on its way from the one to the other
    build.set_air("2024-03-09 07:30", dry_bulb=112, wet_bulb=80)
    assert told(doubt(build, "112", "106")) == "far-emc"


def test_air_damped_on_purpose_is_no_mystery():
    build = ChargeBuilder(schedule="Oak")
    build.steps("Oak", 100, 40, dry_bulb=160, wet_bulb=120, temperature_unit=F)
    assert told(doubt(build, "160", "155")) == "far-emc"
    build.event(EventKind.SPRAY, "2024-03-09 07:00", state=EventState.START)
    assert doubt(build, "160", "155") is None


def test_a_humidity_typed_as_a_fraction_is_asked_about():
    asked = doubt(ChargeBuilder(), "110", "0.87", Second.RH)
    assert told(asked) == "fraction"
    assert worded(asked).what.startswith("Is that 87 %?")
    assert "no kiln is as dry as 0.87 %" in worded(asked).what


def set_doubted(build, dry, second):
    typed = read_air(dry, second, Second.WET_BULB, F, SEA_LEVEL_PA)
    return set_doubt(build.record(), typed, NOW, load())


def test_a_setting_that_harms_wet_wood_is_asked_about():
    build = ChargeBuilder(schedule="Oak")
    build.stay(build.kiln("Loft"), 0)
    build.steps("Oak", 100, 40, dry_bulb=110, wet_bulb=105, temperature_unit=F)
    for label in "1234":
        board = build.board(label, "2000")
        build.section(board, "a", "180", "100")
    assert set_doubted(build, "110", "105") is None
    dry = set_doubted(build, "110", "80")
    assert worded(dry).what == (
        "A depression of 30 °F is an EMC of 5.2 %. Step 1 has 5 °F, EMC 16.4 %, and at a controlling MC of "
        "80.0 % air so much drier checks the wood."
    )
    hot = set_doubted(build, "210", "105")
    assert worded(hot).what == (
        "210 °F is hotter than step 1 allows, 110 °F, and the controlling MC is 80.0 %. Its depression of "
        "105 °F would be beside the step's 5 °F."
    )


def test_one_figure_and_a_time_to_come_are_asked_about():
    assert told(doubt(ChargeBuilder(), "110")) == "one-figure"
    assert told(doubt(ChargeBuilder(), "", "80", Second.RH)) == "one-figure"
    assert told(doubt(ChargeBuilder(), "110", "106", at=moment("2024-03-09 09:00"))) == "in-future"


_SUM = re.compile(r"^(?:[^:]*: )?(?P<sum>[\d.,()×÷−+ ]+) = (?P<shown>[\d.,]+)")


def worked_again(line):
    """The sum of a line worked out again from its own figures, and the result it shows."""
    plain = re.sub(r" (?:°[CF]|Pa|%)(?: at saturation)?", "", line).replace(",", "")
    found = _SUM.match(plain)
    if found is None:
        return None
    python = found["sum"].replace("×", "*").replace("÷", "/").replace("−", "-")
    return eval(python, {"__builtins__": {}}), found["shown"]  # digits and signs alone


@pytest.mark.parametrize(
    ("dry", "second", "which", "unit", "sums"),
    [
        ("110", "106", Second.WET_BULB, F, 6),
        ("60", "50", Second.WET_BULB, C, 4),
        ("-3", "-4", Second.WET_BULB, C, 0),  # signs stand double; read by eye
        ("110", "4", Second.DEPRESSION, F, 6),
        ("110", "80", Second.RH, F, 1),
    ],
)
def test_every_sum_shown_comes_out_as_shown(dry, second, which, unit, sums):
    air = read_air(dry, second, which, unit, SEA_LEVEL_PA)
    workings = air_workings(air)
    assert [working.title for working in workings][:2] == [
        "Relative humidity",
        "EMC, where this air brings wood",
    ]
    done = [again for one in workings for line in one.lines if (again := worked_again(line)) is not None]
    assert len(done) >= sums
    for result, shown in done:
        if float(dry) > 0:
            digits = len(shown.partition(".")[2])
            assert result == pytest.approx(float(shown), abs=0.6 * 10**-digits + 2e-4 * abs(result))


def test_there_is_no_working_of_what_is_not_known():
    assert air_workings(read_air("110", "", Second.WET_BULB, F, SEA_LEVEL_PA)) == ()


def test_the_kiln_tells_unit_height_sensors_and_second_figure():
    build = ChargeBuilder()
    kiln = build.kiln(
        "Loft",
        temperature_unit=C,
        altitude_m=1500.0,
        air_control=AirControl.HUMIDISTAT,
        entering_sensor="door side",
        leaving_sensor="back wall",
    )
    build.stay(kiln, 0)
    found = in_kiln(build.record(), NOW)
    assert (found.unit, found.altitude_m, found.second) == (C, 1500.0, Second.RH)
    assert found.pressure_pa == pytest.approx(HIGH_PA, abs=5)
    assert found.sensors == ("door side", "back wall")
    build.air("2024-03-08 07:00", dry_bulb=43, wet_bulb=40, temperature_unit=C)
    build.air("2024-03-08 09:00", dry_bulb=43, temperature_unit=C)
    found = in_kiln(build.record(), NOW)
    assert found.second is Second.WET_BULB  # as it was last read
    assert found.last.fact.wet_bulb is None
    build.correct(kiln, leaving_sensor=None)
    assert in_kiln(build.record(), NOW).sensors == ()


def test_the_step_in_force_is_told_in_the_kilns_unit():
    build = ChargeBuilder(schedule="Oak")
    build.stay(build.kiln("Loft", temperature_unit=C), 0)
    build.steps("Oak", 100, 40, dry_bulb=110, wet_bulb=106, temperature_unit=F)
    record = build.record()
    found = asked_now(record, NOW, in_kiln(record, NOW), load())
    assert found.whose == "Step 1 of Oak"
    assert found.terms.dry_bulb == pytest.approx(43.3333, abs=1e-4)
    assert found.second(Second.DEPRESSION) == pytest.approx(4 * 5 / 9)
    assert found.second(Second.RH) == pytest.approx(87, abs=0.5)
    assert found.second(Second.WET_BULB) == pytest.approx(41.1111, abs=1e-4)
    assert asked_now(ChargeBuilder().record(), NOW, in_kiln(None, NOW), load()) is None


def test_lists_tell_what_was_told_and_what_follows():
    at = moment("2024-03-08 07:05")
    reading = AirReading("c", "door side", dry_bulb=110, wet_bulb=106, temperature_unit=F)
    assert reading_line(reading, at, NOW, 0) == (
        "yesterday, 07:05, door side: 110 °F dry, 106 °F wet (RH 87 %, EMC 17.7 %)"
    )
    setting = SetPoint("c", dry_bulb=43.3, rh_pct=80, temperature_unit=C)
    # Wood Handbook, table 4-2: 14.7 % at 110 F and 80 % RH.
    assert set_point_line(setting, at, NOW, 0) == "yesterday, 07:05: 43.3 °C dry, 80 % RH (EMC 14.7 %)"
    assert terms_words(AirReading("c", rh_pct=80)) == "80 % RH"
    vent = Event("c", EventKind.VENT, EventState.START, note="half open")
    assert event_line(vent, at, NOW) == "yesterday, 07:05, vent opened: half open"
    check = MeterCheck("c", "b", 24.5, wood_temperature=40, temperature_unit=C, corrected_pct=21)
    assert meter_line(check, at, NOW, "3") == (
        "yesterday, 07:05: board 3 24.5 %, wood at 40 °C, corrected 21 %"
    )
