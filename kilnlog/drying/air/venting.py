"""What it takes to carry water out of a kiln with outside air: how much air, and how much heat.

Leaks change air as vents do, so the figures are of all the air that passes, however it gets in and out.
"""

from __future__ import annotations

from kilnlog.drying.air.moist_air import KELVIN, AirState
from kilnlog.drying.figures import Venting

#: Gas constant of dry air [J/kg K], and how much lighter vapour is than air (ASHRAE Fundamentals 2017,
#: chapter 1, eqs. 1 and 26).
_GAS_CONSTANT = 287.042
_AIR_TO_WATER = 1.607858
#: Specific heats of dry air and of vapour [kJ/kg K], and the heat of vaporisation at 0 C with its fall by
#: temperature [kJ/kg, kJ/kg K] (the same, eqs. 30 to 32).
_DRY_AIR_CP, _VAPOUR_CP = 1.006, 1.86
_HEAT_AT_ZERO, _HEAT_SLOPE = 2501.0, 2.326


def venting(kiln: AirState, outside: AirState) -> Venting | None:
    """Work out what carries 1 kg of water from the kiln.

    Dry air per water is 1/(W kiln - W outside). The heat of sorption, small above 20 % MC, and what walls
    lose are left out.

    Returns:
        None where the outside air holds as much water as the kiln's: no amount of it carries any off.
    """
    gained = float(kiln.humidity_ratio) - float(outside.humidity_ratio)
    if gained <= 0:
        return None
    dry_air_kg = 1 / gained
    warmed = float(kiln.dry_bulb_c) - float(outside.dry_bulb_c)
    heat_kj = (_DRY_AIR_CP + _VAPOUR_CP * float(outside.humidity_ratio)) * warmed
    return Venting(
        dry_air_kg=dry_air_kg,
        outside_m3=dry_air_kg * volume_m3(outside),
        kiln_m3=dry_air_kg * volume_m3(kiln),
        warming_kj=dry_air_kg * max(heat_kj, 0.0),
        evaporating_kj=heat_of_vaporisation_kj(float(kiln.wet_bulb_c)),
    )


def volume_m3(air: AirState) -> float:
    """Volume of moist air per kilogram of the dry air in it [m3/kg] (eq. 26)."""
    kelvin = float(air.dry_bulb_c) + KELVIN
    return _GAS_CONSTANT * kelvin * (1 + _AIR_TO_WATER * float(air.humidity_ratio)) / air.pressure_pa


def heat_of_vaporisation_kj(temperature_c: float) -> float:
    """Heat to evaporate water [kJ/kg], 0 to 100 C: within 0.6 % of steam tables, closest when cool."""
    return _HEAT_AT_ZERO - _HEAT_SLOPE * temperature_c


def exhaust_share(per_kg: Venting, water_kg_per_h: float, exhaust_m3_per_h: float) -> float:
    """The share of the time an exhaust must run to carry the water off; above 1 it cannot keep up.

    Args:
        per_kg: What each kilogram of water takes.
        water_kg_per_h: Water leaving the wood [kg/h].
        exhaust_m3_per_h: Kiln air the exhaust moves while it runs [m3/h], above 0.
    """
    return water_kg_per_h * per_kg.kiln_m3 / exhaust_m3_per_h
