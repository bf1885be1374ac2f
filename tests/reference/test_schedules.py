"""The general hardwood schedules: the merge by hand, and that the tables hang together.

The tables are from memory; what can be checked against print is told beside each check.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from kilnlog.records.errors import UnreadableNumber
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.rows import Standing
from kilnlog.reference.schedules import (
    NoHandbookSchedule,
    handbook_schedule,
    schedule_by_code,
    schedule_index,
)

CODES = sorted({row.schedule for row in schedule_index() if row.wood_type == "hardwood"})

# T4-D2 merged by hand from the columns of T4 and D2: from and to MC [%], dry and wet bulb [F].
T4_D2 = [
    (None, 50, 110, 106),
    (50, 40, 110, 105),
    (40, 35, 110, 102),
    (35, 30, 110, 96),
    (30, 25, 120, 90),
    (25, 20, 130, 80),
    (20, 15, 140, 90),
    (15, None, 180, 130),
]


def told(schedule):
    return [(step.from_mc_pct, step.to_mc_pct, step.dry_bulb, step.wet_bulb) for step in schedule.steps]


def test_both_columns_merge_into_one_list_of_steps():
    schedule = handbook_schedule("northern red oak", "4/4")
    assert schedule.name == "T4-D2"
    assert told(schedule) == T4_D2
    assert [step.step for step in schedule.steps] == list(range(1, 9))
    assert {step.schedule for step in schedule.steps} == {"T4-D2"}
    assert {step.temperature_unit for step in schedule.steps} == {TemperatureUnit.FAHRENHEIT}


def test_a_modified_schedule_keeps_the_wet_bulb_at_90():
    """The rule of the codes marked m: Wengert, Hardwood Lumber Kiln Schedules (online article)."""
    modified = handbook_schedule("northern red oak", "4/4", modified=True)
    assert modified.name == "T4-D2 m"
    assert told(modified) == [(*step[:3], max(step[3], 90)) for step in T4_D2]


def test_a_default_from_memory_says_so():
    """The code of 4/4 red oak was read in print; the steps behind it were not."""
    schedule = handbook_schedule("northern red oak", "4/4")
    assert schedule.standing is Standing.MEMORY
    assert "bacterially infected northern red oak" in schedule.source
    assert "general temperature schedules" in schedule.source


# Codes read in print: USDA FPL-GTR-57 (1988), section I, for birch.
@pytest.mark.parametrize(
    ("species", "thickness", "code"),
    [
        ("yellow birch", "12/4", "T3-B2"),
        ("yellow birch (3 by 3 squares)", "12/4", "T3-B3"),
        ("Northern Red Oak", "1 in", "T4-D2"),
        ("Quercus rubra", "25 mm", "T4-D2"),
    ],
)
def test_looked_up_by_species_and_thickness(species, thickness, code):
    assert handbook_schedule(species, thickness).name == code


def test_a_trade_name_finds_its_species():
    assert handbook_schedule("hard maple", "4/4") == handbook_schedule("sugar maple", "4/4")


@pytest.mark.parametrize(
    ("why", "species", "thickness"),
    [
        ("softwood", "baldcypress", "4/4"),
        ("softwood", "eastern white pine", "4/4"),
        ("species", "teak", "4/4"),
        ("species", "", "4/4"),
        ("thickness", "northern red oak", "16/4"),
    ],
)
def test_refused_with_the_reason(why, species, thickness):
    with pytest.raises(NoHandbookSchedule) as refused:
        handbook_schedule(species, thickness)
    assert refused.value.values["why"] == why


def test_no_softwood_gets_hardwood_depressions():
    softwoods = {row.species for row in schedule_index() if row.wood_type == "softwood"}
    assert len(softwoods) > 10
    for species in softwoods:
        with pytest.raises(NoHandbookSchedule, match="softwood"):
            handbook_schedule(species, "4/4")


def test_a_thickness_that_is_no_thickness_is_refused_as_one():
    with pytest.raises(UnreadableNumber):
        handbook_schedule("northern red oak", "thick")


@pytest.mark.parametrize("code", ["", "T4", "T4-D9", "T15-D2", "T4-G2", "T4-D2-1"])
def test_no_such_code(code):
    with pytest.raises(NoHandbookSchedule, match="code"):
        schedule_by_code(code)


def test_every_code_of_the_index_merges():
    assert len(CODES) > 40
    for code in CODES:
        steps = schedule_by_code(code.lower()).steps
        assert steps[0].from_mc_pct is None
        assert steps[-1].to_mc_pct is None
        for before, after in pairwise(steps):
            assert before.to_mc_pct == after.from_mc_pct
            assert after.from_mc_pct < (before.from_mc_pct or 1000)
            assert after.dry_bulb >= before.dry_bulb
            # The air never gets milder: neither the heat nor the depression goes back.
            assert after.dry_bulb - after.wet_bulb >= before.dry_bulb - before.wet_bulb
            assert (after.dry_bulb, after.wet_bulb) != (before.dry_bulb, before.wet_bulb)
        assert steps[0].dry_bulb - steps[0].wet_bulb >= 3
        assert steps[-1].dry_bulb - steps[-1].wet_bulb <= 50


def test_thicker_stock_is_never_run_harder():
    by_species = {}
    for row in schedule_index():
        if row.wood_type == "hardwood" and row.thickness in ("4/4", "8/4") and "alternate" not in row.species:
            by_species.setdefault(row.species, {})[row.thickness] = row.schedule
    pairs = [(both["4/4"], both["8/4"]) for both in by_species.values() if len(both) == 2]
    assert len(pairs) > 40
    for four, eight in pairs:
        thin, thick = schedule_by_code(four).steps, schedule_by_code(eight).steps
        assert thick[0].dry_bulb <= thin[0].dry_bulb
        assert thick[0].dry_bulb - thick[0].wet_bulb <= thin[0].dry_bulb - thin[0].wet_bulb
