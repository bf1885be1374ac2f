"""What must be vented of a charge now: outside air for the water that leaves its wood, the heat, the exhaust.

It loads numpy, which is slow to load: only a charge whose air was read comes here.
"""

from __future__ import annotations

from kilnlog.drying.air.moist_air import from_rh
from kilnlog.drying.air.venting import exhaust_share, venting
from kilnlog.drying.figures import AirFigures, ChargeVenting
from kilnlog.drying.moisture_content import HOURS_PER_DAY
from kilnlog.drying.outside_air import OutsideAir
from kilnlog.records.kiln import Kiln

_S_PER_H = 3600


def charge_venting(
    air: AirFigures, water_kg_per_day: float | None, outside: OutsideAir, kiln: Kiln | None
) -> ChargeVenting | None:
    """Work it out; None where no water leaves, or the air was not read whole."""
    if air.dry_bulb_c is None or air.rh_pct is None or water_kg_per_day is None or water_kg_per_day <= 0:
        return None
    # By its humidity, as it was told: what no sensor read was worked out from the same reading.
    inside = from_rh(air.dry_bulb_c, air.rh_pct, air.pressure_pa)
    beyond = from_rh(outside.dry_bulb_c, outside.rh_pct, air.pressure_pa)
    water_kg_per_h = water_kg_per_day / HOURS_PER_DAY
    takes = venting(inside, beyond)
    exhaust = None if kiln is None else kiln.exhaust_m3_per_h
    return ChargeVenting(
        outside_dry_bulb_c=outside.dry_bulb_c,
        outside_rh_pct=outside.rh_pct,
        outside_is_default=outside.is_default,
        water_kg_per_h=water_kg_per_h,
        inside_humidity_ratio=float(inside.humidity_ratio),
        outside_humidity_ratio=float(beyond.humidity_ratio),
        per_kg=takes,
        outside_m3_per_h=None if takes is None else water_kg_per_h * takes.outside_m3,
        kiln_m3_per_h=None if takes is None else water_kg_per_h * takes.kiln_m3,
        evaporating_kw=None if takes is None else water_kg_per_h * takes.evaporating_kj / _S_PER_H,
        warming_kw=None if takes is None else water_kg_per_h * takes.warming_kj / _S_PER_H,
        exhaust_m3_per_h=exhaust,
        exhaust_share=(
            None if takes is None or exhaust is None else exhaust_share(takes, water_kg_per_h, exhaust)
        ),
        read_at=air.read_at,
    )
