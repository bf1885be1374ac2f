"""Equilibrium moisture content (EMC): what wood comes to if the air stays as it is.

Hailwood and Horrobin's equation with the coefficients of the Wood Handbook, FPL-GTR-190 (2010), equation 4-5,
for temperatures in Celsius; this one set is kept throughout. It agrees with the handbook's table 4-2 within
0.06.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import COLDEST_C, Quantity

#: W, K, K1 and K2 of the equation, each c0 + c1 t + c2 t2 with t in Celsius.
COEFFICIENTS = (
    (349.0, 1.29, 0.0135),
    (0.805, 0.000736, -0.00000273),
    (6.27, -0.00938, -0.000303),
    (1.91, 0.0407, -0.000293),
)
#: Hottest of the handbook's table 4-2 (270 F); far above it the coefficients make nonsense of wet air,
#: which the pressure of the atmosphere does not hold there.
HOTTEST_EMC_C = 132.3
#: Coldest of that table (30 F). A little below it the equation still runs on smoothly.
COLDEST_EMC_C = -1.2
_STEPS = 60


def emc_pct(dry_bulb_c: Quantity, rh_pct: Quantity) -> Quantity:
    """EMC [% of oven-dry weight] at a temperature [C] and a relative humidity [%]."""
    t = dry_bulb_c
    w, k, k1, k2 = (c0 + t * (c1 + c2 * t) for c0, c1, c2 in COEFFICIENTS)
    x = k * rh_pct / 100
    k1x = k1 * x
    k1k2xx = k1x * k2 * x
    return (1800 / w) * (x / (1 - x) + (k1x + 2 * k1k2xx) / (1 + k1x + k1k2xx))


def known_emc_pct(dry_bulb_c: float, rh_pct: float) -> float | None:
    """The same, of one air; None where it is hotter than the equation holds for."""
    return None if dry_bulb_c > HOTTEST_EMC_C else float(emc_pct(dry_bulb_c, rh_pct))


def known_emcs_pct(dry_bulb_c: NDArray[np.float64], rh_pct: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same, of many; NaN where one is hotter, or nothing was read."""
    return np.asarray(emc_pct(dry_bulb_c, np.where(dry_bulb_c <= HOTTEST_EMC_C, rh_pct, np.nan)))


def rh_for_emc_pct(dry_bulb_c: Quantity, wanted_pct: Quantity) -> Quantity:
    """Relative humidity [%] that gives an EMC [%] at a temperature [C].

    Raises ``ImpossibleAir``: no air of that temperature gives it, or the equation does not hold for it.
    """
    dry = np.asarray(dry_bulb_c, dtype=np.float64)
    if not np.all((dry >= COLDEST_C) & (dry <= HOTTEST_EMC_C)):
        raise ImpossibleAir(why="emc-temperature", temperature_c=float(dry.flat[0]))
    wanted = np.asarray(wanted_pct, dtype=np.float64)
    most = np.asarray(emc_pct(dry_bulb_c, 100.0))
    if np.any((wanted < 0) | (wanted > most)):
        raise ImpossibleAir(why="emc", emc_pct=float(wanted.flat[0]), most_pct=float(most.flat[0]))
    shape = np.broadcast_shapes(np.shape(dry_bulb_c), wanted.shape)
    low: NDArray[np.float64] = np.zeros(shape)
    high: NDArray[np.float64] = np.full(shape, 100.0)
    for _ in range(_STEPS):
        middle = (low + high) / 2
        below = np.asarray(emc_pct(dry_bulb_c, middle)) < wanted
        low = np.where(below, middle, low)
        high = np.where(below, high, middle)
    found = (low + high) / 2
    return found if shape else float(found)
