"""Water and venting in words: what was caught is summed beside what left the lumber."""

from __future__ import annotations

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import ChargeState
from kilnlog.logbook.water_words import caught_kg, water_brief, water_lines, water_workings
from kilnlog.records.words import EventKind
from kilnlog.reference.tables import load
from tests.logbook.test_working import worked_out
from tests.logbook.test_working_water import charge


def seen(build):
    record = build.record()
    return record, assess(record, load(), build.when(2.1))


def test_what_was_caught_stands_beside_what_left():
    """1 US gal is 3.785411784 L and 1 lb 0.45359237 kg, by definition (NIST Handbook 44, appendix C)."""
    build = charge()
    for day, (value, unit) in enumerate([(10.0, "gal"), (20.0, "lb"), (5.5, "L"), (4.0, "kg")]):
        build.event(EventKind.WATER_COLLECTED, 1 + day / 10, value=value, unit=unit)
    record, assessment = seen(build)
    assert caught_kg(record) == pytest.approx(37.85411784 + 9.0718474 + 5.5 + 4.0, rel=1e-12)
    left = f"{assessment.water.left_kg:,.0f}"
    assert f"56.4 kg of water were collected, beside {left} kg that have left." in water_lines(
        record, assessment
    )
    told = water_workings(record, assessment)[-1]
    assert told.title == "Water collected"
    assert told.lines[0] == "10 gal = 37.85 kg"
    value, shown, half_a_digit = worked_out(told.lines[-2])
    assert abs(value - shown) <= 2 * half_a_digit


def test_in_short_the_water_and_how_long_the_exhaust_runs():
    record, assessment = seen(charge())
    share = f"{100 * assessment.venting.exhaust_share:.0f}"
    a_day = f"{assessment.water.leaving_kg_per_day:.0f}"
    assert water_brief(assessment) == f"{a_day} kg a day, exhaust {share} % of the time"
    lines = water_lines(record, assessment)
    assert lines[0] == f"{a_day} kg a day leave the lumber now."
    assert lines[-1].endswith(f"The exhaust must run about {share} % of the time.")
    assert caught_kg(record) is None


def test_of_a_charge_that_came_out_no_water_a_day_is_told():
    """Boards are weighed in the shed too: what they take up there is no water that leaves by the kiln."""
    build = charge()
    build.change(build.entity, 2.0, unloaded_at=build.when(2.0))
    record, assessment = seen(build)
    assert assessment.state is ChargeState.UNLOADED
    assert assessment.water.leaving_kg_per_day is not None
    assert water_brief(assessment) == ""
    assert not any("a day" in line or "exhaust" in line for line in water_lines(record, assessment))
    assert any("have left it since it came" in line for line in water_lines(record, assessment))
