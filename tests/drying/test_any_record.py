"""Whatever can be stored can be assessed: nonsense gives nonsense figures or none, never an error."""

from __future__ import annotations

from decimal import Decimal
from math import isfinite
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlog.drying.air.digest import logger_digest
from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.drying.plausibility import doubts
from kilnlog.records.lot import Lot
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.words import ControlRule, EventKind, EventState, SecondReading, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder
from tests.drying.air.test_digest import Readings

days = st.integers(-3, 12).map(lambda n: n / 2)
grams = st.sampled_from(["0.1", "1", "10", "55.5", "900", "1000", "1600", "99999"])


temperatures = st.sampled_from([None, -100.0, 0.0, 32.0, 110.0, 180.0, 212.0, 600.0])


@st.composite
def air(draw: st.DrawFn) -> dict[str, Any]:
    """Anything that is not refused as it is typed."""
    dry, wet = draw(temperatures), draw(temperatures)
    if dry is not None and wet is not None and wet > dry:
        dry, wet = wet, dry
    rh_pct = draw(st.sampled_from([None, 0.0, 50.0, 100.0]))
    depression = draw(st.sampled_from([None, 0.0, 5.0, 300.0]))
    told = {"dry_bulb": dry, "wet_bulb": wet, "depression": depression, "rh_pct": rh_pct}
    return told if any(one is not None for one in told.values()) else {"rh_pct": 60.0}


@st.composite
def records(draw: st.DrawFn) -> tuple[ChargeBuilder, float]:
    build = ChargeBuilder(
        loaded_at=draw(st.sampled_from([None, "2024-03-01 08:00"])),
        target_mc_pct=draw(st.sampled_from([None, 0.0, 8.0])),
        control_rule=draw(st.sampled_from(list(ControlRule))),
        schedule=draw(st.sampled_from([None, "ours", "lost"])),
    )
    build.steps("ours", *draw(st.lists(st.sampled_from([None, 50.0, 30.0, 8.0]), max_size=3)))
    hot = {"dry_bulb": draw(temperatures), "emc_pct": draw(st.sampled_from([None, 3.0, 60.0]))}
    unit = draw(st.sampled_from([None, *TemperatureUnit]))
    build.first(
        ScheduleStep("ours", 9, from_hours=draw(st.sampled_from([0.0, 48.0])), temperature_unit=unit, **hot),
        0,
    )
    if draw(st.booleans()):
        kiln = build.kiln(
            "north", altitude_m=draw(st.sampled_from([None, 0.0, 9000.0])), exhaust_m3_per_h=0.1
        )
        build.correct(build.entity, kiln=kiln)
    for name in ("equalizing_rule", "outside_air"):
        if draw(st.booleans()):
            build.setting(
                name, draw(st.sampled_from(["nonsense", "3 points below the target", "60 C, 100 %"]))
            )
    lots = [build.lot(label, governs=draw(st.booleans())) for label in "AB"[: draw(st.integers(0, 2))]]
    boards, sections = [], []
    for _ in range(draw(st.integers(0, 25))):
        at = draw(days)
        board = draw(st.sampled_from(boards)) if boards else "board-gone"
        match draw(st.integers(0, 18)):
            case 0 | 1:
                boards.append(
                    build.board(
                        str(len(boards)),
                        draw(grams),
                        at=at,
                        lot=draw(st.sampled_from([*lots, None, "lot-gone"])),
                        coating_weight=draw(st.sampled_from([None, "5", "2000"])),
                        oven_dry_weight=draw(st.sampled_from([None, None, "1000", "0.1"])),
                        replaces=draw(st.sampled_from([None, board])),
                    )
                )
            case 2 | 3:
                wet, dry = draw(grams), draw(st.sampled_from([None, "0.1", "55.5", "900"]))
                if dry is None or Decimal(dry) <= Decimal(wet):
                    sections.append(build.section(board, str(len(sections)), wet, dry, at=at))
            case 4:
                build.oven(board, draw(st.sampled_from([*sections, "gone"])), draw(grams), at)
            case 5 | 6 | 7:
                build.weigh(board, draw(grams), at)
            case 8:
                dry = draw(st.sampled_from([None, "0.1", "50"]))
                build.recut(board, draw(grams), draw(grams), "55.5", dry, at=at, coating_weight=draw(grams))
            case 9:
                build.breaks(board, draw(grams), draw(grams), at)
            case 10:
                build.withdraw(board, at)
            case 11:
                build.take_step(draw(st.integers(1, 12)), at)
            case 12:
                kind = draw(st.sampled_from(list(EventKind)))
                build.event(kind, at, state=draw(st.sampled_from([None, *EventState])))
            case 13 | 14 | 15 | 16:
                build.air(at, **draw(air()), sensor=draw(st.sampled_from([None, "in"])))
            case 17:
                build.set_air(at, **draw(air()))
            case 18:
                warm = draw(temperatures)
                told = {"wood_temperature": warm, "temperature_unit": TemperatureUnit.FAHRENHEIT}
                build.meter(board, draw(st.sampled_from([0.0, 12.0, 99.0])), at, **told)
    for entry in list(build.entries[1:]):
        if draw(st.integers(0, 9)) == 0:
            build.void(entry.entity) if draw(st.booleans()) else build.change(entry.entity, draw(days))
    if lots and draw(st.booleans()):
        last = [entry.fact for entry in build.entries if entry.entity == lots[0]][-1]
        assert isinstance(last, Lot)
        if not any(line.is_void for line in build.record().lot if line.entity == lots[0]):
            build.change(lots[0], draw(days), out_at=build.when(draw(days)))
    return build, draw(days)


def is_number(value: object) -> bool:
    return isinstance(value, int | float)


def figures_of(assessment: Assessment) -> list[float]:
    """Every figure that a curve or a control could take."""
    figures = [point.mc_pct for board in assessment.boards for point in board.points]
    figures += [point.rate_pct_per_day for board in assessment.boards for point in board.points]
    figures += [point.mc_uncertainty_pct for board in assessment.boards for point in board.points]
    figures += [found.control.mc_pct for found in assessment.rounds]
    figures += [value for found in assessment.findings for value in found.values.values() if is_number(value)]
    for one in (assessment.air, assessment.air_leaving, assessment.venting):
        if one is not None:
            figures += [value for name in one.__slots__ if is_number(value := getattr(one, name))]
    return [figure for figure in figures if figure is not None]


@settings(max_examples=400, deadline=None)
@given(records())
def test_any_record_can_be_assessed(drawn: tuple[ChargeBuilder, float]) -> None:
    build, at = drawn
    assessment = assess(build.record(), load(), build.when(at))
    assert all(isfinite(figure) for figure in figures_of(assessment))
    assert all(board.cut_at <= assessment.at for board in assessment.boards)
    usable = {board.board for board in assessment.boards if board.usable}
    assert set(assessment.control.boards) <= usable
    assert {board.board for board in assessment.boards if board.feeds_control} == set(
        assessment.control.boards
    )


@settings(max_examples=200, deadline=None)
@given(records(), grams, days, days)
def test_any_weight_can_be_asked_about(
    drawn: tuple[ChargeBuilder, float], typed: str, at: float, now: float
) -> None:
    build, _ = drawn
    record = build.record()
    assessment = assess(record, load(), build.when(30))
    for board in assessment.boards:
        asked = doubts(record, assessment, board.entity, build.weight(typed), build.when(at), build.when(now))
        figures = [value for doubt in asked for value in doubt.finding.values.values()]
        assert all(isfinite(figure) for figure in figures if isinstance(figure, float))


@settings(max_examples=100, deadline=None)
@given(records())
def test_the_last_round_says_what_the_assessment_says(drawn: tuple[ChargeBuilder, float]) -> None:
    """Two ways to the same figures: at the moment of the last weight they are the same."""
    build, at = drawn
    assessment = assess(build.record(), load(), build.when(at))
    if not assessment.rounds:
        return
    last = assess(build.record(), load(), assessment.rounds[-1].until)
    assert last.rounds[-1].control == last.control
    assert last.rounds[-1].wettest == last.wettest
    assert last.rounds[-1].driest == last.driest
    assert last.rounds[-1].mean_mc_pct == last.mean_mc_pct


times = st.lists(st.integers(-50, 400), min_size=1, max_size=60, unique=True).map(sorted)
values = st.sampled_from([float("nan"), -100.0, 0.0, 20.0, 45.0, 99.0, 100.0])


@settings(max_examples=200, deadline=None)
@given(records(), times, st.data(), st.sampled_from([None, *SecondReading]))
def test_any_logger_can_be_digested(
    drawn: tuple[ChargeBuilder, float], hours: list[int], data: st.DataObject, second_is: SecondReading | None
) -> None:
    build, at = drawn
    dry, second = (np.array([data.draw(values) for _ in hours]) for _ in range(2))
    if second_is is None:
        second[:] = np.nan
    elif second_is is SecondReading.WET_BULB:
        second = np.fmin(dry, second)  # a wet bulb above the dry one is refused as it is imported
    at_s = build.when(0).utc.timestamp() + 3600.0 * np.array(hours)
    series = Readings("in", at_s, dry, second, data.draw(st.sampled_from(list(TemperatureUnit))), second_is)
    digest = logger_digest([series], build.when(at), pressure_pa(0), load())
    assessment = assess(build.record(), load(), build.when(at), digest)
    assert all(isfinite(figure) for figure in figures_of(assessment))
    assert assessment.air is None or assessment.air.read_at <= assessment.at
