"""References between rows, by plain SQL: what they find, and how they hold what they refer to."""

from __future__ import annotations

import typing
from dataclasses import replace

import pytest

from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.facts import TABLES
from kilnlog.records.kiln import Kiln
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.version import VersionKind
from tests.store.mill import (
    ZONE,
    first,
    grams,
    raw_insert,
    refused,
    renamed,
    second_charge,
    successor,
    void,
)


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
    elsewhere = second_charge(other)
    alone(other, table, f"{rule_of(table, column, target)}_exists")
    with refused(f"no-such-{target}"):
        raw_insert(other, first(rows[table].fact), **{column: elsewhere[target]})


@pytest.mark.parametrize(("table", "column", "target"), REFERENCES)
def test_what_was_taken_back_is_not_referred_to(rows, other, table, column, target):
    taken_back = {"kiln": Kiln("Old kiln"), "charge": Charge("2025-1", ZONE)}.get(target)
    if taken_back is None:
        taken_back = renamed(rows[target].fact)
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
        child = first(replace(renamed(child.fact), **{column: parent.entity}))
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
