"""Uncertainty of a board's moisture content (GUM): scale steps, sections, the basis carried forward.

With M the MC now, M0 the MC of the sections, W the weight now and W0 the weight the sections belong to:

    u(M)^2 = (100 + M)^2 x [ (u(M0) / (100 + M0))^2 + (u(W0) / W0)^2 + (u(W) / W)^2 ]

Source: JCGM 100, law of propagation, applied to OD = 100 x W0 / (100 + M0) and M = 100 x (W / OD - 1); a
reading of step d has u = d / sqrt(12). What is assumed where a charge has no data of its own stands in the
table of practice limits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

from kilnlog.reference.tables import Reference

_ROOT_12 = sqrt(12)


def reading_uncertainty_g(step_g: float) -> float:
    """Standard uncertainty of one reading of a scale that shows steps of ``step_g`` [g]."""
    return step_g / _ROOT_12


def relative_sq(step_g: float, weight_g: float) -> float:
    """(u(W) / W)^2 of one reading; 0 for a weight that cannot be, whose figures are void anyway."""
    return (reading_uncertainty_g(step_g) / weight_g) ** 2 if weight_g > 0 else 0.0


def section_weighing_uncertainty_pct(wet_g: float, dry_g: float, step_g: float) -> float:
    """Standard uncertainty of a section's MC from its two readings alone [points of MC].

    Source: u(M) = (100 / m0) x sqrt(u(m1)^2 + (m1 / m0)^2 x u(m0)^2), JCGM 100 on 100 x (m1 / m0 - 1).
    """
    return 100 / dry_g * reading_uncertainty_g(step_g) * sqrt(1 + (wet_g / dry_g) ** 2)


@dataclass(frozen=True, slots=True)
class Budget:
    """What one charge's uncertainties are worked out from.

    Attributes:
        green_pct: Standard deviation of a single green section about its board's mean, pooled over the
            charge; None where no board has two.
        dry_pct: The same for sections below ``dry_below_pct``: green ones differ by much more.
        assumed_green_pct: u of a board's mean section MC where ``green_pct`` is None.
        assumed_dry_pct: The same for dry sections.
        dry_below_pct: Where dry begins [% MC].
        oven_pct: What the oven method may be out by.
        coverage: The factor k of every uncertainty shown.
    """

    green_pct: float | None
    dry_pct: float | None
    assumed_green_pct: float
    assumed_dry_pct: float
    dry_below_pct: float
    oven_pct: float
    coverage: float

    def sections_pct(self, mc_pct: float, weighings: Sequence[float]) -> float:
        """u(M0) of the mean of some sections: how far sections differ, their balance, the oven.

        Args:
            mc_pct: The mean [%].
            weighings: Per section, its ``section_weighing_uncertainty_pct``.
        """
        count = len(weighings)
        balance_sq = sum(u * u for u in weighings) / count**2
        return sqrt(self._spread_pct(mc_pct, count) ** 2 + balance_sq + self.oven_pct**2)

    def unknown_pct(self, mc_pct: float) -> float:
        """u(M0) where nothing tells how the MC was found: an oven-dry weight that was typed."""
        assumed = self.assumed_dry_pct if mc_pct < self.dry_below_pct else self.assumed_green_pct
        return sqrt(assumed**2 + self.oven_pct**2)

    def _spread_pct(self, mc_pct: float, count: int) -> float:
        green = self.assumed_green_pct if self.green_pct is None else self.green_pct / sqrt(count)
        if mc_pct >= self.dry_below_pct:
            return green
        # Dry sections differ no more than green ones of the same wood: what those show caps the assumption.
        return min(self.assumed_dry_pct, green) if self.dry_pct is None else self.dry_pct / sqrt(count)

    def expanded_pct(self, mc_pct: float, basis_relative_sq: float, weight_relative_sq: float) -> float:
        """Expanded uncertainty of an MC [points].

        Args:
            mc_pct: The MC [%].
            basis_relative_sq: (u(OD) / OD)^2 of the oven-dry weight it rests on.
            weight_relative_sq: (u(W) / W)^2 of the net weight now.
        """
        return self.coverage * (100 + mc_pct) * sqrt(basis_relative_sq + weight_relative_sq)


def budget_of(boards: Iterable[Sequence[float]], reference: Reference) -> Budget:
    """Pool the accepted sections' MC [%] of every board: s^2 = sum of squared deviations / sum of (n - 1).

    For pairs this is the sum of (a - b)^2 over twice the number of pairs.
    """
    dry_below_pct = reference.limit("section_u_dry_below_mc_pct")
    squares = {True: 0.0, False: 0.0}
    freedom = {True: 0, False: 0}
    for sections in boards:
        if len(sections) < 2:
            continue
        mean = sum(sections) / len(sections)
        is_dry = mean < dry_below_pct
        squares[is_dry] += sum((mc - mean) ** 2 for mc in sections)
        freedom[is_dry] += len(sections) - 1
    return Budget(
        green_pct=sqrt(squares[False] / freedom[False]) if freedom[False] else None,
        dry_pct=sqrt(squares[True] / freedom[True]) if freedom[True] else None,
        assumed_green_pct=reference.limit("section_u_green_mc_pct"),
        assumed_dry_pct=reference.limit("section_u_dry_mc_pct"),
        dry_below_pct=dry_below_pct,
        oven_pct=reference.limit("oven_method_u_mc_pct"),
        coverage=reference.limit("coverage_factor"),
    )
