"""Earlier curves behind the present one: which they are, and where they are laid on."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest

from kilnlog.drying.assessment import assess
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.earlier_curves import (
    MOST,
    earlier_curve,
    earlier_lines,
    first_at,
    laid_on,
    moved_by_h,
)
from kilnlog.logbook.register import register
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.reference.tables import load
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge

NOW = moment("2026-11-25 07:44", ZONE)


def falling(start_pct, hours_to_e, end_h=600, every_h=1):
    """What wood does as long as nothing but its own moisture drives it: start x exp(-t / tau)."""
    return tuple((float(at), start_pct * exp(-at / hours_to_e)) for at in range(0, end_h, every_h))


def test_two_runs_of_one_wood_lie_on_one_another_whatever_they_began_at():
    # By the law itself: 80 % falls to 60 % in tau ln(80/60).
    wet, dry = falling(80, 200), falling(60, 200)
    assert moved_by_h(wet, dry) == pytest.approx(200 * log(80 / 60), abs=0.01)
    assert moved_by_h(dry, wet) == pytest.approx(-200 * log(80 / 60), abs=0.01)
    assert moved_by_h(wet, wet) == 0


def test_a_quicker_earlier_run_lies_left_of_the_present_one():
    present, quicker = falling(80, 200), falling(70, 100)
    by_h = moved_by_h(present, quicker)
    after_h = np.arange(200 * log(80 / 70) + 1, 400)
    (now_h, now_pct), (then_h, then_pct) = (np.array(one).T for one in (present, quicker))
    assert (np.interp(after_h, then_h + by_h, then_pct) < np.interp(after_h, now_h, now_pct)).all()


def test_without_common_moisture_it_is_not_laid_on():
    wet_yet = falling(80, 1000, end_h=48)  # down to 76 % so far
    began_at_60 = falling(60, 200)
    assert moved_by_h(wet_yet, began_at_60) is None
    ended_at_76 = wet_yet
    assert moved_by_h(began_at_60, ended_at_76) is None
    assert moved_by_h((), began_at_60) is None
    assert moved_by_h(began_at_60, ()) is None


def test_the_crossing_agrees_with_numpy_on_a_falling_line():
    """Against numpy.interp, which wants rising arguments: the line is given to it backwards."""
    random = np.random.default_rng(20261129)
    for _ in range(50):
        hours = np.cumsum(random.uniform(5, 40, 20))
        mc_pct = 90 - np.cumsum(random.uniform(0.1, 4, 20))
        wanted = random.uniform(mc_pct[-1], mc_pct[0])
        points = tuple(zip(hours.tolist(), mc_pct.tolist(), strict=True))
        assert first_at(points, wanted) == pytest.approx(np.interp(wanted, mc_pct[::-1], hours[::-1]))


def test_the_first_crossing_counts_where_a_curve_comes_back_up():
    assert first_at(((0.0, 50.0), (10.0, 40.0), (20.0, 44.0), (30.0, 30.0)), 42.0) == pytest.approx(8)


def closed(book, number, loaded, **particulars):
    filled = fill_charge(book, number, loaded_at=moment(loaded, ZONE), **particulars)
    for label, grams in (("1", "1300"), ("2", "1200")):
        keep_weight(
            book, filled.charge, filled.boards[label], weight(grams), moment("2026-11-06 08:00", ZONE)
        )
    for label, grams in (("1", "1070"), ("2", "1060")):
        keep_weight(
            book, filled.charge, filled.boards[label], weight(grams), moment("2026-11-12 08:00", ZONE)
        )
    close_charge(book, filled.charge, moment("2026-11-13 08:00", ZONE), None, load())
    return filled


def test_the_newest_closed_charges_of_the_same_kind_are_read_as_they_were_closed(book):
    for day in range(1, MOST + 3):
        closed(book, f"2026-{day:02d}", f"2026-11-02 0{day}:30")
    present = fill_charge(book, "2026-14")
    keep_weight(book, present.charge, present.boards["1"], weight("1500"), moment("2026-11-04 08:00", ZONE))
    lines = register(book, load(), NOW)
    mine = next(line for line in lines if line.number == "2026-14")
    found = earlier_lines(lines, mine.entity, mine.lots)
    assert [line.number for line in found] == ["2026-07", "2026-06", "2026-05", "2026-04", "2026-03"]
    curve = earlier_curve(book, found[0], load())
    # The wetter of two boards of 1000 g oven-dry: 1800, 1300, 1070 g.
    assert [mc for _, mc in curve.points] == pytest.approx([80, 30, 7])
    assert curve.points[-1][0] - curve.points[1][0] == pytest.approx(144)
    assessment = assess(book.file.charge_record(present.charge), load(), NOW)
    laid = laid_on(assessment, [curve])
    assert [one.number for one in laid] == ["2026-07"]
    first = next(one for one in assessment.rounds if one.control.mc_pct is not None)
    assert laid[0].points[0] == (first.at.utc.timestamp(), pytest.approx(80))


def test_another_wood_an_open_charge_and_the_charge_itself_are_not_among_them(book):
    closed(book, "2026-01", "2026-11-02 08:00")
    fill_charge(book, "2026-02")
    lines = register(book, load(), NOW)
    first, second = (next(line for line in lines if line.number == n) for n in ("2026-01", "2026-02"))
    assert earlier_lines(lines, first.entity, first.lots) == ()
    assert [line.number for line in earlier_lines(lines, second.entity, second.lots)] == ["2026-01"]
    assert earlier_lines(lines, second.entity, ()) == ()


def test_a_seal_of_an_early_form_is_worked_out_from_the_record_and_gives_the_same(book, monkeypatch):
    closed(book, "2026-01", "2026-11-02 08:00")
    line = register(book, load(), NOW)[0]
    sealed = earlier_curve(book, line, load())
    monkeypatch.setattr("kilnlog.logbook.earlier_curves.sealed_figures", lambda closing: {"form": 1})
    worked_out = earlier_curve(book, line, load())
    assert [at for at, _ in worked_out.points] == pytest.approx([at for at, _ in sealed.points])
    assert [mc for _, mc in worked_out.points] == pytest.approx([mc for _, mc in sealed.points])
    assert len(sealed.points) == 3


def test_what_was_still_drying_when_the_present_one_was_loaded_is_not_earlier(book):
    """The first came out on the 11th and was closed on the 13th, the other was dried to the 13th."""
    out_at = moment("2026-11-11 08:00", ZONE)
    closed(book, "2026-01", "2026-11-02 08:00", unloaded_at=out_at)
    closed(book, "2026-02", "2026-11-02 09:00")
    lines = register(book, load(), NOW)
    lots = lines[0].lots
    for loaded_at, numbers in (
        (out_at.plus_hours(-1), []),
        (out_at.plus_hours(1), ["2026-01"]),
        (moment("2026-11-13 09:00", ZONE), ["2026-02", "2026-01"]),
        (None, ["2026-02", "2026-01"]),
    ):
        assert [line.number for line in earlier_lines(lines, "another", lots, loaded_at)] == numbers
