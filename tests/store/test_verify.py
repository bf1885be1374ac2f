"""The ledger can be worked out again by anyone, and shows whatever was done to a file past its rules."""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace

import pytest

from kilnlog.records.facts import TABLES
from kilnlog.store.canonical import canonical_form, chain_hash, first_hash, row_hash
from kilnlog.store.ledger import LedgerHead
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.verifying import Misfit
from tests.store.mill import filled, first, grams, plain, raw_insert, successor, unruled, void, write


@pytest.fixture
def rows(closed_rows):
    return closed_rows


def misfits(path, head=None):
    with LogbookFile.open(path) as book:
        return book.verify(head)


def test_the_canonical_form_is_as_described():
    row = {"zone": None, "b": 'say "ä"\n\x01\\', "a": 3, "c": 1842.5, "B": 1e-5, "d": 0.0}
    form = canonical_form(row)
    assert form == '{"B":1e-05,"a":3,"b":"say \\"ä\\"\\n\\u0001\\\\","c":1842.5,"d":0.0}'
    # FIPS 180-4 through the standard library, over the bytes written out by hand.
    by_hand = b'{"B":1e-05,"a":3,"b":"say \\"\xc3\xa4\\"\\n\\u0001\\\\","c":1842.5,"d":0.0}'
    assert row_hash(row) == hashlib.sha256(by_hand).hexdigest()
    assert canonical_form({**row, "added_in_later_years": None}) == form


def test_hashes_are_those_of_the_published_algorithm():
    # SHA-256 of "{}" and of joined lines, from coreutils: printf '{}' | sha256sum, and so on.
    assert row_hash({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
    assert first_hash("mill") == "d0404cb5165753caf8e27cd4653ce1f4e33346777b738866c2f1baa7327a63d2"
    assert (
        chain_hash("a", "mill", 1, "kiln", "u", "b")
        == "b3bd2bdf79ba412935ee56dae442d8d3f72945c0fca84d2ced551cde1195aaea"
    )


def test_the_ledger_can_be_worked_out_from_plain_sql(path, rows):
    """The description in ``kilnlog.store.canonical``, followed a second time without the program."""
    with plain(path) as other:
        ((logbook,),) = other.execute("SELECT uid FROM logbook")
        before = hashlib.sha256(b"kilnlog ledger\n" + logbook.encode()).hexdigest()
        lines = other.execute(
            "SELECT number, table_name, uid, row_sha256, chain_sha256 FROM ledger ORDER BY number"
        ).fetchall()
        assert [line[0] for line in lines] == list(range(1, len(TABLES) + 1))
        for number, table, uid, hashed, chained in lines:
            cursor = other.execute(f"SELECT * FROM {table} WHERE uid = ?", (uid,))
            names = [column[0] for column in cursor.description]
            row = {k: v for k, v in zip(names, cursor.fetchone(), strict=True) if v is not None and k != "id"}
            text = json.dumps(row, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            assert hashlib.sha256(text.encode()).hexdigest() == hashed
            joined = "\n".join([before, logbook, str(number), table, uid, hashed])
            before = hashlib.sha256(joined.encode()).hexdigest()
            assert before == chained
    with LogbookFile.open(path) as book:
        assert book.ledger_head() == LedgerHead(len(TABLES), before)


def test_an_untouched_file_fits_and_its_earlier_heads_are_found_again(book):
    assert book.verify(book.ledger_head()) == ()
    heads = [book.ledger_head()]
    entry = first(TABLES["kiln"]("South kiln"))
    for row in (entry, successor(entry)):
        write(book, row)
        heads.append(book.ledger_head())
    assert [head.number for head in heads] == [0, 1, 2]
    for head in heads:
        assert book.verify(head) == ()


def test_progress_is_told_to_the_end_and_can_give_up(book):
    told = []
    write(book, first(TABLES["kiln"]("South kiln")))
    assert book.verify(progress=lambda done, of: told.append((done, of))) == ()
    assert told == [(0, 1), (1, 1)]

    def give_up(done: int, of: int) -> None:
        raise InterruptedError(done, of)

    with pytest.raises(InterruptedError):
        book.verify(progress=give_up)


@pytest.mark.parametrize("table", [name for name in TABLES if name != "closing"])
def test_a_row_changed_is_named(path, rows, table):
    with unruled(path) as other:
        other.execute(f"UPDATE {table} SET entered_by = 'Eve'")
    number = list(TABLES).index(table) + 1
    assert misfits(path) == (Misfit("row-changed", number, table, rows[table].entity),)


def test_one_digit_of_one_weight_is_seen(path, rows):
    with unruled(path) as other:
        other.execute("UPDATE weighing SET weight_text = '1790.6'")
    assert [misfit.why for misfit in misfits(path)] == ["row-changed"]


@pytest.mark.parametrize("table", [name for name in TABLES if name != "closing"])
def test_a_row_removed_is_named(path, rows, table):
    with unruled(path) as other:
        other.execute(f"DELETE FROM {table}")
    number = list(TABLES).index(table) + 1
    assert misfits(path)[0] == Misfit("row-missing", number, table, rows[table].entity)


def test_a_row_added_past_the_door_is_named(path, rows):
    added = first(TABLES["kiln"]("Ghost kiln"))
    with plain(path) as other:
        raw_insert(other, added)
    assert misfits(path) == (Misfit("row-not-in-ledger", None, "kiln", added.entity),)


def two_weighings(path):
    rows = filled(path)
    second = first(replace(rows["weighing"].fact, weight=grams("1702")))
    with LogbookFile.open(path) as book:
        write(book, second)
        return rows["weighing"], second, book.ledger_head()


def test_two_rows_swapped_are_named(path):
    one, two, head = two_weighings(path)
    columns = "weight_text, weight_g, weight_step_g"
    with unruled(path) as other:
        values = dict(other.execute(f"SELECT uid, json_array({columns}) FROM weighing"))
        for here, there in ((one, two), (two, one)):
            other.execute(
                f"UPDATE weighing SET ({columns}) = (?, ?, ?) WHERE uid = ?",
                (*json.loads(values[there.entity]), here.entity),
            )
    found = misfits(path, head)
    assert [(misfit.why, misfit.uid) for misfit in found] == [
        ("row-changed", one.entity),
        ("row-changed", two.entity),
    ]


def test_two_rows_that_changed_places_are_named(path):
    _, two, _ = two_weighings(path)
    with unruled(path) as other:
        other.execute("UPDATE weighing SET id = 3 - id + 10")
        other.execute("UPDATE weighing SET id = id - 10")
    assert misfits(path) == (Misfit("order-changed", head_number(path), "weighing", two.entity),)


def head_number(path):
    with LogbookFile.open(path) as book:
        return book.ledger_head().number


def test_two_ledger_lines_swapped_are_named(path):
    one, two, _ = two_weighings(path)
    with unruled(path) as other:
        other.execute("UPDATE ledger SET uid = uid || 'x' WHERE uid = ?", (one.entity,))
        other.execute("UPDATE ledger SET uid = ? WHERE uid = ?", (one.entity, two.entity))
        other.execute("UPDATE ledger SET uid = ? WHERE uid = ?", (two.entity, one.entity + "x"))
    whys = [misfit.why for misfit in misfits(path)]
    assert whys == ["ledger-changed", "row-changed", "ledger-changed", "row-changed", "order-changed"]


def test_a_row_and_its_line_removed_together_leave_a_gap(path):
    one, _, _ = two_weighings(path)
    with unruled(path) as other:
        other.execute("DELETE FROM weighing WHERE uid = ?", (one.entity,))
        ((number,),) = other.execute("DELETE FROM ledger WHERE uid = ? RETURNING number", (one.entity,))
    assert misfits(path)[0].why == "ledger-gap"
    assert misfits(path)[0].number == number + 1


def test_a_file_cut_short_shows_to_whoever_noted_a_head(path):
    _, two, head = two_weighings(path)
    with unruled(path) as other:
        other.execute("DELETE FROM weighing WHERE uid = ?", (two.entity,))
        other.execute("DELETE FROM ledger WHERE uid = ?", (two.entity,))
    assert misfits(path) == ()  # from inside the file nothing can be seen
    assert misfits(path, head) == (Misfit("cut-short", head.number),)


def test_a_ledger_written_anew_shows_to_whoever_noted_a_head(path):
    """The whole chain recomputed after an edit: sound inside, another than the one noted."""
    one, _, head = two_weighings(path)
    with unruled(path) as other:
        other.execute(
            "UPDATE weighing SET weight_text = '1791.5', weight_g = 1791.5 WHERE uid = ?", (one.entity,)
        )
        ((logbook,),) = other.execute("SELECT uid FROM logbook")
        before = first_hash(logbook)
        for number, table, uid in other.execute(
            "SELECT number, table_name, uid FROM ledger ORDER BY number"
        ).fetchall():
            cursor = other.execute(f"SELECT * FROM {table} WHERE uid = ?", (uid,))
            row = dict(zip([column[0] for column in cursor.description], cursor.fetchone(), strict=True))
            del row["id"]
            before = chain_hash(before, logbook, number, table, uid, row_hash(row))
            other.execute(
                "UPDATE ledger SET row_sha256 = ?, chain_sha256 = ? WHERE number = ?",
                (row_hash(row), before, number),
            )
    assert misfits(path) == ()
    assert misfits(path, head) == (Misfit("head-differs", head.number),)


def test_another_logbooks_uid_breaks_the_first_line(path, rows):
    with unruled(path) as other:
        other.execute("UPDATE logbook SET uid = 'other'")
    found = misfits(path)
    assert found[0] == Misfit("ledger-changed", 1, "setting", rows["setting"].entity)


def test_a_seal_carries_the_head_before_it(path, rows):
    with LogbookFile.open(path) as book:
        (closing,) = book.entries("closing")
    assert closing == rows["closing"]
    with plain(path) as other:
        before = other.execute(
            "SELECT number, chain_sha256 FROM ledger ORDER BY number DESC LIMIT 1 OFFSET 1"
        ).fetchone()
    assert (closing.fact.ledger_number, closing.fact.ledger_head) == before


def test_a_seal_that_does_not_fit_is_named(path, rows):
    """Altered with its hashes made to fit again, as a seal moved from elsewhere would be."""
    with unruled(path) as other:
        other.execute("UPDATE closing SET ledger_head = ?", ("0" * 64,))
        cursor = other.execute("SELECT * FROM closing")
        row = dict(zip([column[0] for column in cursor.description], cursor.fetchone(), strict=True))
        del row["id"]
        number, logbook, uid = other.execute(
            "SELECT number, logbook, uid FROM ledger ORDER BY number DESC LIMIT 1"
        ).fetchone()
        ((before,),) = other.execute("SELECT chain_sha256 FROM ledger WHERE number = ?", (number - 1,))
        other.execute(
            "UPDATE ledger SET row_sha256 = ?, chain_sha256 = ? WHERE number = ?",
            (row_hash(row), chain_hash(before, logbook, number, "closing", uid, row_hash(row)), number),
        )
    assert misfits(path) == (Misfit("seal-broken", number, "closing", rows["closing"].entity),)


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TRIGGER weighing_no_update",
        "DROP VIEW current_lot",
        "DROP INDEX board_by_lot",
        "CREATE TRIGGER extra AFTER INSERT ON kiln BEGIN SELECT 1; END",
        "ALTER TABLE kiln ADD COLUMN colour TEXT",
    ],
)
def test_rules_taken_away_or_added_are_seen(path, rows, statement):
    with plain(path) as other:
        other.execute(statement)
    with LogbookFile.open(path) as book:
        assert book.read_only  # such a file is read, not written
        assert Misfit("rules-changed") in book.verify()


def test_references_into_nothing_are_seen(path, rows):
    with unruled(path) as other:
        other.execute("DELETE FROM withdrawal")
        other.execute("UPDATE weighing SET board = 'nobody'")
    assert Misfit("reference", table="weighing", detail="board") in misfits(path)


def test_rows_taken_back_stay_in_the_ledger(path):
    rows = filled(path)
    with LogbookFile.open(path) as book:
        write(book, void(rows["weighing"]))
        assert book.verify() == ()
    with unruled(path) as other:
        other.execute("DELETE FROM weighing WHERE version = 'void'")
    assert [misfit.why for misfit in misfits(path)] == ["row-missing"]
