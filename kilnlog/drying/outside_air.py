"""The air outside, which vents draw in: as the operator set it for the season, else a stated default."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kilnlog.records.errors import UnknownWord
from kilnlog.records.temperature import celsius
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.tables import Reference

#: The name of the setting that holds it, ``60 F, 70 %``.
SETTING = "outside_air"

_FORM = re.compile(
    r"\s*(?P<dry>[-−]?\d+(?:\.\d+)?)\s*°?\s*(?P<unit>[CF])\s*[,;]?\s+(?P<rh>\d+(?:\.\d+)?)\s*%?\s*",
    re.ASCII | re.IGNORECASE,
)
_COLDEST_C, _HOTTEST_C = -40.0, 60.0


@dataclass(frozen=True, slots=True)
class OutsideAir:
    """Outside air."""

    dry_bulb_c: float
    rh_pct: float
    is_default: bool


def outside_from_setting(text: str) -> OutsideAir:
    """The outside air of a setting such as ``60 F, 70 %`` or ``15 C 70``; raises ``UnknownWord``."""
    parts = _FORM.fullmatch(text)
    if parts is not None:
        dry, rh_pct = float(parts["dry"].replace("−", "-")), float(parts["rh"])
        dry_c = celsius(dry, TemperatureUnit(parts["unit"].upper()))
        if _COLDEST_C <= dry_c <= _HOTTEST_C and 0 < rh_pct <= 100:
            return OutsideAir(dry_c, rh_pct, is_default=False)
    raise UnknownWord(column=SETTING, value=text, known=("60 F, 70 %", "15 C, 70 %"))


def setting_of(dry_bulb: float, unit: TemperatureUnit, rh_pct: float) -> str:
    """How outside air is written into the setting."""
    return f"{dry_bulb:g} {unit.value}, {rh_pct:g} %"


def outside_in_force(setting: str | None, reference: Reference) -> OutsideAir:
    """What a setting says; the stated default where it was never set, or cannot be read."""
    default = OutsideAir(reference.limit("outside_c"), reference.limit("outside_rh_pct"), is_default=True)
    if setting is None:
        return default
    try:
        return outside_from_setting(setting)
    except UnknownWord:
        return default
