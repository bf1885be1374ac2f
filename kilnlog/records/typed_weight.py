"""A weight as an operator types it: with or without its unit, kept to the letter beside its exact grams."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Context, Decimal

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.typed_number import GROUP_BLANKS, marks, number_from_text
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit

#: Wide enough that no product or sum of typed digits is ever rounded.
_EXACT = Context(prec=60, rounding=ROUND_HALF_EVEN)

_OUNCES_PER_POUND = 16

#: A tonne: no sample board weighs that, so beyond it the unit or a digit was mistaken.
HEAVIEST_G = 1_000_000

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
            - ``heavy``: above a tonne;
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
    mark, _ = marks(decimal_mark)
    if unit is WeightUnit.LB_OZ:
        ounces = _rounded(exact, step, GRAMS_PER_UNIT[WeightUnit.OZ])
        pounds, rest = divmod(ounces, Decimal(_OUNCES_PER_POUND))
        return f"{pounds:.0f} lb {rest:f} oz".replace(".", mark)
    return f"{_rounded(exact, step, GRAMS_PER_UNIT[unit]):f}".replace(".", mark)


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
    value = _read(typed, number, unit, decimal_mark, "{reading}" + suffix)
    per_unit = GRAMS_PER_UNIT[unit]
    return _weight(typed, unit, _EXACT.multiply(value, per_unit), _step(value, per_unit))


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
    # The ounces first, alone: what they may be does not hang on the pounds, but the readings name both.
    ounces = _read(typed, ounces_text, WeightUnit.LB_OZ, decimal_mark, "0 lb {reading} oz")
    pounds = _read(typed, pounds_text, WeightUnit.LB_OZ, decimal_mark, f"{{reading}} lb {ounces:f} oz")
    if pounds != pounds.to_integral_value():
        raise UnreadableNumber(typed=typed, why="whole-pounds")
    if ounces >= _OUNCES_PER_POUND:
        raise UnreadableNumber(typed=typed, why="ounces")
    per_ounce = GRAMS_PER_UNIT[WeightUnit.OZ]
    grams = _EXACT.multiply(_EXACT.fma(pounds, Decimal(_OUNCES_PER_POUND), ounces), per_ounce)
    return _weight(typed, WeightUnit.LB_OZ, grams, _step(ounces, per_ounce))


def _weight(typed: str, unit: WeightUnit, grams: Decimal, step_g: Decimal) -> Weight:
    if grams == 0:
        raise UnreadableNumber(typed=typed, why="zero")
    if grams > HEAVIEST_G:
        raise UnreadableNumber(typed=typed, why="heavy")
    return Weight(text=typed, unit=unit, grams=grams, step_g=step_g)


def _read(typed: str, number: str, unit: WeightUnit, decimal_mark: str, written_out: str) -> Decimal:
    """Read a part of the text. An error names the whole text, its readings as ``written_out`` says.

    A reading that is no weight (thousands of kilograms, a fraction of a pound before ounces) is not offered.
    """
    try:
        return number_from_text(number, decimal_mark=decimal_mark)
    except AmbiguousNumber as error:
        here, elsewhere = _readings(error)
        here_written, elsewhere_written = (written_out.format(reading=part) for part in (here, elsewhere))
        refused_here = _refusal(here_written, unit)
        refused_elsewhere = _refusal(elsewhere_written, unit)
        if refused_here is None and refused_elsewhere is None:
            raise AmbiguousNumber(typed=typed, readings=(here_written, elsewhere_written)) from error
        if refused_here is None:
            return Decimal(here)
        why = "other-mark" if refused_elsewhere is None else refused_here
        raise UnreadableNumber(typed=typed, why=why, mark=marks(decimal_mark)[0]) from error
    except UnreadableNumber as error:
        raise UnreadableNumber(typed=typed, why=error.values["why"], mark=marks(decimal_mark)[0]) from error


def _refusal(reading: str, unit: WeightUnit) -> object:
    """Why a reading is no weight; None where it is one."""
    try:
        weight_from_text(reading, unit)
    except UnreadableNumber as error:
        return error.values["why"]
    return None


def _readings(error: AmbiguousNumber) -> tuple[str, ...]:
    readings = error.values["readings"]
    assert isinstance(readings, tuple)
    return readings


def _step(value: Decimal, per_unit: Decimal) -> Decimal:
    """What one in the last place written is worth [g]."""
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    return _EXACT.multiply(Decimal(1).scaleb(exponent), per_unit)
