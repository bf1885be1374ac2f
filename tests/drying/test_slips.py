"""Slips of fingers and of units, worked on the text as typed."""

from decimal import Decimal

import pytest

from kilnlog.drying.slips import SlipKind, numbers_in, slips
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.weight import WeightUnit

STEP = {WeightUnit.G: Decimal(1), WeightUnit.KG: Decimal(1), WeightUnit.LB: Decimal("4.5359237")}


def undone(typed, kind, unit=WeightUnit.G, step=None):
    weight = weight_from_text(typed, unit)
    return {meant.text: meant for meant in slips(weight, step or STEP[unit], (kind,))}


@pytest.mark.parametrize(
    ("typed", "kind", "unit", "meant"),
    [
        ("3213", SlipKind.DIGITS_TURNED, WeightUnit.G, "2313"),
        ("2331", SlipKind.DIGITS_TURNED, WeightUnit.G, "2313"),
        ("4.64", SlipKind.DIGITS_TURNED, WeightUnit.LB, "4.46"),
        ("4.64", SlipKind.DIGITS_TURNED, WeightUnit.LB, "6.44"),
        ("2813", SlipKind.DIGIT_MISTYPED, WeightUnit.G, "2313"),
        ("4.40", SlipKind.DIGIT_MISTYPED, WeightUnit.LB, "4.46"),
        ("213", SlipKind.DIGIT_MISSING, WeightUnit.G, "2313"),
        ("4.6", SlipKind.DIGIT_MISSING, WeightUnit.LB, "4.46"),
        ("23133", SlipKind.DIGIT_DOUBLED, WeightUnit.G, "2313"),
        ("23173", SlipKind.DIGIT_ADDED, WeightUnit.G, "2313"),
        ("7.446", SlipKind.DIGIT_ADDED, WeightUnit.LB, "7.46"),
        ("4.446", SlipKind.DIGIT_DOUBLED, WeightUnit.LB, "4.46"),
        ("231.3", SlipKind.DECIMAL, WeightUnit.G, "2313"),
        ("23.13", SlipKind.DECIMAL, WeightUnit.G, "2313"),
        ("23130", SlipKind.DECIMAL, WeightUnit.G, "2313"),
        ("231300", SlipKind.DECIMAL, WeightUnit.G, "2313"),
        ("446", SlipKind.DECIMAL, WeightUnit.LB, "4.46"),
        ("44.6", SlipKind.DECIMAL, WeightUnit.LB, "4.46"),
        ("2.313", SlipKind.UNIT, WeightUnit.G, "2.313 kg"),
        ("5.10", SlipKind.UNIT, WeightUnit.G, "5.10 lb"),
        ("81.6", SlipKind.UNIT, WeightUnit.G, "81.6 oz"),
        ("4.46", SlipKind.UNIT, WeightUnit.KG, "4.46 lb"),
        ("10.8", SlipKind.UNIT, WeightUnit.LB, "10 lb 8 oz"),
    ],
)
def test_what_was_meant_is_among_what_a_slip_may_have_been(typed, kind, unit, meant):
    found = undone(typed, kind, unit)[meant]
    again = weight_from_text(meant, unit)
    assert (found.grams, found.step_g, found.unit) == (again.grams, again.step_g, again.unit)


def test_every_candidate_reads_as_the_grams_it_carries():
    typed = weight_from_text("4.46", WeightUnit.LB)
    kinds = tuple(SlipKind)
    found = list(slips(typed, STEP[WeightUnit.LB], kinds))
    assert len(found) > 50
    for meant in found:
        again = weight_from_text(meant.text, WeightUnit.LB)
        assert (again.grams, again.step_g) == (meant.grams, meant.step_g)


def test_a_lost_digit_is_no_misplaced_mark():
    assert undone("231", SlipKind.DECIMAL) == {}


def test_ounces_behind_the_mark_are_not_read_into_usual_decimals():
    assert "4 lb 4 oz" not in undone("4.04", SlipKind.UNIT, WeightUnit.LB)


@pytest.mark.parametrize("typed", ["10 lb 12.6 oz", "10 12.6"])
def test_pounds_and_ounces_are_turned_within_each_number(typed):
    weight = weight_from_text(typed, WeightUnit.LB_OZ)
    assert sum(number.grams for number in numbers_in(weight)) == weight.grams
    found = {meant.text: meant.grams for meant in slips(weight, weight.step_g, (SlipKind.DIGITS_TURNED,))}
    meant = typed.replace("12.6", "16.2")  # sixteen ounces are too many, but the board decides what fits
    # By definition 1 lb = 453.59237 g = 16 oz.
    assert found[meant] == Decimal("453.59237") * (10 + Decimal("16.2") / 16)


def test_decimal_comma_and_grouping_marks_are_understood():
    comma = weight_from_text("4,64", WeightUnit.LB, decimal_mark=",")
    assert "4,46" in {meant.text for meant in slips(comma, comma.step_g, (SlipKind.DIGITS_TURNED,))}
    grouped = weight_from_reading("3,213", "3213", WeightUnit.G)
    assert "2313" in {meant.text for meant in slips(grouped, Decimal(1), (SlipKind.DIGITS_TURNED,))}


def test_a_unit_in_the_text_stays_there():
    weight = weight_from_text("3213 g", WeightUnit.LB)
    assert "2313 g" in {meant.text for meant in slips(weight, Decimal(1), (SlipKind.DIGITS_TURNED,))}


def test_text_that_does_not_add_up_has_no_numbers():
    odd = weight_from_text("1234", WeightUnit.G)
    assert numbers_in(type(odd)("12 34 56", odd.unit, odd.grams, odd.step_g)) == ()
