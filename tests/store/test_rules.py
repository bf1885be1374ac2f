"""The rules in the file hold for any program: each is tried by plain SQL, with SQLite's own settings."""

from __future__ import annotations

import shutil
import sqlite3
import typing
from dataclasses import replace

import pytest

from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.facts import TABLES
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.setting import Setting
from kilnlog.records.version import VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.store.fact_tables import fact_table
from tests.store.mill import (
    ZONE,
    every_row,
    filled,
    first,
    grams,
    plain,
    raw_insert,
    successor,
    void,
)

OPEN_TABLES = [table for table in TABLES if table != "closing"]
IN_A_CHARGE = [table for table in OPEN_TABLES if fact_table(table).names_a_charge]
#: Rows on which nothing else in ``one_of_each`` rests.
CHILDLESS = [table for table in OPEN_TABLES if table not in ("kiln", "charge", "lot", "board", "section")]


@pytest.fixture(scope="module")
def template(tmp_path_factory):
    """A logbook with a row of each kind, and the same with its charge closed, made once and copied."""
    folder = tmp_path_factory.mktemp("template")
    return {
        closed: (folder / f"{closed}.kilnlog", filled(folder / f"{closed}.kilnlog", closed=closed))
        for closed in (False, True)
    }


@pytest.fixture
def rows(path, template):
    shutil.copy(template[False][0], path)
    return template[False][1]


@pytest.fixture
def closed_rows(path, template):
    shutil.copy(template[True][0], path)
    return template[True][1]


@pytest.fixture
def other(path, rows):
    """Another program's connection to the file."""
    with plain(path) as connection:
        yield connection


def refused(why: str):
    return pytest.raises(sqlite3.IntegrityError, match=f"^kilnlog:{why}$")


@pytest.mark.parametrize("table", ["logbook", "ledger", *OPEN_TABLES])
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {table} SET uid = uid",
        "UPDATE OR REPLACE {table} SET uid = uid || 'x'",
        "UPDATE OR IGNORE {table} SET uid = 'x'",
        "DELETE FROM {table}",
        "DELETE FROM {table} WHERE uid IS NOT NULL",
    ],
)
def test_no_row_is_altered_or_removed(path, other, table, statement):
    before = every_row(path)
    with refused("row-stays"):
        other.execute(statement.format(table=table))
    assert every_row(path) == before


@pytest.mark.parametrize("recursive", ["ON", "OFF"])
@pytest.mark.parametrize("how", ["INSERT OR REPLACE", "REPLACE", "INSERT OR IGNORE", "INSERT"])
@pytest.mark.parametrize("table", OPEN_TABLES)
def test_no_row_is_replaced(path, rows, other, table, how, recursive):
    other.execute(f"PRAGMA recursive_triggers = {recursive}")
    before = every_row(path)
    renamed = _renamed(rows[table].fact)
    with refused("uid-taken"):
        raw_insert(other, first(renamed, uid=rows[table].entity), how, entered_by="Eve")
    with refused("uid-taken"):
        raw_insert(other, first(renamed), how, id=1)
    assert every_row(path) == before


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_no_row_is_altered_by_an_upsert(rows, other, table):
    with refused("uid-taken"):
        row = fact_table(table).row_of(rows[table])
        other.execute(
            f"INSERT INTO {table} ({', '.join(row)}) VALUES ({', '.join('?' * len(row))})"
            " ON CONFLICT (uid) DO UPDATE SET entered_by = 'Eve'",
            tuple(row.values()),
        )


@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE"])
def test_the_ledger_is_dense_and_replaces_nothing(other, how):
    line = (
        f"{how} INTO ledger SELECT logbook, number + ?, table_name, uid || ?, row_sha256, chain_sha256"
        " FROM ledger WHERE number = (SELECT max(number) FROM ledger)"
    )
    for gap in (0, -1, 2):
        with refused("ledger-not-dense"):
            other.execute(line, (gap, "x"))
    with refused("uid-taken"):
        other.execute(line, (1, ""))


@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE"])
def test_a_file_holds_one_logbook(other, how):
    for uid in ("x", other.execute("SELECT uid FROM logbook").fetchone()[0]):
        with refused("one-logbook"):
            other.execute(f"{how} INTO logbook SELECT ?, made_utc, program_version FROM logbook", (uid,))


@pytest.mark.parametrize("how", ["INSERT", "INSERT OR REPLACE"])
@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_row_has_one_successor(path, rows, other, table, how):
    raw_insert(other, successor(rows[table], VersionKind.CHANGE))
    before = every_row(path)
    with refused("already-superseded"):
        raw_insert(other, successor(rows[table], VersionKind.CHANGE), how)
    assert every_row(path) == before


@pytest.mark.parametrize("kind", [VersionKind.CORRECTION, VersionKind.CHANGE, VersionKind.VOID])
@pytest.mark.parametrize("table", CHILDLESS)
def test_nothing_succeeds_a_row_taken_back(rows, other, table, kind):
    taken_back = void(rows[table])
    raw_insert(other, taken_back)
    with refused("taken-back"):
        raw_insert(other, successor(taken_back, kind))


@pytest.mark.parametrize("reason", [None, "", "  "])
@pytest.mark.parametrize("kind", [VersionKind.CORRECTION, VersionKind.VOID])
@pytest.mark.parametrize("table", CHILDLESS)
def test_a_correction_and_a_taking_back_say_why(rows, other, table, kind, reason):
    with refused("no-reason"):
        raw_insert(other, successor(rows[table], kind, reason))


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_change_may_go_without_a_reason(rows, other, table):
    changed = successor(rows[table], VersionKind.CHANGE, None)
    raw_insert(other, changed)
    current = other.execute(f"SELECT uid FROM current_{table}").fetchall()
    assert current == [(changed.version.uid,)]


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_first_version_is_its_own_entity_and_succeeds_nothing(rows, other, table):
    new = first(rows[table].fact)
    for altered in (
        {"entity": rows[table].entity},
        {"supersedes": rows[table].version.uid},
        {"version": "change"},
        {"version": "correction", "version_reason": "x"},
    ):
        with refused("wrong-first"):
            raw_insert(other, new, **altered)
    with refused("wrong-first"):
        raw_insert(other, successor(rows[table]), version="first")
    with refused("wrong-first"):
        raw_insert(other, successor(rows[table]), supersedes=None)


@pytest.mark.parametrize("table", OPEN_TABLES)
def test_a_successor_has_a_predecessor_of_its_entity(rows, other, table):
    with refused("no-predecessor"):
        raw_insert(other, successor(rows[table]), supersedes="nobody")
    with refused("other-entity"):
        raw_insert(other, successor(rows[table]), entity="somebody")


def second_charge(other, rows) -> dict[str, object]:
    """A second charge with a lot, a board and a section of its own."""
    charge = first(Charge("2026-5", ZONE))
    lot = first(Lot(charge.entity, "A"))
    board = first(Board(charge.entity, "1", grams("1700"), lot.entity))
    section = first(Section(charge.entity, board.entity, "1a", grams("50")))
    for entry in (charge, lot, board, section):
        raw_insert(other, entry)
    return {"charge": charge.entity, "lot": lot.entity, "board": board.entity, "section": section.entity}


@pytest.mark.parametrize("table", IN_A_CHARGE)
def test_a_successor_stays_in_its_charge(rows, other, table):
    elsewhere = second_charge(other, rows)
    moved = {
        name: uid for name, uid in elsewhere.items() if name in fact_table(table).columns and name != table
    }
    with refused("other-charge"):
        raw_insert(other, successor(rows[table]), **moved)


@pytest.mark.parametrize("table", IN_A_CHARGE)
def test_a_closed_charge_takes_no_row(path, closed_rows, table):
    rows = closed_rows
    with plain(path) as other:
        before = every_row(path)
        with refused("charge-closed"):
            raw_insert(other, first(rows[table].fact))
        for kind in (VersionKind.CORRECTION, VersionKind.CHANGE, VersionKind.VOID):
            with refused("charge-closed"):
                raw_insert(other, successor(rows[table], kind))
        assert every_row(path) == before


def test_a_closed_charge_is_not_described_anew_or_closed_again(path, closed_rows):
    rows = closed_rows
    with plain(path) as other:
        for kind in (VersionKind.CORRECTION, VersionKind.CHANGE, VersionKind.VOID):
            with refused("charge-closed"):
                raw_insert(other, successor(rows["charge"], kind))
            with refused("charge-closed"):
                raw_insert(other, successor(rows["closing"], kind))
        with refused("charge-closed"):
            raw_insert(other, first(rows["closing"].fact))
        raw_insert(other, first(Charge("2026-5", ZONE)))  # others go on


def references():
    """(table, column, table referred to), as the records declare them."""
    for table, kind in TABLES.items():
        for column, hint in typing.get_type_hints(kind, include_extras=True).items():
            for part in (hint, *typing.get_args(hint)):
                for mark in getattr(part, "__metadata__", ()):
                    yield table, column, mark.table


REFERENCES = [one for one in references() if one[0] != "closing"]


def alone(other, table: str, rule: str) -> None:
    """Drop every other rule about new rows of the table, so that this one is seen to work by itself."""
    rules = other.execute(
        "SELECT name FROM sqlite_schema"
        " WHERE type = 'trigger' AND tbl_name = ? AND sql LIKE '%BEFORE INSERT%'",
        (table,),
    ).fetchall()
    assert (rule,) in rules
    for (name,) in rules:
        if name != rule:
            other.execute(f"DROP TRIGGER {name}")


def rule_of(table: str, column: str, target: str) -> str:
    return f"{table}_{column}" if column == target else f"{table}_{column}_{target}"


@pytest.mark.parametrize(("table", "column", "target"), REFERENCES)
def test_a_reference_finds_a_first_version_of_the_right_table(rows, other, table, column, target):
    later = successor(rows[target], VersionKind.CHANGE)
    raw_insert(other, later)
    alone(other, table, f"{rule_of(table, column, target)}_exists")
    for nothing in ("nobody", rows["setting"].entity, later.version.uid):
        with refused(f"no-such-{target}"):
            raw_insert(other, first(rows[table].fact), **{column: nothing})
    raw_insert(other, first(rows[table].fact), **{column: rows[target].entity})


@pytest.mark.parametrize(
    ("table", "column", "target"), [one for one in REFERENCES if one[2] in ("lot", "board", "section")]
)
def test_a_reference_stays_inside_its_charge(rows, other, table, column, target):
    elsewhere = second_charge(other, rows)
    alone(other, table, f"{rule_of(table, column, target)}_exists")
    with refused(f"no-such-{target}"):
        raw_insert(other, first(rows[table].fact), **{column: elsewhere[target]})


@pytest.mark.parametrize(("table", "column", "target"), REFERENCES)
def test_what_was_taken_back_is_not_referred_to(rows, other, table, column, target):
    taken_back = {"kiln": Kiln("Old kiln"), "charge": Charge("2025-1", ZONE)}.get(target)
    if taken_back is None:
        taken_back = _renamed(rows[target].fact)
    parent = first(taken_back)
    raw_insert(other, parent)
    raw_insert(other, void(parent))
    alone(other, table, f"{rule_of(table, column, target)}_stands")
    with refused(f"taken-back-{target}"):
        raw_insert(other, first(rows[table].fact), **{column: parent.entity})
    raw_insert(other, first(rows[table].fact), **{column: rows[target].entity})


def test_an_oven_weighing_names_the_board_its_section_was_cut_from(rows, other):
    board = first(Board(rows["charge"].entity, "2", grams("1600")))
    raw_insert(other, board)
    with refused("no-such-section"):
        raw_insert(
            other,
            first(OvenWeighing(rows["charge"].entity, board.entity, rows["section"].entity, grams("40"))),
        )
    moved = successor(rows["section"], fact=replace(rows["section"].fact, board=board.entity))
    with refused("has-current-children:oven_weighing"):
        raw_insert(other, moved)
    raw_insert(other, void(rows["oven_weighing"]))
    raw_insert(other, moved)


def test_a_board_does_not_replace_itself(rows, other):
    with refused("replaces-itself"):
        raw_insert(other, successor(rows["board"]), replaces=rows["board"].entity)


@pytest.mark.parametrize(("table", "column", "target"), REFERENCES)
def test_a_parent_is_not_taken_back_before_its_child(rows, other, table, column, target):
    child, parent = rows[table], rows[target]
    if table == target:
        child = first(replace(_renamed(child.fact), **{column: parent.entity}))
        raw_insert(other, child)
    alone(other, target, f"{target}_void_without_{table}" + ("" if column == target else f"_{column}"))
    with refused(f"has-current-children:{table}"):
        raw_insert(other, void(parent))
    corrected = successor(child)
    raw_insert(other, corrected)
    with refused(f"has-current-children:{table}"):
        raw_insert(other, void(parent))
    if table != target:
        for (name,) in other.execute(
            "SELECT name FROM sqlite_schema WHERE type = 'trigger' AND name LIKE ?",
            (f"{table}_void_without_%",),
        ).fetchall():
            other.execute(f"DROP TRIGGER {name}")  # its own children are not at stake here
    raw_insert(other, void(corrected))
    raw_insert(other, void(parent))


def test_a_parent_is_held_by_what_stood_before_a_change(rows, other):
    kiln = first(Kiln("North kiln"))
    raw_insert(other, kiln)
    stay = rows["stay"]
    raw_insert(other, successor(rows["charge"], fact=replace(rows["charge"].fact, kiln=kiln.entity)))
    moved = successor(stay, VersionKind.CHANGE, fact=replace(stay.fact, kiln=kiln.entity))
    raw_insert(other, moved)
    with refused("has-current-children:stay"):
        raw_insert(other, void(rows["kiln"]))


def test_a_parent_is_free_once_a_correction_points_elsewhere(rows, other):
    kiln = first(Kiln("North kiln"))
    raw_insert(other, kiln)
    for table in ("charge", "stay"):
        row = rows[table]
        raw_insert(other, successor(row, fact=replace(row.fact, kiln=kiln.entity)))
    raw_insert(other, void(rows["kiln"]))
    with refused("taken-back-kiln"):
        raw_insert(other, first(Charge("2026-6", ZONE, rows["kiln"].entity)))


NAMED = ["setting", "kiln", "instrument", "schedule_step", "charge", "lot", "board", "section"]


@pytest.mark.parametrize("table", NAMED)
def test_a_name_is_carried_by_one_current_row(rows, other, table):
    with refused("name-taken"):
        raw_insert(other, first(rows[table].fact))
    renamed = first(_renamed(rows[table].fact))
    raw_insert(other, renamed)
    with refused("name-taken"):
        raw_insert(other, successor(renamed, fact=rows[table].fact))
    raw_insert(other, successor(renamed))  # its own name is no clash
    away = successor(rows[table], fact=_renamed(_renamed(rows[table].fact)))
    raw_insert(other, away)
    raw_insert(other, first(rows[table].fact))  # free again once nobody carries it


@pytest.mark.parametrize("table", [name for name in NAMED if name in CHILDLESS])
def test_a_name_is_free_once_its_row_is_taken_back(rows, other, table):
    raw_insert(other, void(rows[table]))
    raw_insert(other, first(rows[table].fact))


def test_names_are_told_apart_by_what_they_belong_to(rows, other):
    second_charge(other, rows)  # carries lot A, board 1 and section 1a once more
    raw_insert(other, first(ScheduleStep("Slow oak", 1)))
    board = first(Board(rows["charge"].entity, "2", grams("1600")))
    raw_insert(other, board)
    raw_insert(other, first(Section(rows["charge"].entity, board.entity, "1a", grams("50"))))


def test_current_rows_are_those_that_stand(rows, other):
    weighing = rows["weighing"]
    corrected = successor(weighing, fact=replace(weighing.fact, weight=grams("1788")))
    raw_insert(other, corrected)
    again = first(Weighing(weighing.fact.charge, weighing.fact.board, grams("1702")))
    raw_insert(other, again)
    raw_insert(other, void(again))
    current = other.execute("SELECT uid, weight_text FROM current_weighing").fetchall()
    assert current == [(corrected.version.uid, "1788")]


def _renamed(fact):
    """The same fact under another name, where it has one."""
    match fact:
        case ScheduleStep():
            return replace(fact, step=fact.step + 1)
        case Setting(name) | Kiln(name) | Charge(name):
            return replace(fact, **{type(fact).__name__.lower(): name + "'"})
        case Lot() | Board() | Section():
            column = type(fact).__name__.lower()
            return replace(fact, **{column: getattr(fact, column) + "'"})
    return replace(fact, instrument=fact.instrument + "'") if hasattr(fact, "instrument") else fact
