"""Meter readings corrected for the wood's temperature, by each rule."""

import pytest

from kilnlog.drying.closing.temperature_correction import by_equation_pct, temperature_correction
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit
from kilnlog.reference.final_moisture import meter_equation
from kilnlog.reference.tables import load

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
THUMB, EQUATION = TemperatureRule.RULE_OF_THUMB, TemperatureRule.EQUATION

# The equation tabulated for a = 1, b = 0, to 0.01 %; worked out apart from the program from the coefficients
# in public research code.
TABLE = {
    8: (10.60, 9.72, 8.92, 8.19, 7.52, 6.91, 6.35, 5.84),
    12: (15.40, 14.26, 13.22, 12.25, 11.36, 10.54, 9.78, 9.09),
    15: (19.00, 17.67, 16.44, 15.30, 14.24, 13.26, 12.36, 11.52),
    20: (25.00, 23.35, 21.80, 20.37, 19.04, 17.80, 16.65, 15.58),
}


def reading(pct, wood, unit=C, rule=THUMB, **fields):
    return FinalReading(
        charge="charge-1",
        lot="lot-1",
        kind=ReadingKind.PIN_METER,
        reading_pct=pct,
        wood_temperature=wood,
        temperature_unit=unit,
        temperature_rule=rule,
        **fields,
    )


def corrected(pct, wood, unit=C, rule=THUMB, **fields):
    points = temperature_correction(reading(pct, wood, unit, rule, **fields), load()).points
    assert points is not None
    return pct + points


@pytest.mark.parametrize(
    ("pct", "wood_c", "mc_pct"),
    [
        (pct, wood_c, mc_pct)
        for pct, line in TABLE.items()
        for wood_c, mc_pct in zip(range(-10, 61, 10), line, strict=True)
    ],
)
def test_the_equation_gives_its_table(pct, wood_c, mc_pct):
    assert by_equation_pct(pct, wood_c, meter_equation()) == pytest.approx(mc_pct, abs=0.005001)
    assert corrected(pct, wood_c, rule=EQUATION) == pytest.approx(mc_pct, abs=0.005001)
    assert corrected(pct, wood_c * 1.8 + 32, F, EQUATION) == pytest.approx(mc_pct, abs=0.005001)


def test_the_equation_is_neutral_near_the_temperature_worked_out_for_it():
    assert corrected(15, 22.7, rule=EQUATION) == pytest.approx(15, abs=0.01)
    assert corrected(15, 20, rule=EQUATION) > 15 > corrected(15, 25, rule=EQUATION)


# VTT Publications 420 (2000), abstract: 0.1 to 0.15 points per degree away from 20 C; the equation's own
# slopes are tabulated as 0.07 at 8 %, 0.09 at 12 % and 0.14 at 20 %.
@pytest.mark.parametrize(("pct", "slope"), [(8, -0.07), (12, -0.09), (20, -0.14)])
def test_the_equation_falls_with_temperature_as_tabulated(pct, slope):
    per_degree = corrected(pct, 20.5, rule=EQUATION) - corrected(pct, 19.5, rule=EQUATION)
    assert per_degree == pytest.approx(slope, abs=0.005)


# Wood Handbook FPL-GTR-190, chapter 13: 0.5 points for 10 F (5.6 C), added when the wood is colder.
@pytest.mark.parametrize(
    ("wood", "unit", "calibrated", "points"),
    [
        (60, F, 70, 0.5),
        (80, F, 70, -0.5),
        (70, F, 70, 0),
        (14, F, 70, 2.8),  # the cold end
        (140, F, 70, -3.5),  # the hot end
        (20 - 50 / 9, C, 20, 0.5),  # 10 F are 50/9 C, printed as 5.6
        (-10, C, 20, 2.7),
        (60, C, 20, -3.6),
    ],
)
def test_the_rule_of_thumb(wood, unit, calibrated, points):
    made = temperature_correction(reading(12, wood, unit, calibration_temperature=calibrated), load())
    assert made.points == pytest.approx(points, abs=1e-9)
    assert (made.calibration_temperature, made.calibration_is_default) == (calibrated, False)


def test_the_rule_of_thumb_says_where_its_calibration_is_taken_for_granted():
    """20 C: common practice, no source."""
    in_c = temperature_correction(reading(12, 10), load())
    in_f = temperature_correction(reading(12, 50, F), load())
    assert in_c.points == pytest.approx(0.9)
    assert in_f.points == pytest.approx(0.9)
    assert (in_c.calibration_temperature, in_c.calibration_is_default) == (20, True)
    assert (in_f.calibration_temperature, in_f.calibration_is_default) == (68, True)


@pytest.mark.parametrize("rule", [THUMB, EQUATION])
@pytest.mark.parametrize(
    ("pct", "wood", "unit", "beyond"),
    [
        (12, -10, C, False),
        (12, -10.1, C, True),
        (12, 60, C, False),
        (12, 60.1, C, True),
        (12, 14, F, False),
        (12, 13.9, F, True),
        (12, 140, F, False),
        (12, 140.1, F, True),
        (6, 20, C, False),
        (5.9, 20, C, True),
        (25, 20, C, False),
        (25.1, 20, C, True),
    ],
)
def test_beyond_the_range_it_is_called_an_extrapolation(rule, pct, wood, unit, beyond):
    assert temperature_correction(reading(pct, wood, unit, rule), load()).extrapolated is beyond


def test_what_the_operator_or_the_meter_corrects_is_left_to_them():
    typed = reading(12, -25, rule=TemperatureRule.TYPED, temperature_correction_pct=2.25)
    assert temperature_correction(typed, load()).points == 2.25
    assert not temperature_correction(typed, load()).extrapolated
    by_meter = reading(12, -25, rule=TemperatureRule.BY_THE_METER)
    assert temperature_correction(by_meter, load()).points is None
    assert temperature_correction(reading(12, -25, rule=None), load()).points is None


def test_the_equation_takes_no_calibration_temperature():
    plain = temperature_correction(reading(12, 5, rule=EQUATION), load())
    told = temperature_correction(reading(12, 5, rule=EQUATION, calibration_temperature=27), load())
    assert plain == told
