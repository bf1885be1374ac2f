"""The published tables as one frozen object, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from types import MappingProxyType

from kilnlog.records.errors import KilnlogError
from kilnlog.records.measures import thickness_mm
from kilnlog.reference.reading import number, plain_name, rows_of
from kilnlog.reference.rows import (
    ConstantWeightRule,
    PracticeLimit,
    RateKind,
    SafeRate,
    Species,
    Standing,
    TradeName,
)

#: Sawn sizes of one nominal thickness differ by less than this [mm]: 25 mm stock is 4/4 stock.
SAME_THICKNESS_MM = 1.0


@dataclass(frozen=True)
class Reference:
    """Everything published that the computation rests on."""

    species_rows: tuple[Species, ...]
    safe_rates: tuple[SafeRate, ...]
    trade_names: Mapping[str, TradeName]  # by plain name
    practice: Mapping[str, PracticeLimit]  # by name
    constant_weight_rules: Mapping[str, ConstantWeightRule]  # by name; the first is the default

    @cached_property
    def species(self) -> tuple[str, ...]:
        """The common names, as offered where a species is typed."""
        return tuple(row.species for row in self.species_rows)

    def species_named(self, name: str) -> Species | None:
        """The species by its common, scientific or trade name, as typed; None where the table has it not."""
        trade = self.trade_names.get(plain_name(name))
        wanted = plain_name(name if trade is None else trade.species)
        for row in self.species_rows:
            if wanted in (plain_name(row.species), plain_name(row.scientific_name)):
                return row
        return None

    def limit(self, name: str) -> float:
        """The value of a practice limit; raises KeyError, since a limit nobody wrote down is our defect."""
        return self.practice[name].value

    def safe_rate(self, species: str, thickness: str) -> SafeRate | None:
        """The published ceiling for sound lumber of that species and thickness, as typed.

        The species may go by its common, its scientific, or one of the ``trade_names``; the source then says
        how the name was read. None where nothing is published, and for names that several species share and
        no one rate holds for (ash, soft maple, gum).
        """
        trade = self.trade_names.get(plain_name(species))
        if trade is None:
            return self._published_rate(plain_name(species), thickness)
        rate = self._published_rate(plain_name(trade.species), thickness)
        if rate is None:
            return None
        return replace(rate, source=f"{rate.source}; {trade.note}", standing=trade.standing)

    def _published_rate(self, wanted: str, thickness: str) -> SafeRate | None:
        try:
            wanted_mm = thickness_mm(thickness)
        except KilnlogError:
            return None
        for rate in self.safe_rates:
            if (
                rate.kind is RateKind.CEILING
                and rate.max_pct_per_day is not None
                and wanted in (plain_name(rate.species), plain_name(rate.scientific_name))
                and abs(thickness_mm(rate.thickness) - wanted_mm) < SAME_THICKNESS_MM
            ):
                return rate
        return None


@lru_cache(maxsize=1)
def load() -> Reference:
    """Read all tables; the same frozen object ever after."""
    return Reference(
        species_rows=tuple(
            Species(
                species=row["species"],
                scientific_name=row["scientific_name"],
                wood_type=row["wood_type"],
                basic_specific_gravity=number(row["basic_specific_gravity"]),
                source=row["source"],
                standing=Standing(row["standing"]),
            )
            for row in rows_of("species")
        ),
        safe_rates=tuple(
            SafeRate(
                species=row["species"],
                scientific_name=row["scientific_name"],
                thickness=row["thickness"],
                kind=RateKind(row["kind"]),
                max_pct_per_day=number(row["max_pct_per_day"]),
                max_pct_per_day_low=number(row["max_pct_per_day_low"]),
                note=row["note"],
                source=row["source"],
                standing=Standing(row["standing"]),
            )
            for row in rows_of("safe_drying_rates")
        ),
        trade_names=MappingProxyType(
            {
                plain_name(row["trade_name"]): TradeName(
                    trade_name=row["trade_name"],
                    species=row["species"],
                    note=row["note"],
                    source=row["source"],
                    standing=Standing(row["standing"]),
                )
                for row in rows_of("trade_names")
            }
        ),
        practice=MappingProxyType(
            {
                row["limit"]: PracticeLimit(
                    limit=row["limit"],
                    value=float(row["value"]),
                    unit=row["unit"],
                    used_for=row["used_for"],
                    source=row["source"],
                    standing=Standing(row["standing"]),
                )
                for row in rows_of("practice_limits")
            }
        ),
        constant_weight_rules=MappingProxyType(
            {
                row["rule"]: ConstantWeightRule(
                    name=row["rule"],
                    max_change_pct=number(row["max_change_pct"]),
                    max_change_divisions=number(row["max_change_divisions"]),
                    interval_h=float(row["interval_h"]),
                    source=row["source"],
                    standing=Standing(row["standing"]),
                )
                for row in rows_of("constant_weight_rules")
            }
        ),
    )
