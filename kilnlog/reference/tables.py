"""The published tables as one frozen object, read once."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from types import MappingProxyType

from kilnlog.records.errors import KilnlogError
from kilnlog.records.measures import thickness_mm
from kilnlog.reference.resources import resource
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
_SAME_THICKNESS_MM = 1.0


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

    def limit(self, name: str) -> float:
        """The value of a practice limit; raises KeyError, since a limit nobody wrote down is our defect."""
        return self.practice[name].value

    def safe_rate(self, species: str, thickness: str) -> SafeRate | None:
        """The published ceiling for sound lumber of that species and thickness, as typed.

        The species may go by its common, its scientific, or one of the ``trade_names``; the source then says
        how the name was read. None where nothing is published, and for names that several species share and
        no one rate holds for (ash, soft maple, gum).
        """
        trade = self.trade_names.get(_plain(species))
        if trade is None:
            return self._published_rate(_plain(species), thickness)
        rate = self._published_rate(_plain(trade.species), thickness)
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
                and wanted in (_plain(rate.species), _plain(rate.scientific_name))
                and abs(thickness_mm(rate.thickness) - wanted_mm) < _SAME_THICKNESS_MM
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
                basic_specific_gravity=_number(row["basic_specific_gravity"]),
                source=row["source"],
                standing=Standing(row["standing"]),
            )
            for row in _rows("species")
        ),
        safe_rates=tuple(
            SafeRate(
                species=row["species"],
                scientific_name=row["scientific_name"],
                thickness=row["thickness"],
                kind=RateKind(row["kind"]),
                max_pct_per_day=_number(row["max_pct_per_day"]),
                max_pct_per_day_low=_number(row["max_pct_per_day_low"]),
                note=row["note"],
                source=row["source"],
                standing=Standing(row["standing"]),
            )
            for row in _rows("safe_drying_rates")
        ),
        trade_names=MappingProxyType(
            {
                _plain(row["trade_name"]): TradeName(
                    trade_name=row["trade_name"],
                    species=row["species"],
                    note=row["note"],
                    source=row["source"],
                    standing=Standing(row["standing"]),
                )
                for row in _rows("trade_names")
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
                for row in _rows("practice_limits")
            }
        ),
        constant_weight_rules=MappingProxyType(
            {
                row["rule"]: ConstantWeightRule(
                    name=row["rule"],
                    max_change_pct=_number(row["max_change_pct"]),
                    max_change_divisions=_number(row["max_change_divisions"]),
                    interval_h=float(row["interval_h"]),
                    source=row["source"],
                    standing=Standing(row["standing"]),
                )
                for row in _rows("constant_weight_rules")
            }
        ),
    )


def _rows(table: str) -> list[dict[str, str]]:
    with resource("tables", f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _plain(name: str) -> str:
    """A name as it is compared: small letters, hyphens like blanks, one blank between words."""
    return " ".join(name.casefold().replace("-", " ").split())


def _number(text: str) -> float | None:
    return float(text) if text else None
