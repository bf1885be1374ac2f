"""A file of an earlier schema becomes one of today when it is opened for writing: a checked copy first."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from kilnlog.store import upgrading
from kilnlog.store.errors import DamagedLogbook, DiskFull, ReadOnlyLogbook
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.migrations import FINGERPRINTS, SCHEMA, fingerprint, migrate, schema_of
from tests.store.folders import as_somebody, contents, nothing_changes, protected
from tests.store.make_past import PAST
from tests.store.mill import first, one_of_each, plain, unruled, write
from tests.store.test_past import HEADS

EARLIER = [schema for schema in HEADS if schema < SCHEMA]


@pytest.fixture(params=EARLIER)
def schema(request):
    return request.param


@pytest.fixture
def old(folder, schema):
    """A logbook of an earlier schema in a folder where anybody may make files."""
    path = folder / "Mill.kilnlog"
    shutil.copyfile(PAST / f"schema_{schema}.kilnlog", path)
    path.chmod(0o666)
    folder.chmod(0o777)
    return path


def copy_of(path: Path, number: str = "") -> Path:
    return path.with_name(f"Mill before schema {SCHEMA}{number}.kilnlog")


def schema_in(path: Path) -> int:
    with plain(path) as connection:
        assert fingerprint(connection) == FINGERPRINTS[schema_of(connection)]
        return schema_of(connection)


def names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def test_a_checked_copy_stays_beside_and_both_fit_the_old_head(old, schema):
    LogbookFile.open(old).close()
    assert names(old.parent) == {old.name, copy_of(old).name}
    assert (schema_in(old), schema_in(copy_of(old))) == (SCHEMA, schema)
    for path in (old, copy_of(old)):
        with LogbookFile.open(path, read_only=True) as book:
            assert book.verify(HEADS[schema]) == ()
            assert book.ledger_head() == HEADS[schema]


def test_a_file_of_today_is_not_copied(old):
    for _ in range(2):
        LogbookFile.open(old).close()
        assert names(old.parent) == {old.name, copy_of(old).name}


def test_what_is_new_can_be_written_to_what_is_old(old, schema):
    rows = one_of_each()
    charge = first(type(rows["charge"].fact)("2026-9", "UTC"))
    with LogbookFile.open(old) as book:
        air = type(rows["air_reading"].fact)(charge.entity, rh_pct=81.0)
        write(book, charge, first(air))
        assert book.charge_record(charge.entity).air_reading[0].current.fact == air
        assert book.verify(HEADS[schema]) == ()


def test_reading_leaves_file_and_folder_as_they_were(old, schema):
    with nothing_changes(old.parent), LogbookFile.open(old, read_only=True) as book:
        assert book.verify(HEADS[schema]) == ()
        assert isinstance(book.why_read_only, ReadOnlyLogbook)
        with pytest.raises(ReadOnlyLogbook), book.immediate():
            pass


def test_where_no_copy_can_be_made_the_file_is_read(old, schema):
    guarded = protected(old.parent, 0o555)
    with guarded, nothing_changes(old.parent), as_somebody(), LogbookFile.open(old) as book:
        assert isinstance(book.why_read_only, ReadOnlyLogbook)
        assert book.verify(HEADS[schema]) == ()


def test_where_the_disk_has_no_room_for_a_copy_the_file_is_read(old, schema, monkeypatch):
    def full(*_: object, **__: object) -> None:
        raise DiskFull(path=str(old))

    monkeypatch.setattr(upgrading, "back_up", full)
    with nothing_changes(old.parent), LogbookFile.open(old) as book:
        assert isinstance(book.why_read_only, DiskFull)
        assert book.verify(HEADS[schema]) == ()


def test_an_upgrade_cut_off_leaves_the_old_file_and_is_done_again(old, schema, monkeypatch):
    before = old.read_bytes()

    def cut_off(connection: object) -> None:
        migrate(connection)
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(upgrading, "migrate", cut_off)
        with pytest.raises(KeyboardInterrupt):
            LogbookFile.open(old)
    assert old.read_bytes() == before
    assert schema_in(old) == schema
    assert names(old.parent) == {old.name, copy_of(old).name}
    LogbookFile.open(old).close()
    assert schema_in(old) == SCHEMA
    assert names(old.parent) == {old.name, copy_of(old).name}  # the copy it had left was good


@pytest.mark.parametrize("is_logbook", [False, True])
def test_another_file_of_that_name_is_left_alone(old, is_logbook):
    if is_logbook:
        LogbookFile.create(copy_of(old)).close()
    else:
        copy_of(old).write_text("notes")
    before = copy_of(old).read_bytes()
    LogbookFile.open(old).close()
    assert copy_of(old).read_bytes() == before
    assert names(old.parent) == {old.name, copy_of(old).name, copy_of(old, " 2").name}


def test_a_row_tampered_with_earlier_does_not_hinder_and_stays_seen(old):
    with unruled(old) as other:
        other.execute("UPDATE weighing SET weight_text = '1790.6' WHERE id = 1")
    with LogbookFile.open(old, read_only=True) as book:
        seen = book.verify()
    assert [misfit.why for misfit in seen] == ["row-changed"]
    for path in (old, copy_of(old)):
        with LogbookFile.open(path) as book:
            assert book.why_read_only is None
            assert book.verify() == seen


@pytest.mark.parametrize("statement", ["DROP TRIGGER weighing_no_delete", "DROP VIEW current_lot"])
def test_rules_taken_away_are_not_covered_up(old, statement):
    with plain(old) as other:
        other.execute(statement)
    with nothing_changes(old.parent), LogbookFile.open(old) as book:
        assert isinstance(book.why_read_only, DamagedLogbook)
        assert "rules-changed" in [misfit.why for misfit in book.verify()]


def test_a_damaged_file_is_not_upgraded(old):
    whole = old.read_bytes()
    seen = set()
    for start in range(4096, len(whole), 4096):
        old.write_bytes(whole[:start] + b"\xa5" * 4096 + whole[start + 4096 :])
        with nothing_changes(old.parent):
            try:
                with LogbookFile.open(old) as book:
                    assert isinstance(book.why_read_only, DamagedLogbook), start
                    book.everything()
                    seen.add("read")
            except DamagedLogbook:
                seen.add("refused")
    assert seen == {"read", "refused"}
    assert contents(old.parent).keys() == {str(old)}
