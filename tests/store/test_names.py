"""Names are unique among the rows that stand, by plain SQL."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kilnlog.records.board import Board
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.weighing import Weighing
from tests.store.mill import (
    CHILDLESS,
    first,
    grams,
    raw_insert,
    refused,
    renamed,
    second_charge,
    successor,
    void,
)

NAMED = ["setting", "kiln", "instrument", "schedule_step", "charge", "lot", "board", "section"]


@pytest.mark.parametrize("table", NAMED)
def test_a_name_is_carried_by_one_current_row(rows, other, table):
    with refused("name-taken"):
        raw_insert(other, first(rows[table].fact))
    named_anew = first(renamed(rows[table].fact))
    raw_insert(other, named_anew)
    with refused("name-taken"):
        raw_insert(other, successor(named_anew, fact=rows[table].fact))
    raw_insert(other, successor(named_anew))  # its own name is no clash
    away = successor(rows[table], fact=renamed(renamed(rows[table].fact)))
    raw_insert(other, away)
    raw_insert(other, first(rows[table].fact))  # free again once nobody carries it


@pytest.mark.parametrize("table", [name for name in NAMED if name in CHILDLESS])
def test_a_name_is_free_once_its_row_is_taken_back(rows, other, table):
    raw_insert(other, void(rows[table]))
    raw_insert(other, first(rows[table].fact))


def test_names_are_told_apart_by_what_they_belong_to(rows, other):
    second_charge(other)  # carries lot A, board 1 and section 1a once more
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
