"""Seeded slips: a true weight as a tired hand would have typed it."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise

import numpy as np

from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit
from tests.drying.simulated_kiln import typed

#: Decimals a scale shows in each unit.
DECIMALS = {WeightUnit.G: 0, WeightUnit.KG: 3, WeightUnit.LB: 2, WeightUnit.OZ: 1}


def turned(rng: np.random.Generator, text: str) -> str | None:
    """Two neighbouring digits the other way round."""
    places = [place for place, sign in enumerate(text) if sign.isdigit()]
    pairs = [(left, right) for left, right in pairwise(places) if text[left] != text[right]]
    if not pairs:
        return None
    left, right = pairs[rng.integers(len(pairs))]
    signs = list(text)
    signs[left], signs[right] = signs[right], signs[left]
    return "".join(signs)


def one_wrong(rng: np.random.Generator, text: str) -> str:
    """One digit another, any other being as likely."""
    place = _digit(rng, text)
    other = rng.choice([digit for digit in "0123456789" if digit != text[place]])
    return text[:place] + str(other) + text[place + 1 :]


def missing(rng: np.random.Generator, text: str) -> str:
    """One digit not struck."""
    place = _digit(rng, text)
    return (text[:place] + text[place + 1 :]).lstrip(".").rstrip(".")


def doubled(rng: np.random.Generator, text: str) -> str:
    """One digit struck twice."""
    place = _digit(rng, text)
    return text[:place] + text[place] + text[place:]


def decimal(rng: np.random.Generator, text: str) -> str:
    """The decimal mark one or two places off, or forgotten; a whole number gets one, or a nought too many."""
    digits = text.replace(".", "")
    fraction = len(text.partition(".")[2])
    places = [
        right for right in (fraction - 2, fraction - 1, fraction + 1, fraction + 2) if right < len(digits)
    ]
    right = places[rng.integers(len(places))]
    if right < 0:
        return digits + "0" * -right
    return digits if right == 0 else f"{digits[:-right]}.{digits[-right:]}"


def other_unit(rng: np.random.Generator, weight: Weight) -> Weight:
    """The scale was switched to another unit; its number was typed as if nothing had happened."""
    units = [unit for unit in DECIMALS if unit is not weight.unit]
    unit = units[rng.integers(len(units))]
    shown = round(weight.grams / GRAMS_PER_UNIT[unit], DECIMALS[unit])
    return typed(str(shown), weight.unit)


def _digit(rng: np.random.Generator, text: str) -> int:
    places = [place for place, sign in enumerate(text) if sign.isdigit()]
    return int(places[rng.integers(len(places))])


TEXT_SLIPS: dict[str, Callable[[np.random.Generator, str], str | None]] = {
    "digits turned": turned,
    "one digit wrong": one_wrong,
    "digit missing": missing,
    "digit doubled": doubled,
    "decimal": decimal,
}


def slipped(rng: np.random.Generator, kind: str, weight: Weight) -> Weight | None:
    """``weight`` with a slip of that kind; None where it has none to offer or nothing is left of it."""
    if kind == "unit":
        wrong: Weight | None = other_unit(rng, weight)
    else:
        text = TEXT_SLIPS[kind](rng, weight.text)
        wrong = typed(text, weight.unit) if text else None
    return wrong if wrong is not None and wrong.grams > Decimal(0) else None
