"""Files of earlier schemas are read, verified and written to by this version. One is kept for each schema."""

from __future__ import annotations

import shutil

import pytest

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.kiln import Kiln
from kilnlog.records.version import VersionKind
from kilnlog.store.ledger import LedgerHead
from kilnlog.store.logbook_file import LogbookFile
from kilnlog.store.migrations import FINGERPRINTS, SCHEMA
from tests.store.make_past import PAST, make
from tests.store.mill import DAYS, MONDAY, first, write

#: What ``tests.store.make_past`` printed when it made the file.
HEADS = {
    1: LedgerHead(24, "669bdc29092ff24f71342d62c0ecfe2ee6467403c64dedf365738aca316a11e5"),
    2: LedgerHead(30, "fd3c115743acea6baf46235fa158bafdd466779449be850c35a5dd70850f8831"),
    3: LedgerHead(45, "e29bc395828292018accb6eb09883f7e50e6117cc4d74a3a6f10e198b3522058"),
}


def test_every_schema_released_is_kept():
    assert HEADS.keys() == FINGERPRINTS.keys()
    assert max(HEADS) == SCHEMA
    assert {file.name for file in PAST.iterdir()} == {f"schema_{schema}.kilnlog" for schema in HEADS}


@pytest.fixture(params=HEADS)
def kept(request):
    return request.param, PAST / f"schema_{request.param}.kilnlog", HEADS[request.param]


def told_as_first_written(book: LogbookFile, schema: int) -> None:
    """What was typed then, read now."""
    (charge,) = book.charges()
    record = book.charge_record(charge.entity)
    assert record.is_closed
    assert record.particulars.charge == "2026-4"
    assert record.particulars.target_mc_pct == 8.0
    assert record.kiln[0].current.fact.kiln == "South kiln"
    (board,) = record.board
    assert [entry.version.kind for entry in board.entries] == [VersionKind.FIRST, VersionKind.CORRECTION]
    assert board.current.fact.start_weight.text == "1842.50"
    assert board.current.fact.cut_from == "log 2"
    assert [line.current and line.current.fact.weight.text for line in record.weighing] == [
        "1790.5",
        "1720",
        None,
    ]
    lot = record.lot[0]
    assert lot.at(MONDAY, particulars=True).fact.out_at is None
    assert lot.current.fact.out_at == MONDAY.plus_hours(48)
    assert record.breakage[0].current.fact.reason == "fork lift"
    assert record.closing_of().fact.ledger_number == HEADS[schema].number - 1
    if schema >= 2:
        air_told_as_first_written(book, record)
    if schema >= 3:
        finish_told_as_first_written(book, record)


def air_told_as_first_written(book: LogbookFile, record: ChargeRecord) -> None:
    """What schema 2 added."""
    kiln = record.kiln[0]
    assert kiln.at(MONDAY, particulars=True).fact.entering_sensor is None
    assert (kiln.current.fact.entering_sensor, kiln.current.fact.temperature_unit) == ("fan side", "C")
    assert record.air_reading[0].current.fact.wet_bulb == 41.0
    assert record.set_point[0].current.fact.depression == 8.0
    assert record.meter_check[0].current.fact.reading_pct == 21.5
    batch = book.logger_batches(record.entity)[0]
    assert (batch.fact.sensor, batch.fact.rows) == ("fan side", 4)
    assert tuple(book.logger_days(batch.entity)) == DAYS
    (series,) = book.logger_series(record.entity)
    assert (series.sensor, list(series.dry)) == ("fan side", [48.5, 48.62, 48.7, 49.1])


def finish_told_as_first_written(book: LogbookFile, record: ChargeRecord) -> None:
    """What schema 3 added."""
    assert record.final_reading[0].current.fact.reading_pct == 7.5
    assert record.stress_test[0].current.fact.found == "free"
    assert record.defect[0].current.fact.pieces == 3
    assert (record.tally_line[0].current.fact.when, record.tally_line[0].current.fact.volume) == (
        "net",
        1204.5,
    )
    assert record.probe_reading[0].current.fact.temperature == 56.5
    assert record.heat_choice[0].current.fact.for_minutes == 30.0
    assert record.step_answer[0].current.fact.note == "no saw at hand"
    assert record.later_note[0].current.fact.text == "the buyer measured 7.4 %"
    second = record.lot[1].entity
    closings = record.closings_of(second).entries
    assert [(entry.fact.reopened, entry.fact.sealed_text) for entry in closings] == [
        (False, '{"lot":"B"}'),
        (True, None),
        (False, '{"lot":"B"}'),
    ]
    assert record.closing_of(second) == closings[-1]
    assert [entry.fact.reopened for entry in record.closings_of().entries] == [False, True, False]
    assert record.closings_of().entries[1].version.reason == "a weight was misread"
    (probe,) = book.probe_series(record.entity)
    assert (probe.sensor, probe.placed_in, len(probe.at_s)) == ("entering", "core", 4)


def test_a_file_of_the_past_is_read_where_it_lies_and_fits_its_head(kept):
    schema, path, head = kept
    before = path.read_bytes()
    with LogbookFile.open(path, read_only=True) as book:
        told_as_first_written(book, schema)
        assert book.verify(head) == ()
    assert path.read_bytes() == before
    assert not list(PAST.glob("*-*"))


def test_a_copy_of_a_file_of_the_past_can_be_written_to(kept, path):
    schema, source, head = kept
    shutil.copyfile(source, path)
    with LogbookFile.open(path) as book:
        assert book.why_read_only is None
        write(book, first(Kiln("North kiln", leaving_sensor="vent side")))
        told_as_first_written(book, schema)
        assert book.verify(head) == ()
        assert book.ledger_head().number == head.number + 1


def test_the_script_writes_what_is_kept(path):
    number, _ = make(path).split()
    assert int(number) == HEADS[SCHEMA].number
    with LogbookFile.open(path) as book:
        told_as_first_written(book, SCHEMA)
