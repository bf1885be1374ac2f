"""What is asked before a charge is written, and schedules kept as a whole."""

import pytest

from kilnlog.logbook.errors import ReasonMissing
from kilnlog.logbook.planning import clashes_if_kept, next_number
from kilnlog.logbook.schedules import keep_schedule
from kilnlog.logbook.shared_particulars import SharedParticulars
from kilnlog.records.charge import Charge
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.version import VersionKind
from kilnlog.records.words import TemperatureUnit
from tests.builders import moment
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge


@pytest.mark.parametrize(
    ("numbers", "following"),
    [
        pytest.param([], "2026-01", id="the first of all"),
        pytest.param(["2026-9", "2026-10"], "2026-11", id="counted, not compared as text"),
        pytest.param(["2026-09"], "2026-10", id="digits kept"),
        pytest.param(["2025-31"], "2026-01", id="a new year begins anew"),
        pytest.param(["2025-31", "2026-02"], "2026-03", id="this year's"),
        pytest.param(["K7", "K12", "oak run"], "K13", id="the mill's own manner"),
    ],
)
def test_the_next_number_follows_the_mills_manner(numbers, following):
    assert next_number(numbers, moment("2026-11-02 08:00", ZONE)) == following


def planned(kiln, loaded, unloaded=None):
    return Charge(
        "2026-15", ZONE, kiln, moment(loaded, ZONE), unloaded_at=moment(unloaded, ZONE) if unloaded else None
    )


def test_a_kiln_still_full_is_told_before_anything_is_written(book, clock):
    there = fill_charge(book)
    clock.forward(days=20)
    rows = len(book.file.entries("charge"))
    (found,) = clashes_if_kept(book, planned(there.kiln, "2026-11-10 08:00"), None, book.now())
    assert (found.code, found.values["other"]) == ("two-charges-in-kiln", "2026-14")
    assert len(book.file.entries("charge")) == rows


def test_an_empty_kiln_and_the_charge_itself_are_no_clash(book, clock):
    there = fill_charge(book, unloaded_at=moment("2026-11-09 08:00", ZONE))
    clock.forward(days=20)
    assert clashes_if_kept(book, planned(there.kiln, "2026-11-10 08:00"), None, book.now()) == ()
    overlapping = planned(there.kiln, "2026-11-04 08:00", "2026-11-12 08:00")
    assert clashes_if_kept(book, overlapping, there.charge, book.now()) == ()
    assert clashes_if_kept(book, Charge("2026-15", ZONE, there.kiln), None, book.now()) == ()


def test_a_loading_still_to_come_is_held_against_what_stands_there(book):
    there = fill_charge(book)  # loaded on 3 November; the clock stands on the 2nd
    found = clashes_if_kept(book, planned(there.kiln, "2026-11-10 08:00"), None, book.now())
    assert [finding.code for finding in found] == ["two-charges-in-kiln"]


def steps(*dry_bulbs):
    return [
        ScheduleStep(
            "Oak", number, 100.0 / number, dry_bulb=dry_bulb, temperature_unit=TemperatureUnit.FAHRENHEIT
        )
        for number, dry_bulb in enumerate(dry_bulbs, start=1)
    ]


def test_a_schedule_is_kept_as_a_whole_and_only_what_differs_is_written(book):
    assert len(keep_schedule(book, "Oak", steps(110.0, 115.0, 120.0)).entries) == 3
    assert keep_schedule(book, "Oak", steps(110.0, 115.0, 120.0)).entries == ()
    with pytest.raises(ReasonMissing):
        keep_schedule(book, "Oak", steps(110.0, 118.0))
    written = keep_schedule(book, "Oak", steps(110.0, 118.0), "too steep").entries
    assert [(entry.fact.step, entry.version.kind) for entry in written] == [
        (2, VersionKind.CORRECTION),
        (3, VersionKind.VOID),
    ]
    now = SharedParticulars.read(book)
    assert [entry.fact.dry_bulb for entry in now.steps_of("Oak")] == [110.0, 118.0]
    assert now.schedules() == ("Oak",)
    keep_schedule(book, "Oak", steps(110.0, 118.0, 125.0))
    assert [entry.fact.dry_bulb for entry in SharedParticulars.read(book).steps_of("Oak")] == [
        110.0,
        118.0,
        125.0,
    ]


def test_names_typed_before_are_offered_again(book):
    fill_charge(book)
    shared = SharedParticulars.read(book)
    assert (shared.owners, shared.species) == (("Rowan Joinery",), ("red oak",))
    assert [entry.fact.kiln for entry in shared.kilns()] == ["kiln of 2026-14"]
