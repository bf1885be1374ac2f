"""Files come in whole or not at all; the sample is built from its tables, and done by itself where asked."""

from __future__ import annotations

import shutil

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.logbook.clock import machine_clock
from kilnlog.logbook.closing import sealed_figures
from kilnlog.logbook.demo import clock_from, fresh_sample, sample_now, sample_tables
from kilnlog.logbook.demo_round import weigh_all
from kilnlog.logbook.errors import Cancelled, FolderNotEmpty
from kilnlog.logbook.exporting import export
from kilnlog.logbook.importing import import_file, import_into
from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.status import history, status
from kilnlog.logbook.working import working
from kilnlog.records.errors import KilnlogError
from kilnlog.reference.tables import load
from tests.builders import moment
from tests.logbook.test_working import SUMS, worked_out

CHARGES = "charge,loaded_at,zone,closed_at\n1,2026-11-03 07:30,America/New_York,{closed}\n"
LOTS = "charge,lot,species,thickness\n1,A,red oak,4/4\n"
BOARDS = (
    "charge,board,lot,cut_at,start_weight,weight_unit,oven_dry_weight\n1,1,A,2026-11-03 07:00,1800,g,1000\n"
)
WEIGHINGS = "charge,board,weighed_at,weight,weight_unit\n1,1,2026-11-04 07:44,{weight},g\n"


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    return fresh_sample(tmp_path_factory.mktemp("sample"))


def tables(folder, *, closed="", weight="1750"):
    folder.mkdir()
    (folder / "charges.csv").write_text(CHARGES.format(closed=closed))
    (folder / "lots.csv").write_text(LOTS)
    (folder / "boards.csv").write_text(BOARDS)
    (folder / "weighings.csv").write_text(WEIGHINGS.format(weight=weight))
    return folder


def test_a_folder_is_taken_in_as_one_transaction(book, tmp_path):
    told = []
    changes = import_into(book, tables(tmp_path / "in"), told.append)
    assert len(changes.entries) == 4
    assert len(changes.charges) == 1
    record = book.file.charge_record(*changes.charges)
    assert [line.current.fact.weight.text for line in record.weighing] == ["1750"]
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_one_bad_cell_keeps_the_rest_out_too(book, tmp_path):
    with pytest.raises(KilnlogError) as refused:
        import_into(book, tables(tmp_path / "in", weight="17_50"))
    assert (refused.value.values["file"], refused.value.values["row"]) == ("weighings.csv", 2)
    assert refused.value.values["column"] == "weight"
    assert book.file.ledger_head().number == 0


def test_an_import_that_is_stopped_keeps_nothing(book, tmp_path):
    with pytest.raises(Cancelled):
        import_into(book, tables(tmp_path / "in"), cancelled=lambda: True)
    assert book.file.ledger_head().number == 0


def test_the_logbook_is_made_if_absent_and_unmade_if_the_import_is_refused(tmp_path):
    into = tmp_path / "new.kilnlog"
    with pytest.raises(KilnlogError):
        import_file(tables(tmp_path / "bad", weight="heavy"), into)
    assert list(tmp_path.glob("new*")) == []
    import_file(tables(tmp_path / "good"), into)
    book = open_logbook(into, read_only=True)
    assert book.file.ledger_head().number == 4
    book.close()


def test_a_closed_charge_comes_in_with_its_final_figures_sealed(book, tmp_path):
    changes = import_into(book, tables(tmp_path / "in", closed="2026-11-20 16:00"))
    closing = changes.entries[-1].fact
    [board] = sealed_figures(closing)["status"]["boards"]
    assert board["mc_pct"] == pytest.approx(75, abs=1e-9)  # 1750 g on 1000 g oven-dry
    assert closing.ledger_number == 4


def test_what_goes_out_comes_back_the_same(book, tmp_path, clock):
    changes = import_into(book, tables(tmp_path / "in", closed="2026-11-20 16:00"))
    export(book, tmp_path / "out.xlsx")
    again = import_file(tmp_path / "out.xlsx", tmp_path / "again.kilnlog", clock)

    def told(entries):
        return {
            entry.version.uid: (entry.version, getattr(entry.fact, "sealed_text", entry.fact))
            for entry in entries
        }

    assert told(again.entries) == told(changes.entries)


def test_the_sample_is_whole_and_waits_for_the_morning_after_its_last_round(sample):
    book = open_logbook(sample, read_only=True)
    assert book.file.verify() == ()
    # The mill's last round was on 24 November 2026.
    assert sample_now(book) == moment("2026-11-25 07:44")
    assert sample_now(book).local.isoformat() == "2026-11-25T07:44:00-05:00"
    book.close()


def test_a_folder_that_holds_a_sample_is_left_alone(sample):
    before = sample.read_bytes()
    with pytest.raises(FolderNotEmpty):
        fresh_sample(sample.parent)
    assert sample.read_bytes() == before


def test_a_folder_that_holds_anything_is_left_alone(tmp_path):
    notes = tmp_path / "status.txt"  # the name the demo gives to what it makes
    notes.write_text("mine", encoding="utf-8")
    with pytest.raises(FolderNotEmpty):
        fresh_sample(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["status.txt"]
    assert notes.read_text(encoding="utf-8") == "mine"


def test_the_samples_tables_are_not_touched(tmp_path, sample):
    copy = tmp_path / "mine.kilnlog"
    shutil.copy(sample, copy)
    before = {path.name: path.read_bytes() for path in sample_tables().glob("*.csv")}
    book = open_logbook(copy)
    charge = book.charge_numbered("2026-14").entity
    now = sample_now(book)
    kept = list(weigh_all(book, charge, load(), now))
    record = book.file.charge_record(charge)
    book.close()
    assert {path.name: path.read_bytes() for path in sample_tables().glob("*.csv")} == before
    # All eight boards of the charge, each a little drier than the day before.
    assert len(kept) == 8
    figures = assess(record, load(), now.plus_hours(1))
    assert figures.rounds[-1].carried == ()
    assert all(rate > 0 for rate in figures.rounds[-1].rate_pct_per_day.values())


def test_every_charge_of_the_sample_has_its_figures_in_words(sample):
    book = open_logbook(sample, read_only=True)
    now = sample_now(book)
    for line in book.file.charges():
        record = book.file.charge_record(line.entity)
        assessment = assess(record, load(), now)
        for finding in status(record, assessment)["findings"]:
            for said in (finding["what"], finding["why"], finding["do"]):
                assert said
                assert not {"{", "}", "[", "]", "|"} & set(said)
        assert len(history(record, assessment)) == len(assessment.rounds)
    book.close()


def test_every_sum_shown_for_the_sample_comes_to_its_figure(sample):
    book = open_logbook(sample, read_only=True)
    done = 0
    for line in book.file.charges():
        record = book.file.charge_record(line.entity)
        loaded_at = line.current.fact.loaded_at
        for at in [loaded_at.plus_hours(24 * days) for days in (6, 20, 400)] if loaded_at else []:
            assessment = assess(record, load(), at)
            for board in assessment.boards:
                for figure in SUMS:
                    worked = working(record, assessment, board.entity, figure)
                    for said in worked.lines if worked else ():
                        if " = " in said:
                            value, shown, half_a_digit = worked_out(said)
                            assert abs(value - shown) <= 2 * half_a_digit, said
                            done += 1
    book.close()
    assert done > 1000


def test_a_clock_set_to_another_moment_goes_on_from_there(clock):
    shifted = clock_from(moment("2026-11-25 07:44"), clock)
    assert shifted() == moment("2026-11-25 07:44").utc
    clock.forward(minutes=5)
    assert shifted() == moment("2026-11-25 07:49").utc
    assert machine_clock().tzinfo is not None
