"""What is due in the week: each thing once, on the day of the wall clock, though the clock is changed."""

from __future__ import annotations

from datetime import date

import pytest

from kilnlog.drying.finding import Severity
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.due_next import DueKind, due_in_week
from kilnlog.logbook.session import new_uid
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import take_back, write_all
from kilnlog.records.board import Board
from kilnlog.records.instrument import Instrument
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.words import InstrumentKind
from kilnlog.reference.tables import load
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep


def due(book, at, kind=None):
    told = due_in_week(book, load(), moment(at, ZONE))
    return [one for one in told if kind is None or one.kind is kind]


def weigh(book, filled, at, **grams):
    for label, typed in grams.items():
        keep_weight(book, filled.charge, filled.boards[label[1:]], weight(typed), moment(at, ZONE))


def test_boards_weighed_today_are_due_tomorrow(book):
    filled = fill_charge(book)
    weigh(book, filled, "2026-11-04 07:30", b1="1750", b2="1740")
    (told,) = due(book, "2026-11-04 09:00", DueKind.WEIGHING)
    assert (told.day, told.charge, told.text) == (date(2026, 11, 5), "2026-14", "Weigh both boards")
    assert (told.remark, told.severity) == ("every day", None)


def test_the_rest_of_a_round_is_due_today(book):
    filled = fill_charge(book)
    weigh(book, filled, "2026-11-04 07:30", b1="1750", b2="1740")
    weigh(book, filled, "2026-11-05 07:30", b1="1700")
    (told,) = due(book, "2026-11-05 07:40", DueKind.WEIGHING)
    assert (told.day, told.text) == (date(2026, 11, 5), "Weigh 1 board")


def test_a_round_left_out_is_due_today_and_late(book):
    filled = fill_charge(book)
    weigh(book, filled, "2026-11-04 07:30", b1="1750", b2="1740")
    (told,) = due(book, "2026-11-07 07:40", DueKind.WEIGHING)
    assert (told.day, told.remark, told.severity) == (date(2026, 11, 7), "2 days late", Severity.LOOK)


def test_a_charge_weighed_every_third_day_is_due_on_the_third(book):
    filled = fill_charge(book)
    for day, grams in (("06", "1750"), ("09", "1700"), ("12", "1660")):
        weigh(book, filled, f"2026-11-{day} 07:30", b1=grams, b2=grams)
    (told,) = due(book, "2026-11-12 09:00", DueKind.WEIGHING)
    assert (told.day, told.remark) == (date(2026, 11, 15), "every 3 days")


def test_a_day_of_25_hours_is_one_day(book):
    """The clock of New York goes back an hour on 1 November 2026 by the time-zone database."""
    loaded = moment("2026-10-29 07:30", ZONE)
    filled = fill_charge(book, loaded_at=loaded)
    board = new_uid()
    write_all(
        book,
        [
            (
                Board(filled.charge, "3", weight("1800"), filled.lot, oven_dry_weight=weight("1000")),
                loaded,
                board,
            )
        ],
    )
    for label in ("1", "2"):
        take_back_board(book, filled, label)
    for at in ("2026-10-30 07:30", "2026-10-31 07:30"):
        keep_weight(book, filled.charge, board, weight("1750"), moment(at, ZONE))
    (told,) = due(book, "2026-10-31 09:00", DueKind.WEIGHING)
    assert (told.day, told.remark) == (date(2026, 11, 1), "every day")
    # Twenty-five hours on it is the same time of the next day, and nothing is late yet.
    (told,) = due(book, "2026-11-01 07:30", DueKind.WEIGHING)
    assert (told.day, told.severity) == (date(2026, 11, 1), None)
    keep_weight(book, filled.charge, board, weight("1740"), moment("2026-11-01 07:30", ZONE))
    (told,) = due(book, "2026-11-01 09:00", DueKind.WEIGHING)
    assert (told.day, told.remark) == (date(2026, 11, 2), "every day")


def take_back_board(book, filled, label):
    """The boards of the scenario are cut on 3 November."""
    entity = filled.boards[label]
    for line in book.file.entries("section"):
        if line.fact.board == entity:
            take_back(book, "section", line.entity, "cut later")
    take_back(book, "board", entity, "cut later")


def step_charge(book, loaded, *rounds):
    """Two boards of 1000 g oven-dry cut as they are loaded."""
    for step, begin in ((1, None), (2, 50.0)):
        keep(book, ScheduleStep("ours", step, from_mc_pct=begin))
    filled = fill_charge(book, schedule="ours", loaded_at=moment(loaded, ZONE))
    for at, grams in rounds:
        weigh(book, filled, at, b1=grams, b2=grams)
    return filled


def test_a_step_and_a_target_fall_on_the_day_the_present_rate_brings_them(book):
    # 80 % on the 3rd, 70 % two days later: five points a day; 50 % comes four days on, 7 % in 12.6.
    step_charge(book, "2026-11-03 07:30", ("2026-11-05 07:30", "1700"))
    (step,) = due(book, "2026-11-05 09:00", DueKind.STEP)
    assert (step.day, step.text) == (date(2026, 11, 9), "Step 2, at 50 %")
    assert step.remark == "at the present rate"
    assert due(book, "2026-11-05 09:00", DueKind.TARGET) == []  # beyond the week
    (target,) = due(book, "2026-11-12 09:00", DueKind.TARGET)
    assert (target.day, target.text) == (date(2026, 11, 17), "Target: 7 %")  # 17th, 21:54


def test_a_step_already_called_for_is_due_now(book):
    step_charge(book, "2026-11-03 07:30", ("2026-11-05 07:30", "1490"))
    (step,) = due(book, "2026-11-05 09:00", DueKind.STEP)
    assert (step.day, step.text, step.severity) == (date(2026, 11, 5), "Take step 2", Severity.ACT)


def test_a_step_by_the_clock_falls_on_its_hour_though_the_clock_was_changed(book):
    keep(book, ScheduleStep("ours", 1))
    keep(book, ScheduleStep("ours", 2, from_hours=96))
    fill_charge(book, schedule="ours", loaded_at=moment("2026-10-30 07:30", ZONE))
    (step,) = due(book, "2026-11-02 09:00", DueKind.STEP)
    # 96 h of true time: the clock went back an hour on 1 November.
    assert (step.day, step.time) == (date(2026, 11, 3), "06:30")


def test_boards_that_lose_nothing_bring_no_day(book):
    step_charge(book, "2026-11-03 07:30", ("2026-11-05 07:30", "1800"))
    assert due(book, "2026-11-05 09:00", DueKind.STEP) == []
    assert due(book, "2026-11-05 09:00", DueKind.TARGET) == []


def test_sections_are_weighed_again_when_the_rule_can_judge(book):
    filled = fill_charge(book)
    board, section = new_uid(), new_uid()
    cut = moment("2026-11-04 10:00", ZONE)
    write_all(
        book,
        [
            (Board(filled.charge, "3", weight("1800"), filled.lot, coated=True), cut, board),
            (Section(filled.charge, board, "a", weight("180.0")), cut, section),
        ],
    )
    (first,) = due(book, "2026-11-04 12:00", DueKind.SECTIONS)
    assert (first.day, first.time) == (date(2026, 11, 5), "10:00")  # a day in the oven first
    assert "board 3" in first.text
    keep(book, OvenWeighing(filled.charge, board, section, weight("110.0")), moment("2026-11-05 10:10", ZONE))
    (again,) = due(book, "2026-11-05 10:30", DueKind.SECTIONS)
    interval_h = next(iter(load().constant_weight_rules.values())).interval_h
    assert again.time == f"{moment('2026-11-05 10:10', ZONE).plus_hours(interval_h).local:%H:%M}"
    (now,) = due(book, "2026-11-05 23:30", DueKind.SECTIONS)
    assert (now.day, now.time) == (date(2026, 11, 5), "now")


def test_instruments_are_due_a_year_after_their_check(book):
    for name, checked in (
        ("new", "2026-10-01 08:00"),
        ("soon", "2025-11-06 08:00"),
        ("old", "2024-01-01 08:00"),
    ):
        keep(book, Instrument(name, InstrumentKind.SCALE, checked_at=moment(checked, ZONE)))
    keep(book, Instrument("never", InstrumentKind.METER))
    told = {one.text: one for one in due(book, "2026-11-04 09:00", DueKind.CHECK)}
    assert set(told) == {"Check soon", "Check old", "Check never"}
    assert told["Check soon"].day == date(2026, 11, 6)
    assert (told["Check old"].day, told["Check old"].severity) == (date(2026, 11, 4), Severity.LOOK)
    assert told["Check never"].remark == "no check is written down"


def test_nothing_is_due_of_what_is_planned_out_or_closed(book):
    fill_charge(book, "1", loaded_at=None)
    fill_charge(book, "2", unloaded_at=moment("2026-11-04 07:00", ZONE))
    closed = fill_charge(book, "3")
    close_charge(book, closed.charge, moment("2026-11-04 08:00", ZONE), None, load())
    assert due(book, "2026-11-04 09:00") == []


@pytest.mark.parametrize(("days_away", "there"), [(7, True), (8, False)])
def test_the_week_ends_with_the_seventh_day_after_today(book, days_away, there):
    checked = moment(f"2025-11-{4 + days_away:02d} 08:00", ZONE)
    keep(book, Instrument("scale", InstrumentKind.SCALE, checked_at=checked))
    assert bool(due(book, "2026-11-04 09:00")) is there
