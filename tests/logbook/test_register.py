"""The register: what stands on each line, in which order, and what is due."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import ChargeState
from kilnlog.drying.finding import Severity
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.kiln_stays import with_clashes
from kilnlog.logbook.register import counts, matching, register
from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.shared_particulars import SharedParticulars
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import correct, take_back
from kilnlog.records.charge import Charge
from kilnlog.records.decision import Decision
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.stay import Stay
from kilnlog.records.words import VolumeUnit
from kilnlog.reference.tables import load
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep
from tests.store.mill import unruled

NOW = moment("2026-11-25 07:44", ZONE)


def lines(book, at=NOW):
    return register(book, load(), at)


def line(book, number="2026-14", at=NOW):
    return next(one for one in lines(book, at) if one.number == number)


def test_an_empty_logbook_has_an_empty_register(book):
    assert lines(book) == ()


def test_a_running_charge(book):
    kiln = keep(book, Kiln("North shed"))
    filled = fill_charge(book, kiln=kiln, notes="Left fan belt squeals")
    for label, grams in (("1", "1435"), ("2", "1335")):
        keep_weight(
            book, filled.charge, filled.boards[label], weight(grams), moment("2026-11-25 07:30", ZONE)
        )
    told = line(book)
    assert (told.state, told.state_words, told.kiln) == (ChargeState.DRYING, "drying", "North shed")
    assert (told.what, told.whose) == ("4/4 red oak", "Rowan Joinery")
    assert (told.volume, told.volume_unit) == (500.0, VolumeUnit.BOARD_FEET)
    assert told.control_mc_pct == pytest.approx(43.5, abs=1e-9)  # the wetter of two: (1435 - 1000) / 10
    # From 80 % to 7 %: 36.5 of 73 points are gone.
    assert told.way_to_target == pytest.approx(0.5, abs=1e-9)
    assert told.day == pytest.approx(22.0097, abs=1e-3)
    assert told.due is None


def test_boards_not_weighed_today_are_due(book):
    filled = fill_charge(book)
    keep_weight(book, filled.charge, filled.boards["1"], weight("1435"), moment("2026-11-24 07:30", ZONE))
    keep_weight(book, filled.charge, filled.boards["2"], weight("1335"), moment("2026-11-25 00:10", ZONE))
    told = line(book)
    assert told.due == "1 board to weigh"
    assert told.severity is Severity.LOOK


def test_a_step_that_is_due_comes_first(book):
    for step, begin in ((1, None), (2, 50.0)):
        keep(book, ScheduleStep("ours", step, from_mc_pct=begin))
    filled = fill_charge(book, schedule="ours")
    for board in filled.boards.values():
        keep_weight(book, filled.charge, board, weight("1490"), moment("2026-11-24 07:30", ZONE))
    told = line(book)
    assert told.state_words == "drying, step 1"
    assert told.due == "step 2 due now"
    assert told.severity is Severity.ACT


def test_a_planned_charge_waits_for_its_boards(book):
    keep(book, Charge("2026-16", ZONE, target_mc_pct=8.0))
    told = line(book, "2026-16")
    assert (told.state_words, told.due, told.severity) == ("planned", "cut sample boards", None)
    assert (told.day, told.control_mc_pct, told.way_to_target) == (None, None, None)
    assert (told.what, told.whose, told.volume) == ("", "own stock", None)


def test_a_charge_with_boards_is_to_be_loaded_and_an_unloaded_one_to_be_closed(book):
    fill_charge(book, "1", loaded_at=None)
    fill_charge(book, "2", unloaded_at=moment("2026-11-20 10:00", ZONE))
    assert line(book, "1").due == "load the kiln"
    assert line(book, "2").due == "close it"


def test_a_closed_charge_shows_what_was_sealed(book):
    filled = fill_charge(book)
    for board in filled.boards.values():
        keep_weight(book, filled.charge, board, weight("1072"), moment("2026-11-20 07:44", ZONE))
    close_charge(book, filled.charge, moment("2026-11-21 16:30", ZONE), "sold", load())
    told = line(book)
    assert (told.state, told.state_words) == (ChargeState.CLOSED, "closed 21 Nov")
    assert told.control_mc_pct == pytest.approx(7.2, abs=1e-9)
    assert told.day == pytest.approx(18.375, abs=1e-9)
    assert not told.is_open
    assert line(book, at=moment("2027-01-05 08:00", ZONE)).state_words == "closed 21 Nov 2026"


def test_a_seal_that_was_altered_is_told_as_not_verified_and_worked_out_by_nobody(book):
    filled = fill_charge(book)
    for board in filled.boards.values():
        keep_weight(book, filled.charge, board, weight("1072"), moment("2026-11-20 07:44", ZONE))
    close_charge(book, filled.charge, moment("2026-11-21 16:30", ZONE), "sold", load())
    assert line(book).seal_fits
    path = book.file.path
    book.close()
    with unruled(path) as other:
        other.execute(
            """UPDATE closing SET sealed_text = replace(sealed_text, '"mc_pct":7.2', '"mc_pct":6.2')"""
        )
    again = open_logbook(path)
    told = line(again)
    assert (told.state_words, told.severity) == ("closed 21 Nov, not verified", Severity.ACT)
    assert not told.seal_fits
    again.close()


def test_a_charge_taken_back_stays_to_be_seen(book):
    charge = keep(book, Charge("2026-18", ZONE))
    take_back(book, "charge", charge, "never came")
    told = line(book, "2026-18")
    assert (told.state, told.state_words, told.is_open) == (ChargeState.TAKEN_BACK, "taken back", False)


def test_open_charges_come_first_the_newest_leading(book):
    fill_charge(book, "old", loaded_at=moment("2026-10-01 08:00", ZONE))
    fill_charge(book, "new", loaded_at=moment("2026-11-01 08:00", ZONE))
    keep(book, Charge("planned", ZONE))
    done = fill_charge(book, "done", loaded_at=moment("2026-11-02 08:00", ZONE))
    close_charge(book, done.charge, moment("2026-11-21 16:30", ZONE), None, load())
    assert [one.number for one in lines(book)] == ["new", "old", "planned", "done"]
    assert counts(lines(book)) == {ChargeState.DRYING: 2, ChargeState.PLANNED: 1, ChargeState.CLOSED: 1}
    assert counts(lines(book))[ChargeState.UNLOADED] == 0


def test_several_lots_are_told_together(book):
    charge = keep(book, Charge("1", ZONE))
    keep(book, Lot(charge, "A", "Rowan Joinery", "ash", "5/4", 423.776, VolumeUnit.BOARD_FEET))
    keep(book, Lot(charge, "B", None, "ash", "4/4", 1.5, VolumeUnit.CUBIC_METRES))
    keep(book, Lot(charge, "C", None, "ash", "4/4"))
    told = line(book, "1")
    assert (told.what, told.whose, told.owners) == ("5/4 ash, 4/4 ash", "two owners", ("Rowan Joinery",))
    # 1 m3 = 423.776 bf, to the usual three decimals.
    assert told.volume == pytest.approx(2.5, abs=1e-6)
    assert told.volume_unit is VolumeUnit.CUBIC_METRES


def test_one_owner_written_in_several_ways_is_one_owner(book):
    charge = keep(book, Charge("1", ZONE))
    for label, owner in (("A", "Rowan Joinery"), ("B", "Rowan Joinery "), ("C", "rowan  joinery")):
        keep(book, Lot(charge, label, owner))
    told = line(book, "1")
    assert (told.whose, told.owners) == ("Rowan Joinery", ("Rowan Joinery",))
    assert SharedParticulars.read(book).owners == ("Rowan Joinery",)


@pytest.mark.parametrize("typed", ["2026-14", "north", "RED OAK", "rowan", "squeals", "oak north", ""])
def test_a_charge_is_found_by_number_kiln_species_owner_and_notes(book, typed):
    fill_charge(book, kiln=keep(book, Kiln("North shed")), notes="Left fan belt squeals")
    keep(book, Charge("2025-99", ZONE))
    found = [one.number for one in matching(lines(book), typed)]
    assert found == (["2026-14", "2025-99"] if not typed else ["2026-14"])


def test_nothing_is_found_by_a_word_that_stands_nowhere(book):
    fill_charge(book)
    assert matching(lines(book), "oak walnut") == ()


def clashing(book, number):
    return [finding for finding in line(book, number).findings if finding.code == "two-charges-in-kiln"]


def test_two_charges_in_one_kiln_are_found_on_both(book):
    kiln = keep(book, Kiln("North shed"))
    fill_charge(book, "1", kiln=kiln, unloaded_at=moment("2026-11-20 10:00", ZONE))
    fill_charge(book, "2", kiln=kiln, loaded_at=moment("2026-11-19 10:00", ZONE))
    [told] = clashing(book, "1")
    assert told.values["kiln"] == "North shed"
    assert told.values["other"] == "2"
    assert told.values["from_at"] == moment("2026-11-19 10:00", ZONE)
    assert told.values["until_at"] == moment("2026-11-20 10:00", ZONE)
    assert clashing(book, "2")[0].values["other"] == "1"


def test_a_clash_is_answered_as_any_other_finding(book):
    kiln = keep(book, Kiln("North shed"))
    one = fill_charge(book, "1", kiln=kiln)
    fill_charge(book, "2", kiln=kiln)
    keep(book, Decision(one.charge, "two-charges-in-kiln", "charge", "half the kiln each"), NOW)
    assert clashing(book, "1") == []
    assert [finding.values["other"] for finding in line(book, "1").clashes] == ["2"]
    record = book.file.charge_record(one.charge)
    told = with_clashes(record, assess(record, load(), NOW), line(book, "1").clashes).findings
    assert [one.answered for one in told if one.code == "two-charges-in-kiln"] == [True]
    assert [one.answered for one in told] == sorted(one.answered for one in told)
    assert len(clashing(book, "2")) == 1


def test_a_kiln_unloaded_and_loaded_in_one_minute_holds_one_charge_at_a_time(book):
    kiln = keep(book, Kiln("North shed"))
    fill_charge(book, "1", kiln=kiln, unloaded_at=moment("2026-11-20 10:00", ZONE))
    fill_charge(book, "2", kiln=kiln, loaded_at=moment("2026-11-20 10:00", ZONE))
    keep(book, Charge("3", ZONE, kiln))
    assert [clashing(book, number) for number in "123"] == [[], [], []]


def test_a_charge_that_moved_on_leaves_its_kiln_to_the_next(book):
    orchard, north = keep(book, Kiln("Orchard")), keep(book, Kiln("North shed"))
    moved = fill_charge(book, "1", kiln=orchard)
    keep(book, Stay(moved.charge, orchard), "2026-11-03 07:30")
    stay = keep(book, Stay(moved.charge, north), "2026-11-10 07:30")
    fill_charge(book, "2", kiln=orchard, loaded_at=moment("2026-11-10 09:00", ZONE))
    assert clashing(book, "1") == clashing(book, "2") == []
    assert line(book, "1").kiln == "North shed"
    # Told of the wrong kiln, it stands in the way; corrected, it no longer does.
    wrong = book.file.history("stay", stay).current.fact
    correct(book, "stay", stay, replace(wrong, kiln=orchard), "wrong kiln")
    assert len(clashing(book, "2")) == 1
