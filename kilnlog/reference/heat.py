"""Heat that publications ask of the wood, where they state both a temperature and a time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.reading import rows_of
from kilnlog.reference.rows import Standing


@dataclass(frozen=True, slots=True)
class HeatThreshold:
    """What probes in the wood are asked to show.

    Attributes:
        purpose: What the heat is for.
        where: Where in the wood, and on what condition.
        at_least: The temperature, in the unit it was published in [temperature_unit].
        for_minutes: How long without a break [min].
    """

    purpose: str
    where: str
    at_least: float
    temperature_unit: TemperatureUnit
    for_minutes: float
    source: str
    standing: Standing


@lru_cache(maxsize=1)
def heat_thresholds() -> tuple[HeatThreshold, ...]:
    """The published thresholds; the first is the default.

    Left out is what a probe in the wood cannot answer for: dielectric heating, treatments of the air alone,
    and rows that state no time.
    """
    return tuple(
        HeatThreshold(
            purpose=row["purpose"],
            where=row["where"],
            at_least=float(row["at_least"]),
            temperature_unit=TemperatureUnit(row["temperature_unit"]),
            for_minutes=float(row["for_minutes"]),
            source=row["source"],
            standing=Standing(row["standing"]),
        )
        for row in rows_of("heat_thresholds")
    )
