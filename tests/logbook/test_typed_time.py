"""A time typed as the window writes it is read as it is written there."""

from __future__ import annotations

import pytest

from kilnlog.logbook import figures
from kilnlog.logbook.typed_time import time_from_text
from kilnlog.records.errors import UnreadableTime
from kilnlog.records.moment import Moment

ZONE = "America/New_York"
SHOWN = Moment.from_text("2026-11-25 07:46", ZONE)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("24 Nov 18:00", "2026-11-24 18:00"),
        ("Tue 24 Nov, 18:00", "2026-11-24 18:00"),
        ("tue 24 nov 2026, 18:00", "2026-11-24 18:00"),
        ("3 Nov 2025 6:05", "2025-11-03 06:05"),
        ("2 Jan 08:00", "2026-01-02 08:00"),
        ("6:5", "2026-11-25 06:05"),
        ("18:00", "2026-11-25 18:00"),
        ("2026-11-24 18:00", "2026-11-24 18:00"),
    ],
)
def test_a_time_is_read_as_it_is_written(typed, read):
    assert time_from_text(typed, ZONE, SHOWN).text() == read


def test_in_january_one_types_what_was_read_in_december():
    shown = Moment.from_text("2027-01-02 07:46", ZONE)
    assert time_from_text("31 Dec 18:00", ZONE, shown).text() == "2026-12-31 18:00"
    assert time_from_text("Thu 31 Dec, 18:00", ZONE, shown).text() == "2026-12-31 18:00"


def test_what_the_window_writes_can_be_typed():
    for text in ("2026-11-20 18:05", "2026-01-02 00:00", "2025-12-31 23:59", "2024-02-29 12:30"):
        moment = Moment.from_text(text, ZONE)
        for written in (figures.day_and_time(moment, SHOWN), figures.weekday_date_and_time(moment)):
            assert time_from_text(written, ZONE, SHOWN) == moment


@pytest.mark.parametrize(
    "typed", ["Mon 24 Nov, 18:00", "30 Feb 18:00", "29 Feb 2026 18:00", "24 Nov", "6:75"]
)
def test_what_is_on_no_calendar_or_clock_is_refused(typed):
    with pytest.raises(UnreadableTime):
        time_from_text(typed, ZONE, SHOWN)


def test_a_day_without_its_year_needs_one_beside_it():
    assert time_from_text("24 Nov 2026 18:00", ZONE, None).text() == "2026-11-24 18:00"
    for typed in ("24 Nov 18:00", "18:00"):
        with pytest.raises(UnreadableTime):
            time_from_text(typed, ZONE, None)
