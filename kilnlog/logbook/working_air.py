"""“Show working” of the air: how humidity, EMC and the rest follow from two readings, with the numbers in it.

Temperatures are carried in Celsius, as the relations are written.
"""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.air.emc import COEFFICIENTS
from kilnlog.drying.air.moist_air import MASS_RATIO, AirState, saturated_air_pa
from kilnlog.logbook import figures
from kilnlog.logbook.typed_air import SECOND_NAMES, Second, TypedAir
from kilnlog.logbook.working_form import Working
from kilnlog.records.temperature import difference_in_unit, in_unit
from kilnlog.records.words import TemperatureUnit

HUMIDITY_SOURCE = (
    "ASHRAE Handbook, Fundamentals (2017), chapter 1, equations 3, 6, 20 and 33; enhancement by Buck (1981), "
    "from memory. The wick is taken for well ventilated: in slack air it reads high, and so does the RH."
)
EMC_SOURCE = "Wood Handbook FPL-GTR-190 (2010), equation 4-5"
DEPRESSION_SOURCE = "dry bulb less wet bulb"
WET_BULB_SOURCE = (
    f"{HUMIDITY_SOURCE} The wet bulb is found by halving: the one whose wick fits the water in the air."
)


def air_workings(air: TypedAir) -> tuple[Working, ...]:
    """RH, EMC, and depression or wet bulb, in that order; nothing where the two do not tell the air."""
    state = air.state
    if state is None or air.emc_pct is None:
        return ()
    return (
        Working("Relative humidity", tuple(_humidity(air, state)), HUMIDITY_SOURCE),
        Working("EMC, where this air brings wood", tuple(_emc(state, air.emc_pct)), EMC_SOURCE),
        _wet_bulb(air, state),
    )


def _humidity(air: TypedAir, state: AirState) -> Iterator[str]:
    yield from _as_read(air, state)
    if air.which is Second.RH:
        yield f"It was read: {figures.trimmed(float(state.rh_pct), 1)} %."
        return
    dry_c, wet_c = float(state.dry_bulb_c), float(state.wet_bulb_c)
    pressure, ratio = state.pressure_pa, float(state.humidity_ratio)
    saturated_pa = float(saturated_air_pa(wet_c, pressure))
    saturated = MASS_RATIO * saturated_pa / (pressure - saturated_pa)
    yield (
        f"Saturated at the wet bulb: {_pa(saturated_pa)} of {_pa(pressure)}, "
        f"{_ratio(saturated)} kg of water per kg of dry air"
    )
    over_ice = wet_c < 0
    heat, slope, wick = (2830, 0.24, 2.1) if over_ice else (2501, 2.326, 4.186)
    yield (
        f"Water in the air: (({heat} − {slope} × {_c(wet_c)}) × {_ratio(saturated)} − 1.006 × "
        f"({_c(dry_c)} − {_c(wet_c)})) ÷ ({heat} + 1.86 × {_c(dry_c)} − {wick} × {_c(wet_c)}) = "
        f"{_ratio(ratio)}"
    )
    vapour = float(state.vapour_pressure_pa)
    yield (
        f"Vapour pressure: {_pa(pressure)} × {_ratio(ratio)} ÷ ({MASS_RATIO} + {_ratio(ratio)}) = "
        f"{_pa(vapour)}"
    )
    full_pa = float(saturated_air_pa(dry_c, pressure))
    yield f"{_pa(vapour)} ÷ {_pa(full_pa)} at saturation × 100 = {figures.number(float(state.rh_pct), 1)} %"


def _as_read(air: TypedAir, state: AirState) -> Iterator[str]:
    if air.unit is TemperatureUnit.CELSIUS or air.dry_bulb is None:
        return
    dry_c = _c(float(state.dry_bulb_c))
    yield f"Dry: ({figures.trimmed(air.dry_bulb)} °F − 32) × 5 ÷ 9 = {dry_c} °C"
    if air.which is Second.WET_BULB and air.second is not None:
        wet_c = _c(float(state.wet_bulb_c))
        yield f"Wet: ({figures.trimmed(air.second)} °F − 32) × 5 ÷ 9 = {wet_c} °C"
    elif air.which is Second.DEPRESSION and air.second is not None:
        apart_c = _c(float(state.depression_c))
        yield f"Depression, a difference: {figures.trimmed(air.second)} °F × 5 ÷ 9 = {apart_c} °C"


def _emc(state: AirState, emc_pct: float) -> Iterator[str]:
    t, h = float(state.dry_bulb_c), float(state.rh_pct) / 100
    w, k, k1, k2 = (c0 + c1 * t + c2 * t * t for c0, c1, c2 in COEFFICIENTS)
    yield f"At {_c(t)} °C: W {figures.number(w, 2)}, K {_ratio(k)}, K1 {_ratio(k1)}, K2 {_ratio(k2)}"
    x = k * h
    yield f"x = K × {figures.number(h, 4)} of saturation = {_ratio(x)}"
    yield (
        f"(1800 ÷ W) × (x ÷ (1 − x) + (K1 x + 2 K1 K2 x²) ÷ (1 + K1 x + K1 K2 x²)) = "
        f"{figures.number(emc_pct, 1)} %"
    )


def _wet_bulb(air: TypedAir, state: AirState) -> Working:
    unit = air.unit
    dry, wet = in_unit(float(state.dry_bulb_c), unit), in_unit(float(state.wet_bulb_c), unit)
    apart = difference_in_unit(float(state.depression_c), unit)
    sign = f"°{unit.value}"
    if air.which is Second.WET_BULB:
        line = f"{_tenth(dry)} − {_tenth(wet)} = {_tenth(apart)} {sign}"
        return Working("Depression", (line,), DEPRESSION_SOURCE)
    if air.which is Second.DEPRESSION:
        line = f"{_tenth(dry)} − {_tenth(apart)} = {_tenth(wet)} {sign}"
        return Working("Wet bulb", (line,), DEPRESSION_SOURCE)
    ratio = _ratio(float(state.humidity_ratio))
    lines = (
        f"{SECOND_NAMES[air.which]} {_tenth(float(state.rh_pct))} % at {_tenth(dry)} {sign} is "
        f"{ratio} kg of water per kg of dry air",
        f"A wick in it stands at {_tenth(wet)} {sign}, {_tenth(apart)} {sign} below the dry bulb",
    )
    return Working("Wet bulb", lines, WET_BULB_SOURCE)


def _c(temperature_c: float) -> str:
    return figures.trimmed(temperature_c, 2)


def _tenth(value: float) -> str:
    return figures.trimmed(value, 1)


def _ratio(value: float) -> str:
    return figures.number(value, 5)


def _pa(pressure: float) -> str:
    return f"{figures.number(pressure, 0)} Pa"
