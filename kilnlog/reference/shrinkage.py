"""How much each species shrinks from green to oven-dry, as published."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from kilnlog.reference.reading import plain_name, rows_of
from kilnlog.reference.rows import Standing
from kilnlog.reference.tables import Reference


@dataclass(frozen=True, slots=True)
class Shrinkage:
    """Shrinkage from green to oven-dry [% of the green size]."""

    species: str
    scientific_name: str
    radial_pct: float
    tangential_pct: float
    volumetric_pct: float
    source: str
    standing: Standing


@lru_cache(maxsize=1)
def _by_name() -> Mapping[str, Shrinkage]:
    found: dict[str, Shrinkage] = {}
    for row in rows_of("shrinkage"):
        shrinkage = Shrinkage(
            species=row["species"],
            scientific_name=row["scientific_name"],
            radial_pct=float(row["radial_pct"]),
            tangential_pct=float(row["tangential_pct"]),
            volumetric_pct=float(row["volumetric_pct"]),
            source=row["source"],
            standing=Standing(row["standing"]),
        )
        found[plain_name(row["species"])] = found[plain_name(row["scientific_name"])] = shrinkage
    return MappingProxyType(found)


def shrinkage_of(species: str, reference: Reference) -> Shrinkage | None:
    """The row of a species by its common, scientific or trade name as typed; None where none is published."""
    known = reference.species_named(species)
    return _by_name().get(plain_name(species if known is None else known.species))
