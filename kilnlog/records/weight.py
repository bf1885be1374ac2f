"""Weights as typed: the text, the unit it was typed in, and the exact grams it stands for."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class WeightUnit(StrEnum):
    """Units a scale may read in. ``LB_OZ`` is pounds and ounces together: ``10 lb 13.6 oz``."""

    G = "g"
    KG = "kg"
    LB = "lb"
    OZ = "oz"
    LB_OZ = "lb oz"


#: Exact by definition: the international avoirdupois pound of 1959 is 0.45359237 kg.
GRAMS_PER_UNIT: dict[WeightUnit, Decimal] = {
    WeightUnit.G: Decimal(1),
    WeightUnit.KG: Decimal(1000),
    WeightUnit.LB: Decimal("453.59237"),
    WeightUnit.OZ: Decimal("28.349523125"),
}


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight as typed. Made by ``kilnlog.records.typed_weight``; equal when typed the same way.

    Attributes:
        text: What was typed, kept to the letter (``1842.50``, ``10 lb 13.6 oz``).
        unit: The unit the text was read in.
        grams: The exact value [g].
        step_g: The smallest step the text can show [g]: ``1842.50`` g says 0.01.
    """

    text: str
    unit: WeightUnit
    grams: Decimal
    step_g: Decimal

    @property
    def g(self) -> float:
        """The weight [g] for computation."""
        return float(self.grams)
