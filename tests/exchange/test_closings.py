"""Closings in the files: of charges and lots, reopened and closed again, by hand or by a logbook."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from kilnlog.exchange.to_tables import PIECE_LENGTH, rows_of
from kilnlog.exchange.write_folder import write_folder
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.facts import TABLE_OF
from kilnlog.records.version import Entry
from kilnlog.store.logbook_file import LogbookFile
from tests.exchange.folders import SMALL, by_table, folder, places, refusal, replaced, taken_in

HEAD = "charge,lot,closed_at,closing_reason,reopened,uid,supersedes,version,reason,sealed_text\n"
CLOSED = "7,,2025-05-01 12:00,sold,,c1,,,,seal 1\n"
REOPENED = "7,,2025-05-02 12:00,,yes,c2,c1,change,misread,\n"
AGAIN = "7,,2025-05-03 12:00,,,c3,c2,change,,seal 2\n"
LOT_OUT = "7,B,2025-04-25 12:00,fetched,,b1,,,,seal B\n"
BY_CHARGE = replaced("charges", ",,,\n", ",,2025-05-01 12:00,\n")
WEIGHINGS = SMALL["weighings"].splitlines()[0] + "\n"


def closings(path: Path, *rows: str, **changed: str) -> Path:
    return folder(path, closings=HEAD + "".join(rows), **changed)


def kept(path: Path, entries: Sequence[Entry[Any]]) -> tuple[ChargeRecord, dict[str, list[Entry[Any]]]]:
    """The charge and everything, once a logbook took these rows in this order."""
    with LogbookFile.create(path) as book:
        with book.immediate():
            for entry in entries:
                book.insert(entry)
        assert book.verify() == ()
        return book.charge_record(book.charges()[0].entity), book.everything()


def test_a_charge_closed_reopened_and_closed_again_comes_in_as_one_chain(tmp_path: Path) -> None:
    entries = taken_in(closings(tmp_path / "in", LOT_OUT, CLOSED, REOPENED, AGAIN))
    record, everything = kept(tmp_path / "Mill.kilnlog", entries)
    history = record.closings_of()
    assert history is not None
    told = [(entry.fact.sealed_text, entry.fact.reopened, entry.version.reason) for entry in history.entries]
    assert told == [("seal 1", False, None), (None, True, "misread"), ("seal 2", False, None)]
    (lot,) = [line.entity for line in record.lot if line.newest.fact.lot == "B"]
    assert record.closing_of(lot).fact.closing_reason == "fetched"
    (tmp_path / "out").mkdir()
    write_folder(tmp_path / "out", rows_of(everything))
    assert taken_in(tmp_path / "out", everything) == []


def test_what_was_closed_by_hand_in_any_order_is_written_lots_first(tmp_path: Path) -> None:
    by_hand = "charge,lot,closed_at\n7,,2025-05-01 12:00\n7,B,2025-04-25 12:00\n"
    entries = taken_in(folder(tmp_path / "in", closings=by_hand))
    lots = [entry.fact.lot is None for entry in entries if isinstance(entry.fact, Closing)]
    assert lots == [False, True]
    record, _ = kept(tmp_path / "Mill.kilnlog", entries)
    assert record.is_closed


def test_closed_at_of_a_charge_closes_it_still(tmp_path: Path) -> None:
    record, _ = kept(tmp_path / "Mill.kilnlog", taken_in(folder(tmp_path / "in", **BY_CHARGE)))
    assert record.closing_of().at.text() == "2025-05-01 12:00"


def test_closed_at_repeats_what_the_table_of_closings_says(tmp_path: Path) -> None:
    entries = taken_in(closings(tmp_path / "in", CLOSED, **BY_CHARGE))
    assert [entry.version.uid for entry in entries if TABLE_OF[type(entry.fact)] == "closing"] == ["c1"]
    for rows in ((CLOSED, REOPENED), (CLOSED, REOPENED, AGAIN)):
        refused = refusal(closings(tmp_path / "other", *rows, **BY_CHARGE))
        assert places(refused) == {("charges.csv", 2, "closed_at", "closed-twice")}


def test_files_of_the_time_before_the_table_of_closings_come_in(tmp_path: Path) -> None:
    """A charge's row carried its closing's uid and its seal, in as many cells as it took."""
    long = "x" * PIECE_LENGTH
    head, row = SMALL["charges"].splitlines()
    more = "closing_uid,closing_entered_at,closing_entered_by,sealed_by,sealed_text,sealed_text_2"
    cells = f"old-1,2025-05-01T10:00:00Z,Hanna,0.1.0,{long},tail"
    charges = f"{head},{more}\n{row.removesuffix(',,,')},,2025-05-01 12:00,,{cells}\n"
    entries = taken_in(folder(tmp_path / "in", charges=charges))
    closing = entries[-1]
    assert (closing.version.uid, closing.version.entered_by) == ("old-1", "Hanna")
    assert closing.fact.sealed_text == long + "tail"
    _, everything = kept(tmp_path / "Mill.kilnlog", entries)
    (tmp_path / "out").mkdir()
    write_folder(tmp_path / "out", rows_of(everything))
    assert taken_in(tmp_path / "out", everything) == []
    assert by_table(taken_in(tmp_path / "out"))["closing"][0].fact.sealed_text == long + "tail"


@pytest.mark.parametrize(
    ("rows", "row", "column", "code"),
    [
        ((CLOSED, CLOSED.replace("c1", "c9")), 3, "closed_at", "closed-twice"),
        ((LOT_OUT, LOT_OUT.replace("b1", "b9")), 3, "closed_at", "closed-twice"),
        ((CLOSED.replace(",,c1,,,", ",yes,c1,,,why"),), 2, "reopened", "closing-out-of-turn"),
        ((CLOSED, REOPENED.replace("misread", " ")), 3, "reason", "missing-value"),
        ((CLOSED, REOPENED.replace("misread,", "misread,seal")), 3, "sealed_text", "closing-out-of-turn"),
        ((CLOSED, REOPENED.replace(",yes,", ",no,")), 3, "reopened", "closing-out-of-turn"),
        (
            (CLOSED, REOPENED, AGAIN.replace(",,,c3", ",,yes,c3").replace("change,,seal 2", "change,x,")),
            4,
            "reopened",
            "closing-out-of-turn",
        ),
        ((CLOSED, REOPENED.replace("change", "void")), 3, "version", "closing-out-of-turn"),
        ((CLOSED, REOPENED.replace("change", "correction")), 3, "version", "closing-out-of-turn"),
        ((LOT_OUT, REOPENED.replace("c1", "b1")), 3, "lot", "closing-out-of-turn"),
        ((CLOSED.replace("7,,", "7,Z,"),), 2, "lot", "unknown-name"),
        ((CLOSED.replace("2025-05-01 12:00", ""),), 2, "closed_at", "missing-value"),
        ((CLOSED.replace(",,c1", ",maybe,c1"),), 2, "reopened", "not-yes-or-no"),
    ],
)
def test_closings_out_of_turn_are_refused_with_row_and_column(
    tmp_path: Path, rows: Sequence[str], row: int, column: str, code: str
) -> None:
    assert ("closings.csv", row, column, code) in places(refusal(closings(tmp_path / "in", *rows)))


def more(path: Path, *rows: str, **tables: str) -> Path:
    """A folder with nothing but some rows more, and some closings."""
    given = {"closings": HEAD + "".join(rows)} if rows else {}
    return folder(path, {}, **given, **tables)


def record_of(path: Path, *rows: str) -> Mapping[str, Sequence[Entry[Any]]]:
    return by_table(taken_in(closings(path, *rows)))


LATE_NOTE = "charge,written_at,lot,text\n7,2025-06-01 08:00,,it moved\n7,2025-06-01 08:05,B,it cupped\n"


@pytest.mark.parametrize("rows", [(CLOSED,), (LOT_OUT,), (LOT_OUT, CLOSED), ()])
def test_notes_join_what_is_closed(tmp_path: Path, rows: Sequence[str]) -> None:
    added = taken_in(more(tmp_path / "more", later_notes=LATE_NOTE), record_of(tmp_path / "in", *rows))
    assert [entry.fact.text for entry in added] == ["it moved", "it cupped"]


DEFECT_B = "charge,lot,kind\n7,B,cup\n"


def test_nothing_joins_a_closed_lot_and_the_others_go_on(tmp_path: Path) -> None:
    record = record_of(tmp_path / "in", LOT_OUT)
    refused = refusal(
        more(
            tmp_path / "more",
            weighings=WEIGHINGS + "7,2,2025-04-26 07:00,4.2,lb\n7,1,2025-04-26 07:00,1600,g\n",
            defects=DEFECT_B + "7,A,cup\n",
        ),
        record,
    )
    assert places(refused) == {
        ("weighings.csv", 2, "board", "closed-lot-grows"),
        ("defects.csv", 2, "lot", "closed-lot-grows"),
    }
    assert [problem.cause.values for problem in refused.problems] == [{"charge": "7", "lot": "B"}] * 2


def test_a_charge_closed_in_the_logbook_takes_no_closing_of_a_lot(tmp_path: Path) -> None:
    refused = refusal(more(tmp_path / "more", LOT_OUT), record_of(tmp_path / "in", CLOSED))
    assert places(refused) == {("closings.csv", 2, "charge", "closed-charge-grows")}


@pytest.mark.parametrize("again", [(), (AGAIN,)])
def test_rows_join_after_a_reopening_that_the_files_bring(tmp_path: Path, again: Sequence[str]) -> None:
    first = taken_in(closings(tmp_path / "in", CLOSED))
    added = taken_in(
        more(tmp_path / "more", REOPENED, *again, weighings=WEIGHINGS + "7,1,2025-04-26 07:00,1600,g\n"),
        by_table(first),
    )
    tables = [TABLE_OF[type(entry.fact)] for entry in added]
    assert tables == ["closing", "weighing", *["closing"] * len(again)]
    record, _ = kept(tmp_path / "Mill.kilnlog", [*first, *added])
    assert record.is_closed == bool(again)


def test_a_lot_reopened_by_the_files_takes_rows_again(tmp_path: Path) -> None:
    first = taken_in(closings(tmp_path / "in", LOT_OUT))
    opened = "7,B,2025-04-26 12:00,,yes,b2,b1,change,two boards short,\n"
    closed = "7,B,2025-04-27 12:00,,,b3,b2,change,,seal B2\n"
    added = taken_in(more(tmp_path / "more", opened, closed, defects=DEFECT_B), by_table(first))
    assert [TABLE_OF[type(entry.fact)] for entry in added] == ["closing", "defect", "closing"]
    kept(tmp_path / "Mill.kilnlog", [*first, *added])
