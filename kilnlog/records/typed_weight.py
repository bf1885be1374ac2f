"""A weight as an operator types it: with or without its unit, kept to the letter beside its exact grams."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Context, Decimal

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.typed_number import GROUP_BLANKS, number_from_text
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit

#: Wide enough that no product or sum of typed digits is ever rounded.
_EXACT = Context(prec=60, rounding=ROUND_HALF_EVEN)

_OUNCES_PER_POUND = 16

_UNIT_WORDS = {
    **dict.fromkeys(("g", "gram", "grams"), WeightUnit.G),
    **dict.fromkeys(("kg", "kilogram", "kilograms"), WeightUnit.KG),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), WeightUnit.LB),
    **dict.fromkeys(("oz", "ounce", "ounces"), WeightUnit.OZ),
}
# ASCII only: without it the Kelvin sign would pass for a k.
_WITH_UNIT = re.compile(r"(?P<number>[^A-Za-z]*?)\s*(?P<unit>[A-Za-z]+)\.?", re.ASCII)
_POUNDS_AND_OUNCES = re.compile(
    rf"(?P<pounds>[^A-Za-z]+?)[{GROUP_BLANKS}]*(?:lbs?|pounds?)\.?[{GROUP_BLANKS}]*"
    rf"(?P<ounces>[^A-Za-z]+?)[{GROUP_BLANKS}]*(?:oz|ounces?)\.?",
    re.ASCII | re.IGNORECASE,
)
_BARE_PAIR = re.compile(rf"(?P<pounds>\d+)[{GROUP_BLANKS}]+(?P<ounces>\d+(?:[.,]\d*)?)", re.ASCII)


def weight_from_text(text: str, unit: WeightUnit, *, decimal_mark: str = ".") -> Weight:
    """Read a typed weight exactly; its text is kept as typed, blanks around it aside.

    Args:
        text: A number, alone or with its unit: ``1842.50``, ``4.46 lb``, ``10 lb 13.6 oz``. A unit in the
            text wins over ``unit``.
        unit: The unit of a bare number. For ``lb oz`` a bare pair counts (``10 13.6``), and a bare single
            number is asked about: pounds or ounces?
        decimal_mark: ``.`` or ``,``.

    Raises:
        AmbiguousNumber: Two readings; each in ``readings`` can be handed to ``weight_from_reading``.
        UnreadableNumber: ``why`` as of ``number_from_text``, and besides

            - ``zero``: nothing on the scale;
            - ``unit``: letters that are no unit of weight;
            - ``whole-pounds``: a fraction of a pound with ounces behind it;
            - ``ounces``: sixteen ounces or more behind pounds.
    """
    typed = text.strip()
    if pair := _POUNDS_AND_OUNCES.fullmatch(typed):
        return _pounds_and_ounces(typed, pair["pounds"], pair["ounces"], decimal_mark)
    if (with_unit := _WITH_UNIT.fullmatch(typed)) and with_unit["number"]:
        if (written := _UNIT_WORDS.get(with_unit["unit"].lower())) is not None:
            return _in_one_unit(typed, with_unit["number"], written, decimal_mark, suffix=f" {written.value}")
        if any(character.isdigit() for character in with_unit["number"]):
            raise UnreadableNumber(typed=typed, why="unit")
    if unit is WeightUnit.LB_OZ:
        return _bare_pounds_and_ounces(typed, decimal_mark)
    return _in_one_unit(typed, typed, unit, decimal_mark)


def weight_from_reading(text: str, reading: str, unit: WeightUnit) -> Weight:
    """The weight by the chosen reading of those an ``AmbiguousNumber`` offered; the text stays as typed."""
    read = weight_from_text(reading, unit)
    return Weight(text=text.strip(), unit=read.unit, grams=read.grams, step_g=read.step_g)


def weight_text(
    grams: Decimal | float, unit: WeightUnit, step_g: Decimal | float, *, decimal_mark: str = "."
) -> str:
    """Write a weight plainly in ``unit``, to the step a scale can show; the caller adds the unit's name.

    Pounds and ounces carry their names: ``10 lb 13.6 oz``. Where the step is no whole number of the last
    decimal in this unit (a gram scale shown in pounds), the decimals are those that tell two steps apart.
    """
    exact, step = _decimal(grams), _decimal(step_g)
    if unit is WeightUnit.LB_OZ:
        ounces = _rounded(exact, step, GRAMS_PER_UNIT[WeightUnit.OZ])
        pounds, rest = divmod(ounces, Decimal(_OUNCES_PER_POUND))
        return f"{pounds:.0f} lb {rest:f} oz".replace(".", decimal_mark)
    return f"{_rounded(exact, step, GRAMS_PER_UNIT[unit]):f}".replace(".", decimal_mark)


def _decimal(value: Decimal | float) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))


def _rounded(grams: Decimal, step_g: Decimal, grams_per_unit: Decimal) -> Decimal:
    """The weight in the unit, to the nearest step (or to the decimals that tell two steps apart)."""
    context = Context(prec=34, rounding=ROUND_HALF_EVEN)
    value = context.divide(grams, grams_per_unit)
    # A step that went through grams and a float comes back a hair off: 0.1 oz as 0.1000000000000000002.
    step = (
        context.divide(step_g, grams_per_unit).quantize(Decimal("1e-12"), context=context).normalize(context)
    )
    decimals = max(0, -step.adjusted())
    is_whole_in_last_decimal = step == step.quantize(Decimal(1).scaleb(-decimals - 1), context=context)
    if is_whole_in_last_decimal:
        exponent = step.as_tuple().exponent
        decimals = max(0, -exponent) if isinstance(exponent, int) else decimals
        value = context.multiply(context.divide(value, step).to_integral_value(ROUND_HALF_EVEN), step)
    return value.quantize(Decimal(1).scaleb(-decimals), context=context)


def _in_one_unit(typed: str, number: str, unit: WeightUnit, decimal_mark: str, *, suffix: str = "") -> Weight:
    value = _read(typed, number, decimal_mark, lambda reading: reading + suffix)
    if value == 0:
        raise UnreadableNumber(typed=typed, why="zero")
    per_unit = GRAMS_PER_UNIT[unit]
    return Weight(
        text=typed, unit=unit, grams=_EXACT.multiply(value, per_unit), step_g=_step(value, per_unit)
    )


def _bare_pounds_and_ounces(typed: str, decimal_mark: str) -> Weight:
    if pair := _BARE_PAIR.fullmatch(typed):
        return _pounds_and_ounces(typed, pair["pounds"], pair["ounces"], decimal_mark)
    try:
        value = number_from_text(typed, decimal_mark=decimal_mark)
        if value == 0:
            raise UnreadableNumber(typed=typed, why="zero")
        readings: tuple[str, ...] = (f"{value:f}",)
    except AmbiguousNumber as error:
        readings = _readings(error)
    raise AmbiguousNumber(
        typed=typed, readings=tuple(f"{reading} {unit}" for unit in ("lb", "oz") for reading in readings)
    )


def _pounds_and_ounces(typed: str, pounds_text: str, ounces_text: str, decimal_mark: str) -> Weight:
    pounds = _read(typed, pounds_text, decimal_mark, lambda reading: f"{reading} lb {ounces_text.strip()} oz")
    if pounds != pounds.to_integral_value():
        raise UnreadableNumber(typed=typed, why="whole-pounds")
    try:
        ounces = number_from_text(ounces_text, decimal_mark=decimal_mark)
    except AmbiguousNumber as error:
        # Thousands of ounces cannot follow pounds, so only the other decimal mark is left.
        raise UnreadableNumber(typed=typed, why="other-mark") from error
    except UnreadableNumber as error:
        raise UnreadableNumber(typed=typed, why=error.values["why"]) from error
    if ounces >= _OUNCES_PER_POUND:
        raise UnreadableNumber(typed=typed, why="ounces")
    if pounds == 0 and ounces == 0:
        raise UnreadableNumber(typed=typed, why="zero")
    per_ounce = GRAMS_PER_UNIT[WeightUnit.OZ]
    grams = _EXACT.multiply(_EXACT.fma(pounds, Decimal(_OUNCES_PER_POUND), ounces), per_ounce)
    return Weight(text=typed, unit=WeightUnit.LB_OZ, grams=grams, step_g=_step(ounces, per_ounce))


def _read(typed: str, number: str, decimal_mark: str, written_out: Callable[[str], str]) -> Decimal:
    """Read a part of the text; an error names the whole text, each reading written out in full."""
    try:
        return number_from_text(number, decimal_mark=decimal_mark)
    except AmbiguousNumber as error:
        raise AmbiguousNumber(typed=typed, readings=tuple(map(written_out, _readings(error)))) from error
    except UnreadableNumber as error:
        raise UnreadableNumber(typed=typed, why=error.values["why"]) from error


def _readings(error: AmbiguousNumber) -> tuple[str, ...]:
    readings = error.values["readings"]
    assert isinstance(readings, tuple)
    return readings


def _step(value: Decimal, per_unit: Decimal) -> Decimal:
    """What one in the last place written is worth [g]."""
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    return _EXACT.multiply(Decimal(1).scaleb(min(exponent, 0)), per_unit)
