"""Moments: true elapsed time, and a clock that skips an hour in spring and repeats one in autumn.

The dates of the changes are those of the IANA time zone database: New York 2025-03-09 and 2025-11-02.
"""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.records.errors import UnknownZone, UnreadableTime
from kilnlog.records.moment import Moment

NEW_YORK = "America/New_York"
ZONES = [NEW_YORK, "Europe/Berlin", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC"]


def at(text: str, zone: str = NEW_YORK) -> Moment:
    return Moment.from_text(text, zone)


def test_reads_local_time() -> None:
    assert at("2025-07-01 08:30").utc == datetime(2025, 7, 1, 12, 30, tzinfo=UTC)
    assert at(" 2025-01-01T08:30:15 ").utc == datetime(2025, 1, 1, 13, 30, 15, tzinfo=UTC)
    assert at("2025-07-01 08:30+02:00").utc == datetime(2025, 7, 1, 6, 30, tzinfo=UTC)
    assert at("2025-07-01 08:30Z").utc == datetime(2025, 7, 1, 8, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2025-03-09 02:30", "skipped"),
        ("2025-11-02 01:30", "twice"),
        ("2025-02-29 08:00", "no-such-date"),
        ("2025-07-01 24:01", "no-such-date"),
        ("2025-07-01", "form"),
        ("1.7.2025 08:00", "form"),
        ("２025-07-01 08:00", "form"),
        ("", "form"),
    ],
)
def test_refuses_and_says_why(text: str, why: str) -> None:
    with pytest.raises(UnreadableTime) as refused:
        at(text)
    assert refused.value.values == {"typed": text, "zone": NEW_YORK, "why": why}


def test_the_hour_that_comes_twice_takes_its_offset() -> None:
    first, second = at("2025-11-02 01:30-04:00"), at("2025-11-02 01:30-05:00")
    assert second.hours_since(first) == 1
    assert (first.text(), second.text()) == ("2025-11-02 01:30-04:00", "2025-11-02 01:30-05:00")


def test_hours_are_true_hours_across_the_change() -> None:
    """Eight to eight is 23 hours in spring and 25 in autumn."""
    assert at("2025-03-09 08:00").hours_since(at("2025-03-08 08:00")) == 23
    assert at("2025-11-02 08:00").hours_since(at("2025-11-01 08:00")) == 25
    assert at("2025-03-08 08:00").plus_hours(23) == at("2025-03-09 08:00")


def test_ordered_by_the_instant_whatever_the_zone() -> None:
    assert at("2025-07-01 08:00") == at("2025-07-01 14:00", "Europe/Berlin")
    assert at("2025-07-01 08:00") < at("2025-07-01 14:01", "Europe/Berlin")


def test_written_as_iso_with_offset() -> None:
    assert at("2025-07-01 08:00").iso() == "2025-07-01T08:00:00-04:00"


def test_unknown_zones_and_times_not_in_utc_are_refused() -> None:
    for zone in ("Nowhere/Kiln", "", "../etc/passwd"):
        with pytest.raises(UnknownZone):
            at("2025-07-01 08:00", zone)
    with pytest.raises(ValueError, match="UTC"):
        Moment(datetime(2025, 7, 1, tzinfo=timezone(timedelta(hours=2))), NEW_YORK)


@given(
    st.datetimes(min_value=datetime(1990, 1, 1), max_value=datetime(2037, 1, 1)),
    st.sampled_from(ZONES),
)
def test_text_and_iso_come_back(instant: datetime, zone: str) -> None:
    moment = Moment(instant.replace(microsecond=0, tzinfo=UTC), zone)
    assert Moment.from_text(moment.text(), zone) == moment
    assert datetime.fromisoformat(moment.iso()) == moment.utc
