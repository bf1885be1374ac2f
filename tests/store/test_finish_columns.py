"""What the file itself asks of the rows about a finished charge, by plain SQL, past the facts' own checks."""

from __future__ import annotations

import sqlite3

import pytest

from kilnlog.records.later_note import LaterNote
from kilnlog.records.version import VersionKind
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.migrations import FINGERPRINTS, SCHEMA
from tests.store.make_past import PAST
from tests.store.mill import MONDAY, first, logged, raw_insert, successor, write
from tests.store.test_past import HEADS

KILN_DRIED = {"kind": "oven-dry", "reading_pct": None}
WEIGHTS = {
    f"{name}_{part}": value
    for name, text in (("wet_weight", "54.2"), ("oven_dry_weight", "50.1"))
    for part, value in (("text", text), ("unit", "g"), ("g", float(text)), ("step_g", 0.1))
}
SIZED = {
    "thickness": "4/4",
    "width": 6.0,
    "width_unit": "in",
    "length": 8.0,
    "length_unit": "ft",
    "pieces": 2,
}
NO_TOTAL = {"volume": None, "volume_unit": None}

#: (table, what is altered so that it still stands, what then makes it fall, the constraint that says so)
ASKED = [
    ("final_reading", {}, {"reading_pct": None}, "reading_pct: filled"),
    ("final_reading", KILN_DRIED | WEIGHTS, {"wet_weight_g": None}, "wet_weight: "),
    ("final_reading", KILN_DRIED | WEIGHTS, dict.fromkeys(WEIGHTS), "wet_weight: filled"),
    ("final_reading", WEIGHTS, {"oven_dry_weight_g": 54.3}, "oven_dry_weight: not above wet_weight"),
    (
        "final_reading",
        {"wood_temperature": 60.0, "temperature_unit": "F"},
        {"temperature_unit": None},
        "temperature_unit: filled",
    ),
    (
        "final_reading",
        {"calibration_temperature": 70.0, "temperature_unit": "F"},
        {"temperature_unit": None},
        "temperature_unit: filled",
    ),
    (
        "final_reading",
        {"temperature_rule": "equation", "wood_temperature": 60.0, "temperature_unit": "F"},
        {"wood_temperature": None},
        "wood_temperature: filled",
    ),
    (
        "final_reading",
        {"temperature_rule": "typed", "temperature_correction_pct": 0.5},
        {"temperature_correction_pct": None},
        "temperature_correction_pct: filled",
    ),
    ("stress_test", {"value": 0.1, "unit": "in", "found": None}, {"value": None}, "value: filled"),
    ("stress_test", {"value": 0.1, "unit": "in"}, {"unit": None}, "unit: filled"),
    (
        "stress_test",
        {"kind": "shell and core", "value": 7.0, "core_value": 8.0, "unit": "%"},
        {"core_value": None},
        "core_value: filled",
    ),
    (
        "stress_test",
        {"kind": "shell and core", "value": 7.0, "core_value": 8.0, "unit": "%"},
        {"value": None},
        "value: filled",
    ),
    ("defect", {"volume": 1.5, "volume_unit": "m3"}, {"volume_unit": None}, "volume_unit: filled"),
    ("defect", {"kind": "other", "note": "fork holes"}, {"note": " "}, "note: filled"),
    ("tally_line", {}, {"volume_unit": None}, "volume_unit: filled"),
    *(
        ("tally_line", SIZED | NO_TOTAL, {column: None}, f"{column}: filled")
        for column in ("thickness", "width", "length", "pieces", "width_unit", "length_unit")
    ),
    ("step_answer", {}, {"note": None}, "note: filled"),
    ("step_answer", {"answer": "none found", "note": None}, {"answer": "left out"}, "note: filled"),
    ("later_note", {}, {"text": " "}, "text: filled"),
    ("probe_reading", {}, {"probe": ""}, "probe: filled"),
    ("probe_reading", {}, {"placed_in": "core of a board"}, "placed_in: one of core | air"),
    ("tally_line", {}, {"when": "dry"}, "when: one of green | net"),
]


@pytest.mark.parametrize(("table", "stands", "falls", "constraint"), ASKED)
def test_the_file_asks_for_what_a_row_needs(rows, other, table, stands, falls, constraint):
    raw_insert(other, first(rows[table].fact), **stands)
    with pytest.raises(sqlite3.IntegrityError, match=f"CHECK constraint failed: {constraint}"):
        raw_insert(other, first(rows[table].fact), **stands | falls)


@pytest.mark.parametrize("place", ["core", "air", None])
def test_a_batch_is_placed_in_the_wood_beside_it_or_in_the_kilns_air(rows, book_of, place):
    charge = rows["charge"].entity
    (batch,) = write(book_of, logged(charge, sensor="new", placed_in=place))
    assert book_of.entries("logger_batch")[-1] == batch
    found = book_of.logger_series(charge, "new") or book_of.probe_series(charge, "new")
    assert [one.placed_in for one in found] == [place]


@pytest.fixture
def book_of(path, rows):
    with LogbookFile.open(path) as opened:
        yield opened


def test_a_probe_misplaced_is_corrected_into_the_air(rows, book_of):
    charge = rows["charge"].entity
    (batch,) = write(book_of, logged(charge, sensor="new", placed_in="core"))
    fact = type(batch.fact)(**{**_fields(batch.fact), "placed_in": None})
    write(book_of, successor(batch, reason="hung in the air", fact=fact))
    assert book_of.probe_series(charge) == ()
    assert [one.sensor for one in book_of.logger_series(charge)] == ["entering", "new"]


def _fields(fact):
    return {name: getattr(fact, name) for name in type(fact).__slots__}


@pytest.mark.parametrize("schema", [schema for schema in FINGERPRINTS if schema < SCHEMA])
def test_a_charge_closed_in_an_earlier_schema_is_noted_reopened_and_closed_again(path, schema):
    path.write_bytes((PAST / f"schema_{schema}.kilnlog").read_bytes())
    with LogbookFile.open(path) as book:
        (charge,) = book.charges()
        closing = book.charge_record(charge.entity).closing_of()
        assert (closing.fact.lot, closing.fact.reopened) == (None, False)
        write(book, first(LaterNote(charge.entity, "sold"), MONDAY))
        opened = {**_fields(closing.fact), "reopened": True, "sealed_text": None}
        (opening,) = write(
            book, successor(closing, VersionKind.CHANGE, "misread", type(closing.fact)(**opened))
        )
        assert not book.charge_record(charge.entity).is_closed
        write(book, successor(opening, VersionKind.CHANGE, None, closing.fact))
        assert book.charge_record(charge.entity).is_closed
        assert book.verify(HEADS[schema]) == ()
