"""What air can be told in, and what no air can be."""

from kilnlog.records.errors import MissingValue, WetAboveDry
from kilnlog.records.words import TemperatureUnit


def check_air(
    dry_bulb: float | None,
    wet_bulb: float | None,
    depression: float | None,
    rh_pct: float | None,
    unit: TemperatureUnit | None,
) -> None:
    """Refuse what says nothing or cannot be; temperatures in ``unit``, all in the same.

    Raises ``MissingValue`` where nothing is told or a temperature has no unit, ``WetAboveDry``.
    """
    temperatures = [value for value in (dry_bulb, wet_bulb, depression) if value is not None]
    if not temperatures and rh_pct is None:
        raise MissingValue(column="dry_bulb")
    if temperatures and unit is None:
        raise MissingValue(column="temperature_unit")
    if dry_bulb is not None and wet_bulb is not None and wet_bulb > dry_bulb:
        raise WetAboveDry(wet_bulb=wet_bulb, dry_bulb=dry_bulb, unit=str(unit))
