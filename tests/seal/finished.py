"""A small finished charge of two owners, written by the verbs, and the same steps again for any other mill.

Invented: Quillbeck Mill dries oak for Rowan Joinery (lot A) and ash for Ødegaard & Finch (lot B).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from kilnlog.logbook.session import Logbook
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import write
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.defect import Defect
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.section import Section
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    InstrumentKind,
    ReadingKind,
    StressFound,
    StressTestKind,
    TallyTime,
    VolumeUnit,
)
from kilnlog.store.logbook_file import LogbookFile
from tests.builders import moment, weight

ZONE = "America/New_York"
ROWAN, FINCH = "Rowan Joinery", "Ødegaard & Finch"
LOADED = moment("2026-11-03 07:30", ZONE)
WEIGHED = moment("2026-11-20 07:44", ZONE)
READ = moment("2026-11-21 09:10", ZONE)
CLOSED = moment("2026-11-21 16:30", ZONE)
LATER = moment("2026-11-24 08:00", ZONE)

FIRST_METER, SECOND_METER, OTHERS_METER = "Brass pins, long", "Steel pins", "Finch's own pins"


@dataclass(frozen=True)
class Finished:
    """Entities, those of lots and boards by their labels."""

    charge: str
    lots: dict[str, str]
    boards: dict[str, str]
    meters: dict[str, str]


@contextmanager
def a_book(path: Path) -> Iterator[Logbook]:
    """An empty logbook whose clock stands still after everything here was observed."""
    with LogbookFile.create(path) as file:
        yield Logbook(file, "Wren", lambda: datetime(2026, 11, 24, 14, 0, tzinfo=UTC), ZONE)


@contextmanager
def opened(path: Path) -> Iterator[Logbook]:
    """The logbook at ``path`` again."""
    with LogbookFile.open(path) as file:
        yield Logbook(file, "Wren", lambda: datetime(2026, 11, 24, 14, 0, tzinfo=UTC), ZONE)


def one(book: Logbook, fact: object, at: Moment = LOADED) -> str:
    """Write a fact; its entity."""
    return write(book, fact, at).entries[0].entity  # type: ignore[arg-type]  # any fact


def finish(
    book: Logbook, number: str = "2026-12", owners: tuple[str | None, str | None] = (ROWAN, FINCH)
) -> Finished:
    """A charge loaded, weighed and read, but not closed; by hand board 1 is at 7.2 %, board 2 at 6.8 %."""
    meters = {
        name: one(book, Instrument(name, InstrumentKind.METER, 0.1, "%", LOADED))
        for name in (FIRST_METER, SECOND_METER, OTHERS_METER)
    }
    one(book, Instrument("Bench", InstrumentKind.SCALE, 1.0, "g", LOADED))
    kiln = one(book, Kiln("Orchard kiln"))
    charge = one(book, Charge(number, ZONE, kiln, LOADED, 7.0))
    lots, boards = {}, {}
    for label, owner, species, board, end in (
        ("A", owners[0], "red oak", "1", "1072"),
        ("B", owners[1], "white ash", "2", "1068"),
    ):
        lot = lots[label] = one(book, Lot(charge, label, owner, species, "4/4", 500.0, VolumeUnit.BOARD_FEET))
        uid = boards[board] = one(book, Board(charge, board, weight("1800"), lot, coated=True))
        for section in ("a", "b"):
            one(book, Section(charge, uid, section, weight("180.0"), weight("100.0"), LOADED))
        keep_weight(book, charge, uid, weight(end), WEIGHED)
        used = (FIRST_METER, SECOND_METER) if label == "A" else (OTHERS_METER,)
        for piece, reading in enumerate((6.5, 7.0, 7.5, 34.0), 1):
            meter = meters[used[piece % len(used)]]
            read = FinalReading(
                charge, lot, ReadingKind.PIN_METER, "1", str(piece), meter, reading_pct=reading
            )
            one(book, read, READ)
        one(book, StressTest(charge, lot, StressTestKind.PRONG, "3", StressFound.FREE), READ)
        one(book, Defect(charge, lot, DefectKind.END_CHECKS, pieces=2), READ)
        for when, volume in ((TallyTime.GREEN, 500.0), (TallyTime.NET, 470.0)):
            one(
                book,
                TallyLine(charge, lot, when, volume=volume, volume_unit=VolumeUnit.BOARD_FEET),
                READ,
            )
    one(book, StepAnswer(charge, CloseOutStep.HEAT, AnswerKind.LEFT_OUT, note="not asked for"), READ)
    one(book, StepAnswer(charge, CloseOutStep.STRESS, AnswerKind.NONE_FOUND, lots["A"]), READ)
    return Finished(charge, lots, boards, meters)
