"""Humidity and EMC of long records of dry and wet bulb, quick enough to draw a million readings at once.

The relations are those of ``moist_air`` and ``emc``, multiplied out to the fewest operations, in single
precision and in helpings that stay in the processor's cache: within 0.002 points of them, a hundredth of what
any hygrometer shows. Frozen wicks and whatever else is rare goes the exact way.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.emc import COEFFICIENTS, HOTTEST_EMC_C, known_emcs_pct
from kilnlog.drying.air.moist_air import (
    COLDEST_C,
    HOTTEST_C,
    KELVIN,
    MASS_RATIO,
    OVER_WATER,
    enhancement,
    ratio_from_wet_bulb,
    saturated_air_pa,
)

Doubles = NDArray[np.float64]
Singles = NDArray[np.float32]

#: Readings worked at once: the buffers then take 1.5 MB, and calling numpy costs little beside its work.
_HELPING = 65_536
_BUFFERS = 6  # of the working below


@dataclass(frozen=True)
class AirSeries:
    """What each reading says; NaN where no air shows it, or it is hotter than the EMC equation holds for."""

    rh_pct: Singles
    emc_pct: Singles


def air_series(dry_bulb_c: Doubles, wet_bulb_c: Doubles, pressure_pa: float) -> AirSeries:
    """RH and EMC of every reading.

    Args:
        dry_bulb_c: Dry bulb [C]; NaN where there is none.
        wet_bulb_c: Wet bulb of the same readings [C].
        pressure_pa: Barometric pressure [Pa].
    """
    rh_pct = np.empty(len(dry_bulb_c), dtype=np.float32)
    emc = np.empty_like(rh_pct)
    buffers = [np.empty(min(_HELPING, len(rh_pct)), dtype=np.float32) for _ in range(_BUFFERS)]
    for start in range(0, len(rh_pct), _HELPING):
        part = slice(start, start + _HELPING)
        dry, wet = dry_bulb_c[part], wet_bulb_c[part]
        if _is_plain(dry, wet, pressure_pa):
            _work(dry, wet, pressure_pa, rh_pct[part], emc[part], [one[: len(dry)] for one in buffers])
        else:
            _work_exactly(dry, wet, pressure_pa, rh_pct[part], emc[part])
    return AirSeries(rh_pct, emc)


def _is_plain(dry: Doubles, wet: Doubles, pressure_pa: float) -> bool:
    """Whether every wick is wet and cooler than boiling, and every EMC known; NaN makes each of it false."""
    hottest_wick = wet.max()
    return bool(
        wet.min() >= 0
        and dry.min() >= 0
        and dry.max() <= HOTTEST_EMC_C
        and hottest_wick < HOTTEST_C
        and saturated_air_pa(float(hottest_wick), pressure_pa) < 0.95 * pressure_pa
    )


def _work_exactly(dry: Doubles, wet: Doubles, pressure_pa: float, rh_pct: Singles, emc: Singles) -> None:
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        ratio = np.asarray(ratio_from_wet_bulb(dry, wet, pressure_pa))
        vapour = pressure_pa * ratio / (MASS_RATIO + ratio)
        told = 100 * vapour / np.asarray(saturated_air_pa(dry, pressure_pa))
        boils = np.asarray(saturated_air_pa(wet, pressure_pa)) >= pressure_pa
        within = (dry <= HOTTEST_C) & (wet >= COLDEST_C)
        sound = within & (wet <= dry) & ~boils & (told >= 0)
        rh_pct[:] = np.where(sound, told, np.nan)
        emc[:] = known_emcs_pct(dry, np.where(sound, told, np.nan))


def _work(
    dry_c: Doubles, wet_c: Doubles, pressure_pa: float, rh_pct: Singles, emc: Singles, buffers: list[Singles]
) -> None:
    """RH, then EMC, into the arrays given.

    With ps the pressure of saturated air at the wet bulb, A the heat of vaporisation there and D the wet
    bulb's depression, equation 33 with both ratios multiplied out reads

        N = 0.621945 A ps - 1.006 D (p - ps),  pw = p N / (N + 0.621945 (A + 1.86 D)(p - ps)).
    """
    dry, wet, heat, apart, saturated, spare = buffers
    dry[:], wet[:] = dry_c, wet_c
    log_enhancement = log(enhancement(pressure_pa))

    _saturated_air(wet, log_enhancement, saturated, heat, spare)
    np.multiply(wet, -2.326 * MASS_RATIO, out=heat)
    heat += 2501 * MASS_RATIO
    depression = np.subtract(dry, wet, out=wet)
    lowest = depression.min()
    np.subtract(pressure_pa, saturated, out=apart)
    np.multiply(depression, apart, out=spare)
    held = np.multiply(heat, saturated, out=saturated)
    apart *= heat
    spare *= 1.86 * MASS_RATIO
    apart += spare
    spare *= 1.006 / (1.86 * MASS_RATIO)
    held -= spare
    apart += held

    _saturated_air(dry, log_enhancement - log(100 * pressure_pa), heat, spare, wet)
    apart *= heat
    np.divide(held, apart, out=rh_pct)
    if lowest >= 0 and rh_pct.min() >= 0:
        np.minimum(rh_pct, 100, out=rh_pct)  # saturated air comes out a rounding above
        _emc(dry, rh_pct, emc, [wet, heat, apart, spare])
    else:
        _work_exactly(dry_c, wet_c, pressure_pa, rh_pct, emc)


def _saturated_air(celsius: Singles, shift: float, out: Singles, kelvin: Singles, spare: Singles) -> None:
    """exp(shift) times the saturation pressure over water."""
    c0, c1, c2, c3, c4, c5 = OVER_WATER
    np.add(celsius, KELVIN, out=kelvin)
    np.multiply(kelvin, c4, out=out)
    out += c3
    out *= kelvin
    out += c2
    out *= kelvin
    np.log(kelvin, out=spare)
    spare *= c5
    out += spare
    np.divide(c0, kelvin, out=spare)
    out += spare
    out += c1 + shift
    np.exp(out, out=out)


def _emc(dry: Singles, rh_pct: Singles, out: Singles, buffers: list[Singles]) -> None:
    """The EMC equation over one denominator.

    EMC = 1800/W x ((1 + K1) + K1 K2 x (2 - x)) / ((1 - x)(1 + K1 x + K1 K2 x2)), x = K RH/100.
    """
    x, first, second, spare = buffers
    (w0, w1, w2), (k0, k1, k2), at_first, at_second = COEFFICIENTS
    _quadratic(dry, (k0 / 100, k1 / 100, k2 / 100), x)
    x *= rh_pct
    _quadratic(dry, at_first, first)
    _quadratic(dry, at_second, second)
    second *= first
    second *= x
    np.subtract(2, x, out=spare)
    spare *= second
    spare += first
    spare += 1
    spare *= x
    first += second
    first *= x
    first += 1
    np.subtract(1, x, out=x)
    first *= x
    _quadratic(dry, (w0 / 1800, w1 / 1800, w2 / 1800), x)
    first *= x
    np.divide(spare, first, out=out)


def _quadratic(dry: Singles, coefficients: tuple[float, float, float], out: Singles) -> None:
    c0, c1, c2 = coefficients
    np.multiply(dry, c2, out=out)
    out += c1
    out *= dry
    out += c0
