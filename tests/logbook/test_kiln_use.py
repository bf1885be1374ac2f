"""Days a kiln was in use: overlapping charges once, moves between kilns, the clock put back and forth."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from kilnlog.logbook.kiln_stays import InKiln
from kilnlog.logbook.kiln_use import Period, first_day, kiln_use, use_of_kilns
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.charge import Charge
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment, zone_named
from kilnlog.records.stay import Stay
from tests.builders import moment
from tests.logbook.conftest import ZONE
from tests.logbook.filling import keep

KILNS = {"n": "North shed", "l": "Long shed"}
NOW = moment("2026-12-20 08:00", ZONE)


def stay(number, kiln, since, until=None):
    return InKiln(number, number, kiln, moment(since, ZONE), moment(until, ZONE) if until else None)


def use(stays, first, last, kiln="North shed", now=NOW):
    told = kiln_use(stays, KILNS, Period(date.fromisoformat(first), date.fromisoformat(last), ZONE), now)
    return next(one for one in told if one.kiln == kiln)


def test_a_charge_counts_from_loading_to_unloading_by_shares_of_days():
    told = use([stay("1", "n", "2026-06-01 12:00", "2026-06-04 18:00")], "2026-06-01", "2026-06-30")
    assert told.days == pytest.approx(0.5 + 2 + 0.75, abs=1e-12)
    assert told.charges == (("1", pytest.approx(3.25), False),)


@pytest.mark.parametrize(
    ("first", "last", "hours"),
    [
        pytest.param("2026-11-01", "2026-11-01", 25, id="the hour comes twice: US, first Sunday of November"),
        pytest.param("2026-03-08", "2026-03-08", 23, id="the hour is skipped: US, second Sunday of March"),
        pytest.param("2026-03-01", "2026-11-30", 275 * 24, id="both in one period"),
    ],
)
def test_a_kiln_never_empty_was_in_use_every_day_however_long_the_day(first, last, hours):
    period = Period(date.fromisoformat(first), date.fromisoformat(last), ZONE)
    spans = period.spans()
    assert (spans[-1][1] - spans[0][0]).total_seconds() == hours * 3600
    told = use([stay("1", "n", "2026-02-01 08:00", "2026-12-10 08:00")], first, last)
    assert told.days == pytest.approx(period.days, abs=1e-9)


def test_half_of_the_long_day_is_half_a_day():
    told = use([stay("1", "n", "2026-10-31 08:00", "2026-11-01 11:30")], "2026-11-01", "2026-11-01")
    assert told.days == pytest.approx(12.5 / 25, abs=1e-12)  # an hour more since midnight than the wall shows


def test_a_midnight_the_clock_skips_begins_the_day_all_the_same():
    # Beirut put its clock on at midnight of 26 March 2023 by the time-zone database; the day began at 01:00.
    period = Period(date(2023, 3, 25), date(2023, 3, 27), "Asia/Beirut")
    lengths = [(until - since).total_seconds() / 3600 for since, until in period.spans()]
    assert sum(lengths) == 71
    assert [since.astimezone(zone_named("Asia/Beirut")).day for since, _ in period.spans()] == [25, 26, 27]


def test_overlapping_charges_count_once_and_are_told():
    told = use(
        [
            stay("1", "n", "2026-06-01 00:00", "2026-06-05 00:00"),
            stay("2", "n", "2026-06-03 00:00", "2026-06-08 00:00"),
        ],
        "2026-06-01",
        "2026-06-30",
    )
    assert (told.days, told.shared_days) == (pytest.approx(7), pytest.approx(2))
    assert [(number, days) for number, days, _ in told.charges] == [
        ("1", pytest.approx(4)),
        ("2", pytest.approx(5)),
    ]


def test_one_still_running_counts_until_now_and_no_further():
    now = moment("2026-06-03 12:00", ZONE)
    told = use([stay("1", "n", "2026-06-01 00:00")], "2026-05-25", "2026-06-30", now=now)
    assert told.days == pytest.approx(2.5)
    assert told.charges == (("1", pytest.approx(2.5), True),)
    assert use([stay("1", "n", "2026-06-10 00:00")], "2026-06-01", "2026-06-30", now=now).days == 0


def test_a_kiln_that_stood_empty_is_told_with_no_days():
    assert use([], "2026-06-01", "2026-06-30", "Long shed").days == 0


def test_random_stays_agree_with_counting_minutes():
    """Against numpy: every minute of the period marked where some charge stood in the kiln."""
    random = np.random.default_rng(20261129)
    first = moment("2026-10-20 00:00", ZONE)
    minutes = 20 * 1440 + 60  # twenty days, one of them of 25 hours
    for _ in range(25):
        marked = np.zeros(minutes, dtype=int)
        stays = []
        for number in range(int(random.integers(1, 6))):
            begin, end = sorted(int(one) for one in random.integers(-3000, minutes + 3000, 2))
            if begin == end:
                continue
            since, until = first.plus_hours(begin / 60), first.plus_hours(end / 60)
            stays.append(InKiln(str(number), str(number), "n", since, until))
            marked[max(0, begin) : max(0, end)] += 1
        told = use(stays, "2026-10-20", "2026-11-08")
        lengths = np.full(20, 1440)
        lengths[12] = 1500  # 1 November
        edges = np.concatenate([[0], np.cumsum(lengths)])

        def days(where, edges=edges, lengths=lengths):
            return sum(where[edges[n] : edges[n + 1]].sum() / lengths[n] for n in range(20))

        assert told.days == pytest.approx(days(marked > 0), abs=1e-9)
        assert told.shared_days == pytest.approx(days(marked > 1), abs=1e-9)


def test_a_charge_that_moves_counts_for_each_kiln_while_it_was_there(book):
    began = moment("2026-01-02 08:00", ZONE)
    north, long = (write(book, Kiln(name), began).entries[0].entity for name in ("North shed", "Long shed"))
    charge = keep(
        book,
        Charge(
            "1", ZONE, north, moment("2026-06-01 00:00", ZONE), unloaded_at=moment("2026-06-20 00:00", ZONE)
        ),
    )
    keep(book, Stay(charge, north, moment("2026-06-05 00:00", ZONE)), moment("2026-06-01 00:00", ZONE))
    keep(book, Stay(charge, long), moment("2026-06-06 00:00", ZONE))
    back = keep(book, Charge("2", ZONE, long, moment("2026-06-25 00:00", ZONE)))
    take_back(book, "charge", back, "never loaded")
    told = use_of_kilns(book, Period(date(2026, 6, 1), date(2026, 6, 30), ZONE), NOW)
    assert [(one.kiln, one.days) for one in told] == [
        ("Long shed", pytest.approx(14)),
        ("North shed", pytest.approx(4)),
    ]
    assert first_day(book, ZONE) == date(2026, 6, 1)


def test_an_empty_logbook_has_no_first_day_and_no_kilns(book):
    assert first_day(book, ZONE) is None
    assert use_of_kilns(book, Period(date(2026, 6, 1), date(2026, 6, 30), ZONE), NOW) == ()


def test_the_days_are_those_of_the_wall_clock_wherever_the_charge_was_loaded():
    there = Moment(moment("2026-06-01 00:00", ZONE).utc, "Europe/Warsaw")
    told = use([InKiln("1", "1", "n", there, there.plus_hours(24))], "2026-06-01", "2026-06-01")
    assert told.days == pytest.approx(1)
