"""Facts come back from the file as they went in."""

from __future__ import annotations

import types
import typing
from dataclasses import fields
from datetime import UTC, datetime
from decimal import Decimal
from enum import StrEnum

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlog.records.errors import KilnlogError, OutOfRange
from kilnlog.records.event import Event
from kilnlog.records.facts import TABLES
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.words import EventKind, LengthUnit, ReadingKind, TemperatureUnit, VolumeUnit
from kilnlog.store.errors import RefusedByRecord
from kilnlog.store.fact_tables import FactTable, fact_table, utc_text
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import MONDAY, ZONE, first, one_of_each, write

SINGLE_UNITS = [unit for unit in WeightUnit if unit != WeightUnit.LB_OZ]


@st.composite
def weights(draw: st.DrawFn) -> Weight:
    """Weights of up to fifteen typed digits, which is all a field takes."""
    if draw(st.booleans()):
        digits = str(draw(st.integers(1, 10**14 - 1)))
        decimals = draw(st.integers(max(0, len(digits) - 3), len(digits)))
        whole, fraction = digits[: len(digits) - decimals] or "0", digits[len(digits) - decimals :]
        return weight_from_text(f"{whole}.{fraction}".rstrip("."), draw(st.sampled_from(SINGLE_UNITS)))
    ounces, pounds = draw(st.integers(0, 1599)), draw(st.integers(1, 2000))
    return weight_from_text(f"{pounds} lb {ounces / 100:.2f} oz", WeightUnit.LB_OZ)


moments = st.builds(
    Moment,
    st.datetimes(datetime(1950, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC)),
    st.sampled_from(["Europe/Vienna", "America/Chicago", "Asia/Kathmandu", "UTC"]),
)
texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=30)
PLAIN = {
    str: texts,
    float: st.floats(allow_nan=False, allow_infinity=False, min_value=-1e14, max_value=1e14),
    int: st.integers(-(10**14), 10**14),
    bool: st.booleans(),
    Weight: weights(),
    Moment: moments,
}


def of_hint(hint: object) -> st.SearchStrategy[object]:
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        return st.one_of(*(of_hint(part) for part in typing.get_args(hint)))
    if typing.get_origin(hint) is typing.Annotated:
        return of_hint(typing.get_args(hint)[0])
    if hint is type(None):
        return st.none()
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return st.sampled_from(hint)
    return PLAIN[hint]


#: What a fact that refused what was drawn is made with: nothing that contradicts, everything that is needed.
LEFT_OUT = {"oven_dry_weight", "section_oven_dry", "wet_bulb", "temperature_rule"}
SAID = {
    "temperature_unit": TemperatureUnit.CELSIUS,
    "rh_pct": 50.0,
    "reading_pct": 8.5,
    "value": 1.5,
    "core_value": 2.5,
    "unit": "mm",
    "volume": 1204.5,
    "volume_unit": VolumeUnit.BOARD_FEET,
    "width_unit": LengthUnit.INCHES,
    "length_unit": LengthUnit.FEET,
    "note": "no saw at hand",
}


@st.composite
def entries(draw: st.DrawFn, table: str) -> Entry[object]:
    kind = TABLES[table]
    hints = typing.get_type_hints(kind, include_extras=True)
    values = {field.name: draw(of_hint(hints[field.name])) for field in fields(kind)}
    try:
        fact = kind(**values)
    except KilnlogError:  # sections or bulbs swapped, no unit, nothing read, no reason
        left_out = dict.fromkeys(LEFT_OUT & values.keys())
        said = {name: value for name, value in SAID.items() if name in values}
        if table == "final_reading":
            said["kind"] = ReadingKind.PIN_METER
        fact = kind(**values | left_out | said)
    return Entry(
        Version(
            draw(texts),
            draw(texts),
            draw(st.none() | texts),
            draw(st.sampled_from(VersionKind)),
            draw(st.none() | texts),
            draw(moments),
            draw(moments).utc,
            draw(texts),
        ),
        fact,
    )


@pytest.mark.parametrize("table", TABLES)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_an_entry_becomes_a_row_and_comes_back(table, data):
    mapping = fact_table(table)
    entry = data.draw(entries(table))
    row = mapping.row_of(entry)
    back = mapping.entry_of(tuple(row.values()))
    assert back == entry
    assert back.at.zone == entry.at.zone


@settings(max_examples=500, deadline=None)
@given(weights())
def test_grams_come_back_exactly_although_kept_as_reals(weight):
    row = fact_table("weighing").row_of(first(TABLES["weighing"](charge="c", board="b", weight=weight)))
    values = [row[f"weight_{part}"] for part in ("text", "unit", "g", "step_g")]
    assert [type(value) for value in values] == [str, str, float, float]
    back = fact_table("weighing").entry_of(tuple(row.values())).fact.weight
    assert (back.text, back.unit, back.grams, back.step_g) == (
        weight.text,
        weight.unit,
        weight.grams,
        weight.step_g,
    )
    assert isinstance(back.grams, Decimal)


def test_rows_pass_through_the_file_unaltered(book):
    rows = one_of_each()
    written = write(book, *rows.values())
    kept = book.everything()
    assert [kept[table] for table in rows] == [[entry] for entry in written]
    assert written[:-1] == list(rows.values())[:-1]  # the closing alone is filled in


def test_the_file_has_the_columns_the_mapping_names(book):
    for table in TABLES:
        named = [row[1] for row in book._connection.execute(f"PRAGMA table_info({table})")]
        assert named == ["id", *FactTable(table).columns]


def test_utc_text_sorts_as_time_does():
    times = [datetime(2026, 1, 1, 12, tzinfo=UTC).replace(microsecond=us) for us in (0, 1, 500_000)]
    assert sorted(map(utc_text, times)) == list(map(utc_text, times))
    assert utc_text(times[0]) == "2026-01-01T12:00:00.000000Z"


@pytest.mark.parametrize("text", ["South\0kiln", "half \ud83d"])
def test_text_no_file_can_keep_is_refused(book: LogbookFile, text):
    with pytest.raises(RefusedByRecord) as refused:
        write(book, first(Kiln(text)))
    assert refused.value.values == {"table": "kiln", "why": "unstorable-text"}
    assert book.everything()["kiln"] == []


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 1e300])
def test_a_number_that_is_none_is_refused(book: LogbookFile, value):
    charge = first(TABLES["charge"]("7", ZONE))
    with pytest.raises(OutOfRange) as refused:
        write(book, charge, first(Event(charge.entity, EventKind.NOTE, value=value), MONDAY))
    assert refused.value.values["column"] == "value"
    assert book.charges() == ()


def test_minus_zero_is_kept_as_zero(book: LogbookFile):
    write(book, first(Kiln("North kiln", altitude_m=-0.0)))
    assert book.verify() == ()
    assert str(book.entries("kiln")[0].fact.altitude_m) == "0.0"
