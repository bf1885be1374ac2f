"""Typed numbers: read exactly, asked about, or refused with the reason."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from kilnlog.records.errors import AmbiguousNumber, KilnlogError, UnreadableNumber
from kilnlog.records.typed_number import MOST_DIGITS, number_from_text

NO_BREAK, THIN, NARROW = "\u00a0", "\u2009", "\u202f"

READ = [
    ("1842.50", ".", "1842.50"),
    ("1,842.50", ".", "1842.50"),
    ("1.842,50", ",", "1842.50"),
    ("1842,50", ",", "1842.50"),
    ("2.989", ".", "2.989"),
    ("2,989", ",", "2.989"),
    ("1,842,500", ".", "1842500"),
    ("1.842.500", ",", "1842500"),
    ("1 842.5", ".", "1842.5"),
    (f"1{NO_BREAK}842,5", ",", "1842.5"),
    (f"1{THIN}842.5", ".", "1842.5"),
    (f"12{NARROW}345{NARROW}678", ".", "12345678"),
    (".5", ".", "0.5"),
    ("5.", ".", "5"),
    ("007", ".", "7"),
    ("0", ".", "0"),
    (" 12 \t", ".", "12"),
]


@pytest.mark.parametrize(("text", "mark", "value"), READ)
def test_reads(text: str, mark: str, value: str) -> None:
    read = number_from_text(text, decimal_mark=mark)
    assert read == Decimal(value)
    assert (
        read.as_tuple().exponent == Decimal(value).as_tuple().exponent
    )  # how finely it was read stays known


@pytest.mark.parametrize(
    ("text", "mark", "readings"),
    [
        ("2,989", ".", ("2989", "2.989")),
        ("2.989", ",", ("2989", "2.989")),
        ("12,000", ".", ("12000", "12.000")),
        ("999.999", ",", ("999999", "999.999")),
    ],
)
def test_asks_where_it_could_be_either(text: str, mark: str, readings: tuple[str, ...]) -> None:
    with pytest.raises(AmbiguousNumber) as asked:
        number_from_text(text, decimal_mark=mark)
    assert asked.value.values == {"typed": text, "readings": readings}


REFUSED = [
    ("", "blank"),
    ("  \t", "blank"),
    (NO_BREAK, "blank"),
    ("1" * (MOST_DIGITS + 1), "long"),
    ("0." + "0" * MOST_DIGITS, "long"),
    ("1" + " " * 60 + "1", "long"),
    ("１２", "foreign-digits"),
    ("١٢", "foreign-digits"),
    ("12²", "foreign-digits"),
    ("1½", "foreign-digits"),
    ("NaN", "not-a-number"),
    ("-nan", "not-a-number"),
    ("inf", "infinite"),
    ("-Infinity", "infinite"),
    ("∞", "infinite"),
    ("1_000", "underscore"),
    ("1e3", "exponent"),
    ("1.5E-3", "exponent"),
    ("-5", "negative"),
    ("\u22125", "negative"),
    ("-0", "negative"),
    ("+5", "plus"),
    ("0x10", "characters"),
    ("5-", "characters"),
    ("10-13.6", "characters"),
    ("12 g", "characters"),
    ("1'000", "characters"),
    ("=1+1", "characters"),
    ("5\u200b0", "characters"),
    ("1\n2", "characters"),
    (".", "no-digits"),
    (",.", "no-digits"),
    ("12,34,567", "grouping"),
    ("1.842.500", "grouping"),
    ("1,842,50", "grouping"),
    ("10 13.6", "grouping"),
    ("1 842,500.5", "grouping"),
    (f"1 842{THIN}500", "grouping"),
    ("1  842", "grouping"),
    ("0,842.5", "grouping"),
    ("0 842", "grouping"),
    ("1.234 567", "grouping"),
    ("2,98", "other-mark"),
    ("2,9890", "other-mark"),
    ("0,250", "other-mark"),
    (",250", "other-mark"),
    ("1842,500", "other-mark"),
    ("1.842,50", "other-mark"),
    ("1 842,500", "other-mark"),
    ("5,", "other-mark"),
]


@pytest.mark.parametrize(("text", "why"), REFUSED)
def test_refuses_and_says_why(text: str, why: str) -> None:
    with pytest.raises(UnreadableNumber) as refused:
        number_from_text(text)
    assert refused.value.values["why"] == why


def test_a_field_that_goes_below_zero_takes_a_minus() -> None:
    assert number_from_text("-5.5", negative=True) == Decimal("-5.5")
    assert number_from_text("\u22125,5", decimal_mark=",", negative=True) == Decimal("-5.5")
    with pytest.raises(AmbiguousNumber) as asked:
        number_from_text("-2,989", negative=True)
    assert asked.value.values["readings"] == ("-2989", "-2.989")
    with pytest.raises(UnreadableNumber):
        number_from_text("--5", negative=True)


# The two habits of writing a number, a second time and independently: one pattern each.
HABITS = {
    mark: re.compile(
        rf"(?:[0-9]+|[1-9][0-9]{{0,2}}(?:(?P<group>[{re.escape(other)} \u00a0\u2009\u202f\u2007])[0-9]{{3}})"
        rf"(?:(?P=group)[0-9]{{3}})*)?(?:{re.escape(mark)}[0-9]*)?"
    )
    for mark, other in ((".", ","), (",", "."))
}


def value_by_habit(text: str, mark: str) -> Fraction | None:
    if not re.search("[0-9]", text) or not HABITS[mark].fullmatch(text):
        return None
    whole, _, decimals = text.partition(mark)
    digits = re.sub("[^0-9]", "", whole + decimals)
    return Fraction(int(digits), 10 ** len(decimals))


def test_the_second_writing_of_the_habits_knows_its_own() -> None:
    for text, mark, value in READ:
        assert value_by_habit(text.strip(), mark) == Fraction(value)


typable = st.text(alphabet="0123456789" * 3 + ".,.,  \u00a0\u2009\u202f-−+_eEnaif%１½gl'", max_size=18)
numberlike = st.text(alphabet="0000123456789" + ".,.,, \u202f", min_size=1, max_size=14)


@given(typable | numberlike | st.text(max_size=45), st.sampled_from(".,"))
@example("2,989", ".")
@example("1.842,50", ".")
@example("1\u00a0842\u2009500", ".")
def test_never_accepts_garbage_and_never_guesses(text: str, mark: str) -> None:
    """Whatever is typed: read only where this habit reads it and the other does not read it otherwise."""
    other = "," if mark == "." else "."
    here, elsewhere = value_by_habit(text.strip(), mark), value_by_habit(text.strip(), other)
    try:
        read = number_from_text(text, decimal_mark=mark)
    except AmbiguousNumber as asked:
        readings = asked.values["readings"]
        assert isinstance(readings, tuple)
        assert [Fraction(reading) for reading in readings] == [here, elsewhere]
        assert here != elsewhere
    except UnreadableNumber as refused:
        too_long = refused.values["why"] == "long"
        assert here is None or (too_long and sum(map(str.isdigit, text)) > MOST_DIGITS)
    else:
        assert Fraction(read) == here
        if other in text:
            assert elsewhere is None or elsewhere == here


plain = st.decimals(min_value=0, max_value=10**9, places=3, allow_nan=False) | st.integers(0, 10**12).map(
    Decimal
)


@given(
    plain, st.sampled_from(".,"), st.sampled_from(["", ",", " ", NO_BREAK, THIN, NARROW]), st.integers(0, 6)
)
def test_round_trip_of_every_way_of_writing(value: Decimal, mark: str, group: str, places: int) -> None:
    """Written with its decimals under either habit, grouped or not, a number comes back exactly."""
    value = value.quantize(Decimal(1).scaleb(-places)) if value < 10**8 else value
    assume(len(value.as_tuple().digits) <= MOST_DIGITS)
    other = "." if mark == "," else ","
    separator = other if group == "," else group
    whole, _, decimals = f"{value:,f}".partition(".")
    text = whole.replace(",", separator) + (mark + decimals if decimals else "")
    could_be_either = separator == other and not decimals and whole.count(",") == 1
    if could_be_either:
        with pytest.raises(AmbiguousNumber):
            number_from_text(text, decimal_mark=mark)
    else:
        read = number_from_text(text, decimal_mark=mark)
        assert (read, read.as_tuple().exponent) == (value, value.as_tuple().exponent)


@given(numberlike)
def test_the_two_habits_mirror_one_another(text: str) -> None:
    mirrored = text.translate(str.maketrans(".,", ",."))
    assert outcome(text, ".") == outcome(mirrored, ",")


def outcome(text: str, mark: str) -> object:
    try:
        return number_from_text(text, decimal_mark=mark)
    except KilnlogError as error:
        return error.code, error.values.get("why"), error.values.get("readings")
