"""What a typed weight may have been meant as: the slips of fingers and of units, worked on the text itself.

A slip is only a possibility. Whether what it yields fits the board is judged elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit

_NUMBER = re.compile(r"[0-9]+(?:[.,'’\u00a0\u202f ][0-9]+)*")
_OF_A_PAIR = re.compile(r"[0-9]+(?:[.,][0-9]+)?")  # a blank parts the two numbers of pounds and ounces
_OUNCES_PER_POUND = 16


class SlipKind(StrEnum):
    """What went wrong between the scale and the record; also the code of the doubt that names it."""

    UNIT = "unit-slip"
    DECIMAL = "decimal-slip"
    DIGITS_TURNED = "digits-turned"
    DIGIT_MISTYPED = "digit-mistyped"
    DIGIT_MISSING = "digit-missing"
    DIGIT_DOUBLED = "digit-doubled"
    DIGIT_ADDED = "digit-added"
    BOARDS_SWAPPED = "boards-swapped"


@dataclass(frozen=True, slots=True)
class Number:
    """One number within a typed weight."""

    start: int  # where it stands in the text
    end: int
    whole: str  # digits before the decimal mark
    mark: str  # the decimal mark as typed, or "" where there is none
    fraction: str  # digits after it
    unit_g: Decimal  # what one of it weighs [g]

    @property
    def grams(self) -> Decimal:
        """The weight it stands for [g]."""
        return Decimal(f"{self.whole or '0'}.{self.fraction or '0'}") * self.unit_g


def slips(weight: Weight, usual_step_g: Decimal, kinds: tuple[SlipKind, ...]) -> Iterator[Weight]:
    """Every weight that ``weight`` may have been meant as, had a slip of one of ``kinds`` been made.

    Args:
        weight: The weight as typed.
        usual_step_g: The step that weights of this board usually show [g].
        kinds: The kinds of slip to undo; ``BOARDS_SWAPPED`` yields nothing, it is not a matter of text.
    """
    numbers = numbers_in(weight)
    for kind in kinds:
        if kind is SlipKind.UNIT:
            yield from _other_units(weight, numbers, usual_step_g)
        elif kind is SlipKind.DECIMAL:
            yield from _moved_marks(weight, numbers, usual_step_g)
        elif kind in _UNDONE:
            for number in numbers:
                for whole, fraction in _UNDONE[kind](number.whole, number.fraction):
                    yield _with(weight, number, whole, fraction)


def numbers_in(weight: Weight) -> tuple[Number, ...]:
    """The numbers of the typed text, read so that they add up to its grams; empty where they do not."""
    if weight.unit is WeightUnit.LB_OZ:
        spans = list(_OF_A_PAIR.finditer(weight.text))
        units = [GRAMS_PER_UNIT[WeightUnit.LB], GRAMS_PER_UNIT[WeightUnit.OZ]]
    else:
        spans = list(_NUMBER.finditer(weight.text))
        units = [GRAMS_PER_UNIT[weight.unit]]
    if len(spans) != len(units):
        return ()
    left_g = weight.grams
    numbers = []
    # Only the last number of a text has decimals, so it is the one whose marks need the sum to be read by.
    for span, unit_g in zip(spans, units, strict=True):
        readings = _readings(span, unit_g)
        if span is not spans[-1]:
            readings = readings[-1:]
        for number in readings:
            if span is not spans[-1] or number.grams == left_g:
                left_g -= number.grams
                numbers.append(number)
                break
    return tuple(numbers) if left_g == 0 else ()


def _readings(span: re.Match[str], unit_g: Decimal) -> list[Number]:
    """The last mark is the decimal mark, or every mark groups digits."""
    text = span.group()
    readings = []
    marks = [place for place, sign in enumerate(text) if not sign.isdigit()]
    if marks:
        cut = marks[-1]
        whole, fraction = _digits(text[:cut]), text[cut + 1 :]
        readings.append(Number(span.start(), span.end(), whole, text[cut], fraction, unit_g))
    readings.append(Number(span.start(), span.end(), _digits(text), "", "", unit_g))
    return readings


def _digits(text: str) -> str:
    return "".join(sign for sign in text if sign.isdigit())


def _with(weight: Weight, number: Number, whole: str, fraction: str) -> Weight:
    """The weight with one of its numbers typed otherwise."""
    typed = whole or "0"
    if fraction:
        typed += (number.mark or ".") + fraction
    value_g = Decimal(f"{whole or '0'}.{fraction or '0'}") * number.unit_g
    step_g = weight.step_g.scaleb(len(number.fraction) - len(fraction))
    text = weight.text[: number.start] + typed + weight.text[number.end :]
    return Weight(text, weight.unit, weight.grams - number.grams + value_g, step_g)


def _turned(whole: str, fraction: str) -> Iterator[tuple[str, str]]:
    """Two neighbouring digits the other way round."""
    digits, cut = whole + fraction, len(whole)
    for place, (left, right) in enumerate(pairwise(digits)):
        if left != right:
            meant = digits[:place] + right + left + digits[place + 2 :]
            yield meant[:cut], meant[cut:]


def _mistyped(whole: str, fraction: str) -> Iterator[tuple[str, str]]:
    """One digit another."""
    digits, cut = whole + fraction, len(whole)
    for place, typed in enumerate(digits):
        for other in "0123456789":
            if other != typed:
                meant = digits[:place] + other + digits[place + 1 :]
                yield meant[:cut], meant[cut:]


def _missing(whole: str, fraction: str) -> Iterator[tuple[str, str]]:
    """One digit left out."""
    seen = set()
    for digit in "0123456789":
        for place in range(len(whole) + 1):
            seen.add((whole[:place] + digit + whole[place:], fraction))
        for place in range(len(fraction) + 1 if fraction else 0):
            seen.add((whole, fraction[:place] + digit + fraction[place:]))
    yield from sorted(seen)


def _doubled(whole: str, fraction: str) -> Iterator[tuple[str, str]]:
    """One digit struck twice."""
    for place, (left, right) in enumerate(pairwise(whole)):
        if left == right:
            yield whole[:place] + whole[place + 1 :], fraction
    for place, (left, right) in enumerate(pairwise(fraction)):
        if left == right:
            yield whole, fraction[:place] + fraction[place + 1 :]


def _added(whole: str, fraction: str) -> Iterator[tuple[str, str]]:
    """One digit too many."""
    seen = {(whole[:place] + whole[place + 1 :], fraction) for place in range(len(whole))}
    seen |= {(whole, fraction[:place] + fraction[place + 1 :]) for place in range(len(fraction))}
    yield from sorted(seen)


_UNDONE = {
    SlipKind.DIGITS_TURNED: _turned,
    SlipKind.DIGIT_MISTYPED: _mistyped,
    SlipKind.DIGIT_MISSING: _missing,
    SlipKind.DIGIT_DOUBLED: _doubled,
    SlipKind.DIGIT_ADDED: _added,
}


def _moved_marks(weight: Weight, numbers: tuple[Number, ...], usual_step_g: Decimal) -> Iterator[Weight]:
    """The decimal mark one or two places off, the digits all there: the step tells that from a lost digit."""
    if len(numbers) != 1:
        return
    number = numbers[0]
    digits = number.whole + number.fraction
    for places in (-2, -1, 1, 2):  # how far the mark goes to the right
        cut = len(number.whole) + places
        padded = "0" * max(1 - cut, 0) + digits
        cut = max(cut, 1)
        if cut > len(padded):
            continue
        whole, fraction = padded[:cut], padded[cut:]
        kept = fraction.rstrip("0") if weight.step_g.scaleb(places) < usual_step_g else fraction
        meant = _with(weight, number, whole.lstrip("0"), kept)
        if meant.step_g >= usual_step_g:
            yield meant


def _other_units(weight: Weight, numbers: tuple[Number, ...], usual_step_g: Decimal) -> Iterator[Weight]:
    """The same number in another unit."""
    if len(numbers) != 1:
        return
    number = numbers[0]
    typed = number.whole + (number.mark + number.fraction if number.fraction else "")
    value = Decimal(f"{number.whole or '0'}.{number.fraction or '0'}")
    for unit, unit_g in GRAMS_PER_UNIT.items():
        if unit_g != number.unit_g:
            step_g = unit_g.scaleb(-len(number.fraction))
            yield Weight(f"{typed} {unit.value}", unit, value * unit_g, step_g)
    # Ounces behind the decimal mark look like any other decimals unless the board shows another step.
    ounces = int(number.fraction or _OUNCES_PER_POUND)
    as_usual = weight.step_g == usual_step_g
    if ounces < _OUNCES_PER_POUND and number.unit_g == GRAMS_PER_UNIT[WeightUnit.LB] and not as_usual:
        ounce_g = GRAMS_PER_UNIT[WeightUnit.OZ]
        grams = int(number.whole or 0) * number.unit_g + ounces * ounce_g
        yield Weight(f"{number.whole or '0'} lb {ounces} oz", WeightUnit.LB_OZ, grams, ounce_g)
