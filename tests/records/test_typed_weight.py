"""Typed weights: exact grams, the text kept to the letter, a unit in the text before that of the field."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text, weight_text
from kilnlog.records.weight import Weight, WeightUnit

# The international pound of 1959 is 0.45359237 kg; an ounce is a sixteenth of it.
GRAMS = {
    "g": Fraction(1),
    "kg": Fraction(1000),
    "lb": Fraction("453.59237"),
    "oz": Fraction("453.59237") / 16,
}
SINGLE = [WeightUnit.G, WeightUnit.KG, WeightUnit.LB, WeightUnit.OZ]


@pytest.mark.parametrize(
    ("text", "field", "unit", "grams", "step"),
    [
        ("1842.50", "g", "g", "1842.50", "0.01"),
        ("1842", "g", "g", "1842", "1"),
        ("1.8425", "kg", "kg", "1842.5", "0.1"),
        ("4.46", "lb", "lb", "2023.0219702", "4.5359237"),
        ("12 g", "lb", "g", "12", "1"),
        ("12g", "lb", "g", "12", "1"),
        ("12 Grams", "lb", "g", "12", "1"),
        ("4.46 lb", "g", "lb", "2023.0219702", "4.5359237"),
        ("4.46lbs.", "g", "lb", "2023.0219702", "4.5359237"),
        ("3.5 oz", "g", "oz", "99.2233309375", "2.8349523125"),
        ("10 lb 13.6 oz", "g", "lb oz", "4921.4772145", "2.8349523125"),
        ("10lb 13.6oz", "g", "lb oz", "4921.4772145", "2.8349523125"),
        ("10lb13.6oz", "kg", "lb oz", "4921.4772145", "2.8349523125"),
        ("10 LB 13 OZ", "g", "lb oz", "4904.467500625", "28.349523125"),
        ("0 lb 1 oz", "g", "lb oz", "28.349523125", "28.349523125"),
        ("10 13.6", "lb oz", "lb oz", "4921.4772145", "2.8349523125"),
        ("1,842.50 g", "kg", "g", "1842.50", "0.01"),
        ("1,200 lb 3 oz", "g", "lb oz", "544395.892569375", "28.349523125"),  # 1.2 lb takes no ounces
    ],
)
def test_reads(text: str, field: str, unit: str, grams: str, step: str) -> None:
    weight = weight_from_text(text, WeightUnit(field))
    assert weight == Weight(text, WeightUnit(unit), Decimal(grams), Decimal(step))


def test_a_locale_with_a_mark_of_its_own_types_a_point() -> None:
    assert weight_from_text("1842.5", WeightUnit.G, decimal_mark="\u066b").grams == Decimal("1842.5")
    assert weight_text(1842.5, WeightUnit.G, 0.1, decimal_mark="\u066b") == "1842.5"


def test_decimal_comma() -> None:
    assert weight_from_text("10 lb 13,6 oz", WeightUnit.G, decimal_mark=",").grams == Decimal("4921.4772145")
    assert weight_from_text("10 13,6", WeightUnit.LB_OZ, decimal_mark=",").grams == Decimal("4921.4772145")
    assert weight_from_text("1.842,50", WeightUnit.G, decimal_mark=",").grams == Decimal("1842.5")


@pytest.mark.parametrize(
    ("text", "field", "why"),
    [
        ("0", "g", "zero"),
        ("0.00 kg", "g", "zero"),
        ("0 lb 0 oz", "g", "zero"),
        ("0", "lb oz", "zero"),
        ("-3", "g", "negative"),
        ("-3 g", "g", "negative"),
        ("-1 lb 2 oz", "g", "negative"),
        ("", "g", "blank"),
        ("nan", "g", "not-a-number"),
        ("inf", "lb oz", "infinite"),
        ("1_000 g", "g", "underscore"),
        ("1e3", "g", "exponent"),
        ("１２ g", "g", "foreign-digits"),
        ("9" * 16 + " g", "g", "long"),
        ("2,98", "g", "other-mark"),
        ("2,98 kg", "g", "other-mark"),
        ("2,989 kg", "g", "other-mark"),  # 2989 kg is no board
        ("999,999,999", "g", "heavy"),
        ("1000.01 kg", "g", "heavy"),
        ("2205 lb 0 oz", "g", "heavy"),
        ("10 lb 13,6 oz", "g", "other-mark"),
        ("10 lb 13,625 oz", "g", "other-mark"),
        ("12 st", "g", "unit"),
        ("12 K", "g", "unit"),
        ("12 \u212a", "g", "characters"),  # the Kelvin sign is no k
        ("12 \u212ag", "g", "characters"),
        ("10 lb\u017f 3 oz", "g", "characters"),  # nor the long s an s
        ("g", "g", "characters"),
        ("10.5 lb 3 oz", "g", "whole-pounds"),
        ("10 lb 16 oz", "g", "ounces"),
        ("10 lb 20,125 oz", "g", "ounces"),
        ("10 136", "lb oz", "ounces"),
        ("10 lb 13.6", "g", "characters"),
        ("10-13.6", "g", "characters"),
        ("10-13.6", "lb oz", "characters"),
        ("10 13.6", "lb", "grouping"),
        ("1 lb 2 oz 3 oz", "g", "characters"),
    ],
)
def test_refuses_and_says_why(text: str, field: str, why: str) -> None:
    with pytest.raises(UnreadableNumber) as refused:
        weight_from_text(text, WeightUnit(field))
    assert refused.value.values["why"] == why


@pytest.mark.parametrize(
    ("text", "field", "mark", "readings"),
    [
        ("2,989", "g", ".", {"2989": "2989", "2.989": "2.989"}),
        ("2.989", "g", ",", {"2989": "2989", "2.989": "2.989"}),
        ("1,000 kg", "g", ".", {"1000 kg": "1000000", "1.000 kg": "1000"}),
        ("2,125 lb", "g", ".", {"2125 lb": "963883.78625", "2.125 lb": "963.88378625"}),
        ("10", "lb oz", ".", {"10 lb": "4535.9237", "10 oz": "283.49523125"}),
        ("1,000 lb 3 oz", "g", ".", {"1000 lb 3 oz": "453677.418569375", "1.000 lb 3 oz": "538.640939375"}),
        ("1.000 lb 3,5 oz", "g", ",", {"1000 lb 3.5 oz": "453691.5933309375"}),
        (
            "2,989",
            "lb oz",
            ".",
            {"2.989 lb": None, "2989 oz": None, "2.989 oz": None},
        ),
    ],
)
def test_asks_and_each_answer_can_be_taken(
    text: str, field: str, mark: str, readings: dict[str, str | None]
) -> None:
    with pytest.raises(AmbiguousNumber) as asked:
        weight_from_text(text, WeightUnit(field), decimal_mark=mark)
    offered = asked.value.values["readings"]
    assert isinstance(offered, tuple)
    assert set(offered) >= set(readings)
    for reading, grams in readings.items():
        weight = weight_from_reading(text, reading, WeightUnit(field))
        assert weight.text == text
        assert grams is None or weight.grams == Decimal(grams)


@pytest.mark.parametrize(
    ("grams", "unit", "step_g", "text"),
    [
        (1842.5, "g", 0.01, "1842.50"),
        (1843.3, "g", 5, "1845"),
        (1843.3, "kg", 5, "1.845"),
        (1843.3, "kg", 20, "1.84"),
        (2023.0219702, "lb", 4.5359237, "4.46"),
        (2023.0219702, "lb", 1, "4.460"),
        (4921.4772145, "lb oz", 2.8349523125, "10 lb 13.6 oz"),
        (4535.0, "lb oz", 28.349523125, "10 lb 0 oz"),
        (14.2, "lb oz", 28.349523125, "0 lb 1 oz"),
        (283.5, "oz", 2.8349523125, "10.0"),
        (1842.5, "g", 100, "1800"),
    ],
)
def test_writes_to_the_step_a_scale_can_show(grams: float, unit: str, step_g: float, text: str) -> None:
    assert weight_text(grams, WeightUnit(unit), step_g) == text
    assert weight_text(grams, WeightUnit(unit), step_g, decimal_mark=",") == text.replace(".", ",")


numbers = st.integers(0, 4).flatmap(
    lambda places: st.integers(1, 10**3 * 10**places).map(lambda digits: Decimal(digits).scaleb(-places))
)


@given(numbers, st.sampled_from(SINGLE), st.booleans())
def test_exact_and_back(number: Decimal, unit: WeightUnit, written: bool) -> None:
    """No unit loses a hair: grams equal the exact fraction, and the weight written anew reads the same."""
    text = f"{number:f} {unit}" if written else f"{number:f}"
    weight = weight_from_text(text, WeightUnit.LB_OZ if written else unit)
    assert Fraction(weight.grams) == Fraction(number) * GRAMS[unit]
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)
    assert Fraction(weight.step_g) == Fraction(10) ** exponent * GRAMS[unit]
    again = weight_text(weight.grams, unit, weight.step_g)
    assert again == f"{number:f}"
    # What went through floats on its way (a file keeps the grams as a float) is written the same.
    assert weight_text(weight.g, unit, float(weight.step_g)) == again


@given(st.integers(0, 500), st.integers(0, 15999), st.integers(0, 3))
def test_pounds_and_ounces_exact_and_back(pounds: int, thousandths: int, places: int) -> None:
    ounces = (Decimal(thousandths) / 1000).quantize(Decimal(1).scaleb(-places), rounding="ROUND_DOWN")
    if not pounds and not ounces:
        return
    weight = weight_from_text(f"{pounds} lb {ounces:f} oz", WeightUnit.G)
    assert Fraction(weight.grams) == (16 * pounds + Fraction(ounces)) * GRAMS["oz"]
    assert weight_text(weight.grams, weight.unit, weight.step_g) == weight.text


@given(
    st.text(alphabet="0123456789" * 2 + ".,  \u202f-glbokzGKe\u212a'", max_size=16) | st.text(max_size=24),
    st.sampled_from(list(WeightUnit)),
    st.sampled_from(".,"),
)
def test_whatever_is_typed_is_a_weight_above_zero_or_an_operators_error(
    text: str, unit: WeightUnit, mark: str
) -> None:
    try:
        weight = weight_from_text(text, unit, decimal_mark=mark)
    except (UnreadableNumber, AmbiguousNumber):
        return
    assert weight.text == text.strip()
    assert weight.grams > 0
    assert weight.step_g > 0
    # Read again from what the parsing kept, written plainly in its own unit, it is the same weight.
    plain = weight_text(weight.grams, weight.unit, weight.step_g)
    assert weight_from_text(plain, weight.unit).grams == weight.grams
