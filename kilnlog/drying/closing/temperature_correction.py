"""A meter's reading corrected for the temperature of the wood, by a named rule, never without one.

Order of work: the temperature first, the species after it. The equation needs that order, since it is for
readings on the Douglas-fir scale; the rule of thumb only adds, so that there the order makes no difference.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

from kilnlog.records.final_reading import FinalReading
from kilnlog.records.temperature import celsius, in_unit
from kilnlog.records.words import TemperatureRule
from kilnlog.reference.final_moisture import MeterEquation, meter_equation
from kilnlog.reference.tables import Reference

#: Fahrenheit turned into Celsius lands a hair off a limit.
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Correction:
    """What is added to a reading for the temperature of the wood.

    Attributes:
        points: [MC points]; None where nothing is to be added: no rule, or the meter corrects by itself.
        extrapolated: The rule was carried beyond the temperatures and readings it was tabulated for.
        calibration_temperature: What the rule of thumb started from [the reading's unit]; None by others.
        calibration_is_default: Nobody typed it.
    """

    points: float | None = None
    extrapolated: bool = False
    calibration_temperature: float | None = None
    calibration_is_default: bool = False


def temperature_correction(reading: FinalReading, reference: Reference) -> Correction:
    """The correction of a meter reading by its own rule.

    - rule of thumb: 0.5 points for 10 F (5.56 C) away from the calibration temperature, added when the wood
      is colder. Where no calibration temperature was typed, ``meter_calibrated_c`` is taken (20 C, common
      practice, no source) and the correction says so. Source: Wood Handbook FPL-GTR-190, chapter 13.
    - equation: see ``by_equation_pct``; a calibration temperature plays no part in it.
    - typed: the operator's own figure, from the meter's chart.
    - by the meter, or no rule: nothing is added.

    No limits of validity were seen in print for either rule; outside the range that the equation was
    tabulated for, -10 to 60 C and 6 to 25 %, both are marked as extrapolated.
    """
    rule, typed, unit = reading.temperature_rule, reading.wood_temperature, reading.temperature_unit
    if rule is TemperatureRule.TYPED:
        return Correction(reading.temperature_correction_pct)
    computed = rule in (TemperatureRule.RULE_OF_THUMB, TemperatureRule.EQUATION)
    if not computed or typed is None or unit is None or reading.reading_pct is None:
        return Correction()
    equation = meter_equation()
    wood_c = celsius(typed, unit)
    beyond = _is_beyond(reading.reading_pct, wood_c, equation)
    if rule is TemperatureRule.EQUATION:
        return Correction(
            by_equation_pct(reading.reading_pct, wood_c, equation) - reading.reading_pct, beyond
        )
    calibrated = reading.calibration_temperature
    is_default = calibrated is None
    if calibrated is None:
        calibrated = in_unit(reference.limit("meter_calibrated_c"), unit)
    points = reference.limit("meter_pct_per_c") * (celsius(calibrated, unit) - wood_c)
    return Correction(points, beyond, calibrated, is_default)


def by_equation_pct(reading_pct: float, wood_c: float, equation: MeterEquation) -> float:
    """MC by the published equation, with no correction for the species [%].

    MC = (R + 0.567 - 0.0260 t + 0.000051 t^2) / (0.881 x 1.0056^t), R the reading on the Douglas-fir scale
    [%], t the temperature of the wood [C].
    """
    raised = reading_pct + equation.added + equation.per_c * wood_c + equation.per_c_squared * wood_c**2
    return raised / (equation.scale * exp(wood_c * log(equation.base)))


def _is_beyond(reading_pct: float, wood_c: float, equation: MeterEquation) -> bool:
    return not (
        equation.coldest_c - _HAIR <= wood_c <= equation.warmest_c + _HAIR
        and equation.least_pct <= reading_pct <= equation.most_pct
    )
