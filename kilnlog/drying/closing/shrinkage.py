"""What wood is expected to shrink from green to a moisture content."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.reference.rows import Standing
from kilnlog.reference.shrinkage import shrinkage_of
from kilnlog.reference.tables import Reference

#: Wood drier than this shrinks, wetter wood does not: about fibre saturation [% MC].
GREEN_MC_PCT = 30.0
#: Where the rule is from: read in a public copy of the handbook.
RULE_SOURCE = "Wood Handbook FPL-GTR-190 (2010), equation 4-9"


@dataclass(frozen=True, slots=True)
class ExpectedShrinkage:
    """The shrinkage print leads one to expect, and where it is from.

    Attributes:
        volumetric_pct: Of the volume [% of the green volume].
        mc_pct: At what moisture content.
        species: As the table has it.
        source: Of the species' figure and of the rule.
        standing: Of the species' figure; the rule was read.
    """

    volumetric_pct: float
    mc_pct: float
    species: str
    source: str
    standing: Standing


def shrinkage_at_pct(to_oven_dry_pct: float, mc_pct: float) -> float:
    """Shrinkage from green to a moisture content: S = S0 (30 - MC) / 30, none above 30 %.

    Args:
        to_oven_dry_pct: Shrinkage from green to oven-dry, S0 [% of the green size].
        mc_pct: Moisture content [%].
    Source:
        Wood Handbook FPL-GTR-190 (2010), equation 4-9, for any of radial, tangential and volume.

    >>> shrinkage_at_pct(13.7, 6)
    10.96
    """
    return to_oven_dry_pct * max(GREEN_MC_PCT - mc_pct, 0) / GREEN_MC_PCT


def expected_shrinkage(
    species: str | None, final_mc_pct: float | None, reference: Reference
) -> ExpectedShrinkage | None:
    """What a lot's volume is expected to lose; None where species or final moisture is not known."""
    row = None if species is None else shrinkage_of(species, reference)
    if row is None or final_mc_pct is None:
        return None
    return ExpectedShrinkage(
        volumetric_pct=shrinkage_at_pct(row.volumetric_pct, final_mc_pct),
        mc_pct=final_mc_pct,
        species=row.species,
        source=f"{row.source}; scaled by {RULE_SOURCE}",
        standing=row.standing,
    )
