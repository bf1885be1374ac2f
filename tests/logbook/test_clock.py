"""The machine's zone, as the machine names it."""

from __future__ import annotations

from datetime import UTC

import pytest

from kilnlog.logbook import clock


@pytest.mark.parametrize(
    ("tz", "zone"),
    [
        ("America/New_York", "America/New_York"),
        (":Europe/Warsaw", "Europe/Warsaw"),
        ("/usr/share/zoneinfo/Asia/Tokyo", "Asia/Tokyo"),
    ],
)
def test_the_environment_comes_first(monkeypatch, tz, zone):
    monkeypatch.setenv("TZ", tz)
    assert clock.machine_zone() == zone


def test_a_zone_nobody_knows_gives_way_to_what_the_machine_is_set_to(monkeypatch):
    monkeypatch.setenv("TZ", "Middle/Earth")
    monkeypatch.setattr(clock, "_names_given", lambda: iter(("Middle/Earth", "Europe/Warsaw")))
    assert clock.machine_zone() == "Europe/Warsaw"


def test_the_machines_files_are_asked_in_turn(monkeypatch, tmp_path):
    monkeypatch.delenv("TZ", raising=False)
    (tmp_path / "timezone").write_text("Europe/Oslo\n")
    (tmp_path / "localtime").symlink_to("/usr/share/zoneinfo/America/Chicago")
    assert list(clock._names_given(tmp_path)) == ["Europe/Oslo", "America/Chicago"]
    assert list(clock._names_given(tmp_path / "nothing")) == []


def test_without_any_name_it_is_utc(monkeypatch):
    monkeypatch.setattr(clock, "_names_given", lambda: iter(()))
    assert clock.machine_zone() == "UTC"


def test_the_clock_tells_whole_seconds_of_utc():
    now = clock.machine_clock()
    assert now.tzinfo is UTC
    assert now.microsecond == 0
