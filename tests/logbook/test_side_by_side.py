"""Past charges of one kind side by side: sealed by the real verbs, their figures worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from kilnlog.logbook.closing import close_charge, reopen
from kilnlog.logbook.register import register
from kilnlog.logbook.side_by_side import compared, degrade_of, kinds_closed, summary
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.records.defect import Defect
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    ReadingKind,
    TallyTime,
    VolumeUnit,
)
from kilnlog.reference.tables import load
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep

NOW = moment("2026-11-25 07:44", ZONE)
UNLOADED = "2026-11-12 09:00"


def charge(book, number, *found, readings=()):
    """Two boards of 1000 g oven-dry that end at 7 and 6 %, 500 bf of one lot, with what was found of it."""
    filled = fill_charge(book, number)
    for label, grams in (("1", "1070"), ("2", "1060")):
        keep_weight(
            book, filled.charge, filled.boards[label], weight(grams), moment("2026-11-12 08:00", ZONE)
        )
    for piece, mc_pct in enumerate(readings, start=1):
        fact = FinalReading(
            filled.charge, filled.lot, ReadingKind.PIN_METER, piece=str(piece), reading_pct=mc_pct
        )
        keep(book, fact, UNLOADED)
    for make in found:
        keep(book, make(filled), UNLOADED)
    close_charge(book, filled.charge, moment("2026-11-13 08:00", ZONE), None, load())
    return filled


def told(book):
    lines = register(book, load(), NOW)
    (kind,) = kinds_closed(lines)
    return {one.number: one for one in compared(book, lines, kind.kinds)}


def defect(kind=DefectKind.HONEYCOMB, **how):
    return lambda filled: Defect(filled.charge, filled.lot, kind, **how)


def tally(pieces, when=TallyTime.NET):
    return lambda filled: TallyLine(
        filled.charge, filled.lot, when, pieces=pieces, volume=480.0, volume_unit=VolumeUnit.BOARD_FEET
    )


def test_a_charge_by_its_sample_boards(book):
    charge(book, "1")
    one = told(book)["1"]
    assert (one.kiln, one.loaded, one.days) == ("kiln of 1", "2026-11-03", 11)
    assert one.start_mc_pct == pytest.approx(80)
    assert one.read == "2 boards"
    assert (one.final.mean_pct, one.final.sd_pct) == (
        pytest.approx(6.5),
        pytest.approx(np.std([7, 6], ddof=1)),
    )
    assert (one.degrade.share_pct, one.degrade.words) == (None, "–")


def test_pieces_read_at_the_end_tell_instead(book):
    charge(book, "1", readings=(6.0, 6.5, 7.0, 8.5))
    one = told(book)["1"]
    assert one.read == "4 by pin meter"
    assert one.final.sd_pct == pytest.approx(np.std([6, 6.5, 7, 8.5], ddof=1))


def test_degrade_by_volume_else_by_pieces_else_as_counted(book):
    bf = VolumeUnit.BOARD_FEET
    charge(
        book,
        "volume",
        defect(volume=20.0, volume_unit=bf),
        defect(DefectKind.CUP, volume=5.0, volume_unit=bf, pieces=1),
    )
    charge(book, "pieces", defect(pieces=6), tally(120))
    charge(book, "counted", defect(pieces=1))
    charge(book, "named", defect())
    words = {number: one.degrade.words for number, one in told(book).items()}
    # 25 of 500 bf; 6 of 120 pieces.
    assert words == {
        "volume": "5.0 %",
        "pieces": "5.0 %",
        "counted": "1 piece",
        "named": "written down, not counted",
    }
    assert told(book)["volume"].degrade.share_pct == pytest.approx(5)


def test_what_was_said_of_no_defects(book):
    for number, kind, note in (
        ("none", AnswerKind.NONE_FOUND, None),
        ("left", AnswerKind.LEFT_OUT, "sold rough"),
    ):
        charge(
            book,
            number,
            lambda filled, kind=kind, note=note: StepAnswer(
                filled.charge, CloseOutStep.DEFECTS, kind, lot=filled.lot, note=note
            ),
        )
    words = {number: one.degrade.words for number, one in told(book).items()}
    assert words == {"none": "none found", "left": "not looked at"}
    assert degrade_of({}).words == "–"


def test_those_chosen_are_told_of_together(book):
    charge(book, "1", readings=(6.0, 7.0))
    charge(book, "2", readings=(8.0, 8.4))
    both = list(told(book).values())
    assert summary(both) == (
        "2 charges chosen",
        "11 days in the kiln",
        "mean at the end 6.5 – 8.2 %",
        "standard deviation 0.28 – 0.71 %",  # 0.4 and 1 over the root of 2
    )
    assert summary([]) == ("0 charges chosen",)


def test_one_reopened_meanwhile_is_left_out(book):
    filled = charge(book, "1")
    charge(book, "2")
    lines = register(book, load(), NOW)
    (kind,) = kinds_closed(lines)
    assert (kind.words, kind.count) == ("4/4 red oak", 2)
    reopen(book, filled.charge, None, "a pack was forgotten", NOW)
    assert [one.number for one in compared(book, lines, kind.kinds)] == ["2"]
