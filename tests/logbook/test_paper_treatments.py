"""Equalizing and conditioning on the papers of a lot that was in the kiln then."""

from __future__ import annotations

from dataclasses import replace

from kilnlog.logbook.paper_contents import contents_of
from kilnlog.logbook.paper_told import told_at
from kilnlog.logbook.writing import correct, write
from kilnlog.records.event import Event
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.tables import load
from tests.builders import moment
from tests.seal.finished import ZONE, a_book, finish

EQUALIZING, CONDITIONING = EventKind.EQUALIZING, EventKind.CONDITIONING
START, END = EventState.START, EventState.END
BEGUN, ENDED = "2026-11-20T09:00:00-05:00", "2026-11-21T10:00:00-05:00"


def at(clock):
    return moment(f"2026-11-{clock}", ZONE)


def treatments(tmp_path, events, out_at=None):
    """Of lot A and lot B, A gone at ``out_at``."""
    with a_book(tmp_path / "mill.kilnlog") as book:
        done = finish(book)
        for kind, state, clock in events:
            write(book, Event(done.charge, kind, state, note="told Rowan"), at(clock))
        if out_at is not None:
            lot = next(
                line for line in book.file.charge_record(done.charge).lot if line.newest.fact.lot == "A"
            )
            correct(book, "lot", lot.entity, replace(lot.newest.fact, out_at=at(out_at)), "gone early")
        told = told_at(book, book.file.charge_record(done.charge), load(), at("22 08:00"))
        return [part["treatments"] for part in contents_of(told)["lots"]]


def test_each_time_is_told_to_every_lot_without_its_note(tmp_path):
    one, other = treatments(
        tmp_path,
        [
            (EQUALIZING, START, "20 09:00"),
            (EQUALIZING, END, "21 10:00"),
            (EventKind.DOOR, START, "21 10:05"),
            (CONDITIONING, START, "21 10:30"),
        ],
    )
    assert one == other
    assert one == [
        {"kind": "equalizing", "begins": BEGUN, "ends": ENDED},
        {"kind": "conditioning", "begins": "2026-11-21T10:30:00-05:00", "ends": None},
    ]


def test_an_end_alone_is_told_and_a_second_beginning_leaves_the_first_open(tmp_path):
    told, _ = treatments(
        tmp_path,
        [(CONDITIONING, END, "19 10:00"), (EQUALIZING, START, "20 09:00"), (EQUALIZING, START, "20 12:00")],
    )
    assert [(part["begins"] is None, part["ends"] is None) for part in told] == [
        (True, False),
        (False, True),
        (False, True),
    ]


def test_a_lot_that_left_had_it_until_then(tmp_path):
    gone, stayed = treatments(
        tmp_path,
        [
            (EQUALIZING, START, "20 09:00"),
            (EQUALIZING, END, "21 12:00"),
            (CONDITIONING, START, "21 12:10"),
            (CONDITIONING, END, "21 20:00"),
        ],
        out_at="21 10:00",
    )
    assert gone == [{"kind": "equalizing", "begins": BEGUN, "ends": ENDED}]
    assert len(stayed) == 2
