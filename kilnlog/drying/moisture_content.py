"""Moisture content from weights, and weights from moisture content.

Moisture content (MC) is in percent of the oven-dry weight throughout; the wet basis of the fuel trade
appears only in the two conversions that name it. Weights may be in any one unit, since it cancels; the names
say grams because the record keeps grams. Nothing is rounded: rounding half-way spoils the end of the chain.

Source of the relations: University of Kentucky Extension FOR-128 (2017), p. 27; Wengert, Principles and
Practices of Drying Lumber, pp. 35 and 59; the others are their algebra.
"""

from __future__ import annotations

from collections.abc import Sequence

HOURS_PER_DAY = 24


def moisture_content_pct(weight_g: float, oven_dry_weight_g: float) -> float:
    """Moisture content, oven-dry basis: MC = 100 x (weight / oven-dry weight - 1).

    Args:
        weight_g: Weight of the piece now [g].
        oven_dry_weight_g: Weight once all water is driven off [g], above 0.
    Returns:
        Moisture content [% of oven-dry weight]; green wood may exceed 100.
    Source:
        University of Kentucky Extension FOR-128 (2017), p. 27, eq. 4.

    >>> moisture_content_pct(30, 20)
    50.0
    """
    return 100 * (weight_g - oven_dry_weight_g) / oven_dry_weight_g


def mean_mc_pct(mc_pct: Sequence[float]) -> float:
    """Mean moisture content of a board's sections, each counting alike; pooling their weights gives another.

    Source: Wengert, Principles and Practices of Drying Lumber, p. 35.
    """
    return sum(mc_pct) / len(mc_pct)


def oven_dry_weight_g(weight_g: float, mc_pct: float) -> float:
    """Calculated oven-dry weight: OD = 100 x weight / (100 + MC), both of the same moment [g].

    Source: Wengert, Principles and Practices of Drying Lumber, p. 35.
    """
    return 100 * weight_g / (100 + mc_pct)


def weight_at_mc_g(oven_dry_weight_g: float, mc_pct: float) -> float:
    """What the piece weighs at a moisture content: OD x (100 + MC) / 100 [g]."""
    return oven_dry_weight_g * (100 + mc_pct) / 100


def water_to_lose_g(oven_dry_weight_g: float, mc_pct: float, target_mc_pct: float) -> float:
    """Water between two moisture contents: OD x (MC - target) / 100 [g]; below 0 past the target."""
    return oven_dry_weight_g * (mc_pct - target_mc_pct) / 100


def mc_per_weight_pct(weight_g: float, oven_dry_weight_g: float) -> float:
    """What a small weight is worth in points of MC: 100 x weight / OD. A scale's division, say."""
    return 100 * weight_g / oven_dry_weight_g


def rate_pct_per_day(mc_earlier_pct: float, mc_later_pct: float, hours: float) -> float:
    """Points of MC lost per day over true elapsed time [h], above 0; a loss is positive.

    Source: Wengert, Principles and Practices of Drying Lumber, p. 59 (the rate as loss per day).
    """
    return HOURS_PER_DAY * (mc_earlier_pct - mc_later_pct) / hours


def days_at_constant_rate(mc_pct: float, target_mc_pct: float, rate_pct_per_day: float) -> float:
    """Days from one MC to another at an unchanging rate [points/day], above 0.

    Real drying slows as it goes; this is arithmetic, not a forecast.
    """
    return (mc_pct - target_mc_pct) / rate_pct_per_day


def whole_mc_pct(parts: Sequence[tuple[float, float]]) -> float:
    """MC of a whole from its parts (shell and core): sum(OD x MC) / sum(OD).

    Args:
        parts: For each part its oven-dry weight (or share of it) and its MC [%].
    """
    return sum(dry * mc for dry, mc in parts) / sum(dry for dry, _ in parts)


def mass_loss_pct(mc_earlier_pct: float, mc_later_pct: float) -> float:
    """Share of its weight that a piece loses between two moisture contents [% of the earlier weight].

    Points of MC and percent of weight are different things: from 100 to 0 % MC is half the weight.
    """
    return 100 * (mc_earlier_pct - mc_later_pct) / (100 + mc_earlier_pct)


def wet_basis_pct(mc_pct: float) -> float:
    """The same water as percent of the weight with it: 100 x MC / (100 + MC)."""
    return 100 * mc_pct / (100 + mc_pct)


def mc_from_wet_basis_pct(wet_basis_mc_pct: float) -> float:
    """The same water as percent of the oven-dry weight: 100 x w / (100 - w), for w below 100."""
    return 100 * wet_basis_mc_pct / (100 - wet_basis_mc_pct)
