"""Rows with uids, versions, and what the logbook holds already."""

from __future__ import annotations

from pathlib import Path

import pytest

from kilnlog.exchange.to_tables import rows_of
from kilnlog.exchange.write_folder import write_folder
from kilnlog.records.version import VersionKind
from tests.exchange.folders import SMALL, by_table, folder, places, refusal, replaced, taken_in

HEAD = "charge,board,weighed_at,weight,weight_unit,uid,supersedes,version,reason,entered_at,entered_by\n"
FIRST = "7,1,2025-03-02 07:00,1801,g,w1,,,,2025-03-02 12:01:30.25Z,Hanna\n"


def _weighings(tmp_path: Path, rows: str) -> Path:
    return folder(tmp_path / "in", weighings=HEAD + rows)


def test_a_correction_names_what_it_succeeds_wherever_it_stands(tmp_path: Path) -> None:
    later = "7,1,2025-03-02 07:00,1810,g,w2,w1,correction,misread,,\n"
    first, second = by_table(taken_in(_weighings(tmp_path, later + FIRST)))["weighing"]
    assert (first.version.uid, first.version.entered_by) == ("w1", "Hanna")
    assert first.version.entered_utc.isoformat() == "2025-03-02T12:01:30.250000+00:00"
    assert (second.version.entity, second.version.supersedes) == ("w1", "w1")
    assert (second.version.kind, second.version.reason) == (VersionKind.CORRECTION, "misread")


WRONG_VERSIONS = [
    ("7,1,2025-03-02 07:00,1810,g,w1,,,,,\n", 3, "uid", "uid-twice"),
    ("7,1,2025-03-02 07:00,1810,g,w2,w9,correction,x,,\n", 3, "supersedes", "unknown-uid"),
    ("7,1,2025-03-02 07:00,1810,g,w2,w1,,x,,\n", 3, "version", "version-unclear"),
    ("7,1,2025-03-02 07:00,1810,g,w2,,correction,x,,\n", 3, "supersedes", "version-unclear"),
    ("7,1,2025-03-02 07:00,1810,g,w2,w1,correction,,,\n", 3, "reason", "missing-value"),
    ("7,1,2025-03-02 07:00,1810,g,w2,w1,void, ,,\n", 3, "reason", "missing-value"),
    ("7,1,2025-03-02 07:00,1810,g,w2,w1,better,x,,\n", 3, "version", "unknown-word"),
    ("7,1,2025-03-02 07:00,1810,g,w2,w2,correction,x,,\n", 3, "supersedes", "no-order"),
    (
        "7,1,2025-03-02 07:00,1810,g,w2,w1,correction,x,,\n"
        "7,1,2025-03-02 07:00,1811,g,w3,w1,correction,x,,\n",
        4,
        "supersedes",
        "succeeded-twice",
    ),
    (
        "7,1,2025-03-02 07:00,1810,g,w2,w1,void,x,,\n7,1,2025-03-02 07:00,1811,g,w3,w2,correction,x,,\n",
        4,
        "supersedes",
        "succeeded-twice",
    ),
]


@pytest.mark.parametrize(("rows", "row", "column", "code"), WRONG_VERSIONS)
def test_versions_that_do_not_fit_together_are_refused(
    tmp_path: Path, rows: str, row: int, column: str, code: str
) -> None:
    refused = refusal(_weighings(tmp_path, FIRST + rows))
    assert ("weighings.csv", row, column, code) in places(refused)


def test_a_change_of_particulars_needs_its_moment(tmp_path: Path) -> None:
    head = "kiln,capacity,uid,supersedes,version\nNorth,1200,k1,,\n"
    refused = refusal(folder(tmp_path / "in", kilns=head + "North,1500,k2,k1,change\n"))
    assert places(refused) == {("kilns.csv", 3, "observed_at", "missing-value")}


def test_two_weighings_in_one_minute_are_stored_with_their_finding(tmp_path: Path) -> None:
    rows = "7,1,2025-03-02 07:00,1801,g,w1,,,,,\n7,1,2025-03-02 07:00,1810,g,w2,,,,,\n"
    same = "7,1,2025-03-02 07:00,1801,g,w3,,,,,\n"  # insisted on: it has its own uid
    assert len(by_table(taken_in(_weighings(tmp_path, rows + same)))["weighing"]) == 3


def test_a_row_that_refers_to_what_was_taken_back_is_refused(tmp_path: Path) -> None:
    head = "charge,board,cut_at,start_weight,weight_unit,uid,supersedes,version,reason\n"
    rows = (
        "7,1,2025-02-28 10:00,1842,g,b1,,,\n"
        "7,2,2025-02-28 10:00,1900,g,b2,,,\n"
        "7,3,2025-02-28 10:00,1900,g,b3,,,\n"
        "7,1,2025-02-28 10:00,1842,g,b4,b1,void,twice\n"
    )
    refused = refusal(folder(tmp_path / "in", boards=head + rows))
    assert ("weighings.csv", 2, "board", "taken-back-name") in places(refused)


def test_a_successor_stays_in_its_charge(tmp_path: Path) -> None:
    charges = SMALL["charges"] + "8,North,2025-03-01 08:00,America/New_York,8,mean,,,,\n"
    boards = SMALL["boards"] + "8,1,,2025-02-28 10:00,1842.50,g,,,\n"
    rows = "8,1,2025-03-02 07:00,1801,g,w2,w1,correction,misread,,\n"
    refused = refusal(folder(tmp_path / "in", charges=charges, boards=boards, weighings=HEAD + FIRST + rows))
    assert places(refused) == {("weighings.csv", 3, "charge", "moved-charge")}


def test_what_the_logbook_holds_already_is_passed_over(tmp_path: Path) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    out = tmp_path / "out"
    out.mkdir()
    write_folder(out, rows_of(record))
    assert taken_in(out, record) == []
    new = (out / "weighings.csv").read_text(encoding="utf-8").splitlines()
    columns = new[0].split(",")
    row = dict.fromkeys(columns, "") | {"charge": "7", "board": "1", "weighed_at": "2025-03-09 07:00"}
    row |= {"weight": "1600", "weight_unit": "g"}
    (out / "weighings.csv").write_text(
        "\n".join([*new, ",".join(row[name] for name in columns)]), encoding="utf-8"
    )
    (added,) = taken_in(out, record)
    assert added.fact.board == record["board"][0].entity


@pytest.mark.parametrize(
    ("table", "old", "new", "column"),
    [
        ("lots", "Brook Mill", "Book Mill", "owner"),
        ("weighings", "1801.0", "1801.5", "weight"),
        ("weighings", "1801.0", "1801.00", "weight"),  # typed otherwise is another text
        ("weighings", "2025-03-02 07:00", "2025-03-02 07:10", "weighed_at"),
        ("boards", "first,,2025-06-01T09:30:15Z,tester", "first,,2025-06-01T09:30:16Z,tester", "entered_at"),
    ],
)
def test_a_row_of_a_known_uid_that_differs_is_refused(
    tmp_path: Path, table: str, old: str, new: str, column: str
) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    out = tmp_path / "out"
    out.mkdir()
    write_folder(out, rows_of(record))
    text = (out / f"{table}.csv").read_text(encoding="utf-8")
    (out / f"{table}.csv").write_text(text.replace(old, new, 1), encoding="utf-8")
    refused = refusal(out, record)
    row = 1 + next(n for n, line in enumerate(text.splitlines()) if old in line)
    assert places(refused) == {(f"{table}.csv", row, column, "uid-differs")}


def test_an_existing_charge_number_without_its_uid_is_refused(tmp_path: Path) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    refused = refusal(folder(tmp_path / "in"), record)
    assert ("charges.csv", 2, "charge", "charge-exists") in places(refused)


def test_the_same_kiln_declared_again_is_the_same_kiln(tmp_path: Path) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    tables = {name: SMALL[name] for name in ("kilns", "instruments", "settings", "schedule_steps")}
    charges = SMALL["charges"].replace("\n7,", "\n8,")
    (charge,) = taken_in(folder(tmp_path / "next", tables, charges=charges), record)
    assert charge.fact.kiln == record["kiln"][0].entity


def test_a_kiln_declared_otherwise_is_refused(tmp_path: Path) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    refused = refusal(folder(tmp_path / "next", {}, **replaced("kilns", "1200", "1300")), record)
    assert places(refused) == {("kilns.csv", 2, "capacity", "exists-differently")}


def test_rows_may_join_a_charge_the_logbook_holds_until_it_is_closed(tmp_path: Path) -> None:
    closing = replaced("charges", ",,,\n", ",,2025-05-01 12:00,\n")
    more = SMALL["weighings"].splitlines()[0] + "\n7,1,2025-03-04 07:00,1750,g\n"
    is_open = by_table(taken_in(folder(tmp_path / "open")))
    (added,) = taken_in(folder(tmp_path / "more", {}, weighings=more), is_open)
    assert added.fact.board == is_open["board"][0].entity
    closed = by_table(taken_in(folder(tmp_path / "closed", **closing)))
    refused = refusal(folder(tmp_path / "more", {}, weighings=more), closed)
    assert places(refused) == {("weighings.csv", 2, "charge", "closed-charge-grows")}


def test_the_same_weighings_brought_in_again_are_refused(tmp_path: Path) -> None:
    record = by_table(taken_in(folder(tmp_path / "in")))
    refused = refusal(folder(tmp_path / "again", {}, weighings=SMALL["weighings"]), record)
    assert places(refused) == {("weighings.csv", row, None, "name-twice") for row in (2, 3, 4)}
    assert {problem.cause.values["why"] for problem in refused.problems} == {"row-in-logbook"}


def test_a_board_may_stand_above_the_one_it_replaces(tmp_path: Path) -> None:
    """File order is no order of writing: 1 replaces 3, which replaces 2, and they stand in that order."""
    head, one, two, three = SMALL["boards"].splitlines()
    one, three = one.replace("yes,", "yes,3"), three.removesuffix(",1") + ",2"
    rows = "\n".join((head, one, three, two, ""))
    boards = by_table(taken_in(folder(tmp_path / "in", boards=rows)))["board"]
    assert [entry.fact.board for entry in boards] == ["2", "3", "1"]
    assert [entry.fact.replaces for entry in boards] == [None, boards[0].entity, boards[1].entity]


def test_boards_that_replace_each_other_in_a_circle_are_refused(tmp_path: Path) -> None:
    rows = SMALL["boards"].replace("yes,", "yes,3")  # and 3 replaces 1
    refused = refusal(folder(tmp_path / "in", boards=rows))
    assert ("boards.csv", 2, None, "no-order") in places(refused)


def test_a_board_that_took_the_label_of_one_taken_back_still_comes_after_it(tmp_path: Path) -> None:
    """It is asked for first, by a board above both that it replaces."""
    head = SMALL["boards"].splitlines()[0] + ",uid,supersedes,version,reason,replaces_uid\n"
    rows = (
        "7,9,A,2025-03-12 10:20,1700,g,,,2,b9,,,,b2new\n"
        "7,2,B,2025-02-28 10:20,1700,g,,,,b2,,,,\n"
        "7,2,B,2025-02-28 10:20,1700,g,,,,b2void,b2,void,typed twice,\n"
        "7,2,B,2025-02-28 10:20,1800,g,,,,b2new,,,,\n"
    )
    tables = {name: SMALL[name] for name in ("kilns", "schedule_steps", "charges", "lots")}
    boards = by_table(taken_in(folder(tmp_path / "in", tables, boards=head + rows)))["board"]
    assert [entry.version.uid for entry in boards] == ["b2", "b2void", "b2new", "b9"]


def test_a_charge_closed_twice_is_refused(tmp_path: Path) -> None:
    closed = by_table(
        taken_in(folder(tmp_path / "in", **replaced("charges", ",,,\n", ",,2025-05-01 12:00,\n")))
    )
    out = tmp_path / "out"
    out.mkdir()
    write_folder(out, rows_of(closed))
    text = (out / "charges.csv").read_text(encoding="utf-8").replace("2025-05-01 12:00", "2025-05-02 12:00")
    (out / "charges.csv").write_text(text, encoding="utf-8")
    assert places(refusal(out, closed)) == {("charges.csv", 2, "closed_at", "closed-twice")}
