"""Each check fires where it should and keeps quiet where it should; thresholds from the table of practice."""

import importlib
import inspect
import pkgutil

import pytest

import kilnlog.drying.findings
from kilnlog.drying.assessment import assess
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings import CHECKS
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import EventKind, EventState, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, When


def findings(build: ChargeBuilder, at: When = 30) -> tuple[Finding, ...]:
    return assess(build.record(), load(), build.when(at)).findings


def found(build: ChargeBuilder, code: str, at: When = 30) -> list[Finding]:
    return [finding for finding in findings(build, at) if finding.code == code]


def quiet_charge(*, boards: int = 4, **lot_fields: object) -> ChargeBuilder:
    """A charge nothing is wrong with: boards at 60 %, two like sections each, losing 2 points a day."""
    build = ChargeBuilder(target_mc_pct=8)
    lot = build.lot("A", **lot_fields)
    for number in range(1, boards + 1):
        board = build.board(str(number), "1600", lot=lot, coated=True, minutes_to_weighing=2)
        for label in ("a", "b"):
            build.section(
                board,
                label,
                "160.00",
                "100.00",
                oven_temperature=103.0,
                temperature_unit=TemperatureUnit.CELSIUS,
            )
        build.weigh(board, "1580", at=1)
        build.weigh(board, "1560", at=2)
    return build


def test_a_charge_with_nothing_wrong_has_no_findings():
    assert findings(quiet_charge(), at=2.5) == ()


def test_an_empty_plan_is_not_nagged():
    assert findings(ChargeBuilder(loaded_at=None)) == ()


def test_every_check_that_is_written_is_listed_once():
    written = {
        function
        for module in pkgutil.iter_modules(kilnlog.drying.findings.__path__, "kilnlog.drying.findings.")
        for name, function in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction)
        if not name.startswith("_") and function.__module__ == module.name  # not what it imports
        if list(inspect.signature(function).parameters) == ["case"]
    }
    assert len(written) >= 19
    assert set(CHECKS) == written
    assert len(CHECKS) == len(written)


# University of Kentucky Extension FOR-128 (2017), p. 76: at least 4, even in a small kiln.
@pytest.mark.parametrize(("boards", "fires"), [(3, True), (4, False)])
def test_few_boards(boards, fires):
    (finding, *rest) = found(quiet_charge(boards=boards), "few-boards") or [None]
    assert (finding is not None) is fires
    assert rest == []
    if finding is not None:
        assert finding.values == {"boards": 3, "fewest_boards": 4}
        assert finding.severity is Severity.LOOK
        assert "FOR-128" in finding.source


def test_a_withdrawn_board_makes_them_too_few_from_that_day():
    build = quiet_charge()
    build.withdraw("board-0002", at=3)
    assert not found(build, "few-boards", at=2.9)
    assert found(build, "few-boards")[0].since == build.when(3)


def test_a_loaded_charge_without_boards_has_too_few():
    assert found(ChargeBuilder(), "few-boards")[0].values["boards"] == 0


def test_a_lot_without_board():
    build = quiet_charge()
    lot = build.lot("B")
    (finding,) = found(build, "lot-without-board")
    assert finding.subject == "lot B"
    assert finding.lot == lot
    board = build.board("9", "1600", lot=lot)
    assert not found(build, "lot-without-board")
    build.withdraw(board, at=5)
    assert found(build, "lot-without-board")[0].values["withdrawn_boards"] == ("9",)
    build.change(lot, 6, out_at=build.when(6))
    assert not found(build, "lot-without-board")


def test_a_single_section_is_noted_unless_another_is_in_the_oven():
    build = quiet_charge()
    build.void("section-0002")
    (finding,) = found(build, "single-section")
    assert finding.severity is Severity.NOTE
    assert finding.values["section"] == "a"
    build.section("board-0001", "c", "160.00")
    assert not found(build, "single-section")


@pytest.mark.parametrize(("wet", "fires"), [("165.00", False), ("165.01", True)])
def test_sections_further_apart_than_wood_usually_is(wet, fires):
    build = quiet_charge()
    build.correct("section-0002", wet_weight=wet)
    assert bool(found(build, "sections-disagree")) is fires


def test_sections_that_disagree_are_named_with_their_mc():
    build = quiet_charge()
    build.correct("section-0002", wet_weight="150.00")
    (finding,) = found(build, "sections-disagree")
    assert finding.subject == "board 1"
    assert finding.values["low_section"] == "b"
    assert finding.values["apart_pct"] == pytest.approx(10)
    build.correct("section-0002", rejected_because="bark lost")
    assert not found(build, "sections-disagree")


@pytest.mark.parametrize(
    ("wet", "fires"), [("300.00", False), ("300.02", True), ("104.00", False), ("103.90", True)]
)
def test_a_start_no_wood_has(wet, fires):
    # Common practice, no source: 4 to 200 %.
    build = quiet_charge()
    for section in ("section-0001", "section-0002"):
        build.correct(section, wet_weight=wet)
    told = found(build, "start-mc-odd")
    assert bool(told) is fires
    if fires:
        assert told[0].subject == "board 1"
        assert told[0].values["start_mc_pct"] == pytest.approx(float(wet) - 100)


def test_an_oven_dry_weight_typed_before_the_section_was_at_rest():
    build = quiet_charge()
    for hours, reading in ((10, "101.00"), (12, "100.50")):
        build.oven("board-0001", "section-0001", reading, hours / 24)
    (finding,) = found(build, "section-not-constant")
    assert finding.values["section"] == "a"
    build.oven("board-0001", "section-0001", "100.46", 14 / 24)
    assert not found(build, "section-not-constant")


@pytest.mark.parametrize(
    ("temperature", "unit", "fires"),
    [
        (103.0, TemperatureUnit.CELSIUS, False),
        (101.0, TemperatureUnit.CELSIUS, False),
        (105.0, TemperatureUnit.CELSIUS, False),
        (100.0, TemperatureUnit.CELSIUS, True),
        (130.0, TemperatureUnit.CELSIUS, True),
        (215.0, TemperatureUnit.FAHRENHEIT, False),
        (217.0, TemperatureUnit.FAHRENHEIT, False),
        (116.0, TemperatureUnit.FAHRENHEIT, True),  # a range once misprinted for 215 to 217 F
        (103.0, TemperatureUnit.FAHRENHEIT, True),
    ],
)
def test_an_oven_outside_101_to_105_degrees(temperature, unit, fires):
    # SUNY ESF, oven time and temperature: 101 to 105 C.
    build = quiet_charge()
    build.correct("section-0003", oven_temperature=temperature, temperature_unit=unit)
    assert bool(found(build, "oven-temperature-odd")) is fires


@pytest.mark.parametrize(("coated", "fires"), [(True, False), (None, False), (False, True)])
def test_a_board_with_open_ends(coated, fires):
    build = quiet_charge()
    build.correct("board-0001", coated=coated)
    assert bool(found(build, "board-not-coated")) is fires


def test_the_weight_of_a_coat_shows_that_there_is_one():
    build = quiet_charge()
    build.correct("board-0001", coated=False, coating_weight="10")
    assert not found(build, "board-not-coated")


@pytest.mark.parametrize(("minutes", "fires"), [(10, False), (11, True)])
def test_a_board_weighed_late(minutes, fires):
    build = quiet_charge()
    build.correct("board-0001", minutes_to_weighing=float(minutes))
    assert bool(found(build, "weighed-late")) is fires


def test_a_recut_whose_new_end_was_not_weighed():
    build = quiet_charge()
    recut = build.recut("board-0001", "1540", "1400", "60.00", "40.00", at=3)
    (finding,) = found(build, "recut-end-not-weighed")
    assert finding.since == build.when(3)
    build.correct(recut, coating_weight="4")
    assert not found(build, "recut-end-not-weighed")


def test_a_recut_with_its_section_in_the_oven_is_noted():
    build = quiet_charge()
    recut = build.recut("board-0001", "1540", "1400", "60.00", at=3, coating_weight="4")
    (finding,) = found(build, "provisional-basis")
    assert finding.severity is Severity.NOTE
    build.correct(recut, section_oven_dry="40.00")
    assert not found(build, "provisional-basis")


def losing(points_per_day: float, *, days: float = 1, step: str = "1", **lot_fields: object) -> ChargeBuilder:
    """A quiet charge whose board 1 then loses so many points a day, on a scale with this step."""
    build = quiet_charge(**lot_fields)
    grams = 1560 - 10 * points_per_day * days
    build.weigh("board-0001", f"{grams:.1f}" if step == "0.1" else f"{grams:.0f}", at=2 + days)
    for number in (2, 3, 4):
        build.weigh(f"board-000{number}", "1550", at=2 + days)
    return build


# A division of 1 g on 1000 g oven-dry is 0.1 point; two of them over a day take 0.2 points a day off a rate.
@pytest.mark.parametrize(
    ("rate", "over", "near"),
    [(3.9, False, True), (4.0, False, True), (4.1, True, False), (3.6, False, False), (3.7, False, True)],
)
def test_a_rate_is_held_against_the_limit_of_its_lot_less_what_the_scale_could_add(rate, over, near):
    # 3.8 points a day is what 4/4 northern red oak stands: FOR-128 (2017), p. 91, table 9.
    build = losing(rate, species="northern red oak", thickness="4/4")
    assert bool(found(build, "rate-over-limit")) is over
    assert bool(found(build, "rate-near-limit")) is near


def test_a_rate_finding_carries_its_figures_and_source():
    build = losing(6, species="northern red oak", thickness="4/4")
    (finding,) = found(build, "rate-over-limit")
    assert finding.severity is Severity.ACT
    assert finding.subject == "board 1"
    assert finding.values["rate_pct_per_day"] == pytest.approx(6)
    assert finding.values["certain_rate_pct_per_day"] == pytest.approx(5.8)
    assert finding.values["limit_pct_per_day"] == 3.8
    assert finding.values["from_at"] == build.when(2)
    assert finding.since == build.when(3)
    assert "FOR-128" in finding.source


def test_the_limit_typed_with_the_lot_comes_before_the_published_one():
    build = losing(3, species="northern red oak", thickness="4/4", safe_rate_pct_per_day=2.5)
    (finding,) = found(build, "rate-over-limit")
    assert finding.values["limit_pct_per_day"] == 2.5
    assert finding.source == "the limit typed for this lot"


def test_without_a_limit_no_rate_is_too_fast():
    assert not found(losing(30, species="hophornbeam", thickness="4/4"), "rate-over-limit")


def test_each_lot_has_its_own_limit():
    build = losing(3, safe_rate_pct_per_day=2.0)
    slow = build.lot("B", safe_rate_pct_per_day=50.0)
    build.correct("board-0001", lot=slow)
    assert not found(build, "rate-over-limit")


def test_a_new_limit_counts_from_its_day():
    build = losing(3, safe_rate_pct_per_day=5.0)
    build.change("lot-0001", 4, safe_rate_pct_per_day=2.0)
    assert not found(build, "rate-over-limit", at=3.5)
    assert found(build, "rate-over-limit", at=4.5)


def test_two_weighings_within_the_hour_make_no_rate_finding_of_scale_steps():
    # 2 g in half an hour is 9.6 points a day, and two steps of the scale explain all of it.
    build = quiet_charge(safe_rate_pct_per_day=3.8)
    build.weigh("board-0001", "1558", at=2 + 0.5 / 24)
    assert not found(build, "rate-over-limit")
    assert not found(build, "rate-near-limit")
    build.weigh("board-0001", "1550", at=2 + 1 / 24)
    assert found(build, "rate-over-limit")


def test_a_run_above_the_limit_began_with_its_first_rate():
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.weigh("board-0001", "1450", at=4)
    assert found(build, "rate-over-limit")[0].since == build.when(3)
    build.weigh("board-0001", "1440", at=5)
    assert not found(build, "rate-over-limit")


def dry_losing(mc_pct: float, points: float) -> ChargeBuilder:
    """One board of 1000 g oven-dry that loses so many points in a day from this MC; its limit is 3.8."""
    build = ChargeBuilder(target_mc_pct=6)
    lot = build.lot("A", species="northern red oak", thickness="4/4")
    board = build.board("1", "1800", lot=lot, oven_dry_weight="1000", coated=True)
    build.weigh(board, f"{1000 + 10 * mc_pct:.1f}", at=20)
    build.weigh(board, f"{1000 + 10 * (mc_pct - points):.1f}", at=21)
    return build


# Wengert: under 30 % new damage is unlikely, and under 15 % wood cannot reach the limit.
@pytest.mark.parametrize(
    ("mc_pct", "act", "severity"),
    [(31, True, None), (30, False, Severity.NOTE), (15, False, Severity.NOTE), (11, False, Severity.LOOK)],
)
def test_the_limit_of_green_wood_is_no_cause_to_act_in_dry_wood(mc_pct, act, severity):
    build = dry_losing(mc_pct, 4.01)
    assert bool(found(build, "rate-over-limit", at=21.1)) is act
    told = found(build, "fast-when-dry", at=21.1)
    assert [finding.severity for finding in told] == ([] if severity is None else [severity])
    if severity is not None:
        why = worded_finding(told[0]).why
        assert "Below 30 % so fast a loss hardly does new harm" in why
        assert ("cannot lose so fast" in why) is (severity is Severity.LOOK)
        assert "Wengert" in told[0].source
    assert not found(dry_losing(mc_pct - 1.1, 3.7), "rate-near-limit", at=21.1)


def test_rates_are_quiet_once_the_charge_is_unloaded():
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.change(build.entity, 4, unloaded_at=build.when(4))
    assert found(build, "rate-over-limit", at=3.5)
    assert not found(build, "rate-over-limit", at=5)


@pytest.mark.parametrize(("reading", "fires"), [("1560", False), ("1562", False), ("1563", True)])
def test_a_gain_beyond_two_divisions(reading, fires):
    build = quiet_charge()
    build.weigh("board-0001", reading, at=3)
    assert bool(found(build, "weight-gained")) is fires


def test_a_gain_in_pounds_beyond_two_divisions():
    build = ChargeBuilder(unit=WeightUnit.LB)
    board = build.board("1", "4.46", oven_dry_weight="2.75")
    build.weigh(board, "4.10", at=1)
    build.weigh(board, "4.12", at=2)
    assert not found(build, "weight-gained")
    build.weigh(board, "4.15", at=3)
    (finding,) = found(build, "weight-gained")
    assert finding.values["gain_g"] == pytest.approx(0.03 * 453.59237)


@pytest.mark.parametrize("kind", [EventKind.EQUALIZING, EventKind.CONDITIONING, EventKind.SPRAY])
def test_a_gain_in_air_damped_on_purpose_is_no_finding(kind):
    build = quiet_charge()
    build.weigh("board-0001", "1590", at=3)
    build.event(kind, 2.5, state=EventState.START)
    assert not found(build, "weight-gained")
    build.event(kind, 3.5, state=EventState.END)
    build.weigh("board-0001", "1600", at=4)
    assert not found(build, "weight-gained")
    build.weigh("board-0001", "1610", at=5)
    assert found(build, "weight-gained")


def test_a_gain_before_the_kiln_is_loaded_is_no_finding():
    build = ChargeBuilder(loaded_at=None)
    board = build.board("1", "1600", oven_dry_weight="1000")
    build.weigh(board, "1500", at=1)
    build.weigh(board, "1540", at=2)  # rained on in the stack
    assert not found(build, "weight-gained")
    build.correct(build.entity, loaded_at=build.when(0))
    assert found(build, "weight-gained")


def test_a_weighing_from_before_the_board_was_cut():
    build = ChargeBuilder()
    board = build.board("1", "1600", at=1, oven_dry_weight="1000")
    weighed = build.weigh(board, "1500", at=0.5)
    build.weigh(board, "1490", at=2)
    (finding,) = found(build, "before-cut")
    assert (finding.subject, finding.since, finding.values["early_h"]) == ("board 1", build.when(0.5), 12)
    build.correct(weighed, at=1.5)
    assert not found(build, "before-cut")
    # A year too late: the board is in no figure, and its weights would be lost to sight.
    build.correct(board, at=365)
    (finding,) = found(build, "before-cut")
    assert (finding.board, finding.since) == (board, build.when(1.5))
    build.void(weighed)
    assert found(build, "before-cut")[0].since == build.when(2)


def test_a_schedule_that_nobody_wrote_down():
    build = ChargeBuilder(schedule="ours")
    assert [finding.values["schedule"] for finding in found(build, "schedule-without-steps")] == ["ours"]
    build.steps("ours", None)
    assert not found(build, "schedule-without-steps")
    assert not found(ChargeBuilder(), "schedule-without-steps")


def test_below_oven_dry():
    build = quiet_charge()
    build.weigh("board-0001", "1000", at=20)
    assert not found(build, "negative-mc")
    build.weigh("board-0001", "995", at=21)
    (finding,) = found(build, "negative-mc")
    assert finding.severity is Severity.ACT
    assert finding.values["mc_pct"] == pytest.approx(-0.5)
    assert finding.since == build.when(21)


# 100 x division / OD above 0.5 points: worked out, not published.
@pytest.mark.parametrize(("division", "fires"), [("5", False), ("6", True)])
def test_a_scale_too_coarse_for_its_board(division, fires):
    build = quiet_charge()
    build.correct("board-0001", scale_division=division)
    assert bool(found(build, "coarse-scale")) is fires


def test_a_board_the_last_round_missed():
    build = quiet_charge()
    for number in (1, 2, 4):
        build.weigh(f"board-000{number}", "1540", at=3)
    assert not found(build, "board-missed", at=3 + 1.9 / 24)  # it may only be waiting its turn
    (finding,) = found(build, "board-missed", at=3 + 2 / 24)
    assert finding.board == "board-0003"
    assert finding.values["weight_at"] == build.when(2)
    assert finding.since == build.when(3)
    build.withdraw("board-0003", at=3.5)
    assert not found(build, "board-missed")


def on_schedule(*daily: float) -> ChargeBuilder:
    """Four boards at the same MC each day from day 1, on steps from green, 50, 40 and 30 %."""
    build = ChargeBuilder(schedule="ours")
    build.steps("ours", None, 50.0, 40.0, 30.0)
    for number in range(1, 5):
        board = build.board(str(number), "1600", oven_dry_weight="1000")
        for day, mc_pct in enumerate(daily, start=1):
            build.weigh(board, f"{1000 + 10 * mc_pct:.0f}", at=day)
    return build


def test_a_step_that_is_due():
    build = on_schedule(55, 48, 45)
    (finding,) = found(build, "step-due")
    assert finding.severity is Severity.ACT
    assert finding.subject == "charge"
    assert finding.values["due_step"] == 2
    assert finding.values["control_mc_pct"] == pytest.approx(45)
    assert finding.values["from_mc_pct"] == 50
    assert finding.since == build.when(2)
    build.take_step(2, at=3.1)
    assert not found(build, "step-due")


def test_steps_taken_as_called_for_are_no_findings():
    build = on_schedule(55, 48, 38, 29)
    for step, at in ((2, 2.1), (3, 3.1), (4, 4.1)):
        build.take_step(step, at=at)
    assert not findings(build, at=4.5)


def test_a_step_taken_before_its_time():
    build = on_schedule(55, 52)
    build.take_step(2, at=2.1)
    (finding,) = found(build, "step-against-rule")
    assert finding.severity is Severity.LOOK
    assert finding.values["called_for"] == 1
    assert finding.values["control_mc_pct"] == pytest.approx(52)


def test_a_step_taken_early_with_a_reason_is_a_note():
    build = on_schedule(55, 48, 42)
    build.take_step(2, at=2.1)
    build.take_step(3, at=3.1, reason="rain forecast")
    (finding,) = found(build, "step-against-rule")
    assert finding.severity is Severity.NOTE
    assert finding.values["called_for"] == 2


def test_going_back_a_step_is_not_against_the_rule():
    build = on_schedule(55, 48)
    build.take_step(2, at=2.1)
    build.take_step(1, at=2.5)
    assert not found(build, "step-against-rule")
    assert not found(build, "step-skipped")


def test_a_step_taken_early_is_told_until_its_rounds_have_shown_the_loss_and_again_for_the_record():
    build = on_schedule(55, 52)
    build.take_step(2, at=2.1)

    def told(at: When) -> list[str]:
        return [one.code for one in findings(build, at) if one.code.startswith("step-against")]

    for day, mc_pct in ((3, 49), (4, 48)):
        assert told(day - 0.1)
        for number in range(1, 5):
            build.weigh(f"board-000{number}", f"{1000 + 10 * mc_pct}", at=day)
    assert not told(4.1)  # the boards came to step 2, and two rounds have shown the loss
    build.change(build.entity, 9, unloaded_at=build.when(9))
    assert told(9.1)


@pytest.mark.parametrize("what", ["the next step", "equalizing"])
def test_a_step_taken_early_is_told_no_more_once_something_else_is_in_force(what):
    build = on_schedule(55, 52)
    build.take_step(2, at=2.1, reason="rain forecast")
    assert found(build, "step-against-rule", 2.2)
    if what == "equalizing":
        build.event(EventKind.EQUALIZING, 2.3, state=EventState.START)
    else:
        build.take_step(1, at=2.3, reason="checks")
    assert not found(build, "step-against-rule", 2.4)


def test_a_step_gone_back_from_on_purpose_is_due_since_then_and_its_answer_holds():
    build = on_schedule(55, 48, 45)
    build.take_step(2, at=3.1)
    build.take_step(1, at=3.2, reason="checks on board 2")
    for at in (3.3, 3.9):
        (due,) = found(build, "step-due", at)
        assert (due.since, due.severity) == (build.when(3.2), Severity.LOOK)
        assert not due.answered
    assert "went back from step 2 on purpose: checks on board 2." in worded_finding(due).why
    build.decide("step-due", 3.3, note="held for a day")
    for board in range(1, 5):
        build.weigh(f"board-000{board}", "1440", at=4)
    assert found(build, "step-due", 3.9)[0].answered
    assert found(build, "step-due", 4.1)[0].answered  # the round since then tells nothing new


def test_a_step_due_by_the_clock_is_due_since_its_hour():
    build = ChargeBuilder(schedule="by the clock")
    for step, hours in enumerate((0.0, 48.0), start=1):
        build.first(ScheduleStep("by the clock", step, from_hours=hours), 0)
    build.board("1", "1600", oven_dry_weight="1000")
    (due,) = found(build, "step-due", 2.5)
    assert due.since == build.when(2)


def test_a_step_skipped():
    build = on_schedule(55, 48, 45)
    build.take_step(1, at=0)
    build.take_step(3, at=3.1)
    (finding,) = found(build, "step-skipped")
    assert finding.values["skipped_steps"] == ("2",)
    assert found(build, "step-against-rule")


def test_a_step_called_for_past_another_says_so_and_is_nobodys_fault_once_taken():
    build = on_schedule(55, 39)
    (due,) = found(build, "step-due")
    assert worded_finding(due).headline == "Step 3 of 4 is due, leaving out 2"
    assert "In force is step 1: the boards are past 2 as well" in worded_finding(due).why
    build.take_step(3, at=3.1)
    assert not found(build, "step-due")
    assert not found(build, "step-skipped")
    assert not found(build, "step-against-rule")
    next_one = on_schedule(55, 45)
    assert worded_finding(found(next_one, "step-due")[0]).headline == "Step 2 of 4 is due"


def test_stock_that_comes_dry_may_begin_part_way():
    build = on_schedule(35)
    build.take_step(3, at=1.1)
    assert not found(build, "step-skipped")
    assert not found(build, "step-against-rule")


@pytest.mark.parametrize("subject", ["board 1", "1"])
def test_a_decision_answers_the_finding_of_its_code_and_subject(subject):
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.decide("rate-over-limit", 3.1, subject=subject, note="vents closed")
    (finding,) = found(build, "rate-over-limit")
    assert finding.answered
    assert not found(build, "rate-over-limit", at=3.05)[0].answered


def test_a_decision_about_another_board_or_another_code_answers_nothing():
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.decide("rate-over-limit", 3.1, subject="board 2")
    build.decide("rate-near-limit", 3.1, subject="board 1")
    build.void(build.decide("rate-over-limit", 3.1, subject="board 1"))
    assert not found(build, "rate-over-limit")[0].answered


def test_an_answer_does_not_cover_the_next_occurrence():
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.decide("rate-over-limit", 3.1, subject="board 1")
    build.weigh("board-0001", "1490", at=4)
    build.weigh("board-0001", "1400", at=5)
    assert not found(build, "rate-over-limit")[0].answered


def test_a_finding_about_the_charge_is_answered_without_subject():
    build = on_schedule(48)
    build.decide("step-due", 1.2, note="tomorrow")
    assert found(build, "step-due")[0].answered


def test_a_gain_insisted_on_when_it_was_typed_is_answered():
    build = quiet_charge()
    build.weigh("board-0001", "1590", at=3)
    build.decide("gain", 3, subject="board 1", note="dripped on")
    assert found(build, "weight-gained")[0].answered


def test_the_most_urgent_come_first_and_answered_ones_last():
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.correct("board-0002", coated=False)
    build.void("section-0002")
    build.withdraw("board-0004", at=3)
    order = [(finding.code, finding.severity) for finding in findings(build, at=4)]
    assert order == [
        ("rate-over-limit", Severity.ACT),
        ("weight-dropped", Severity.LOOK),
        ("few-boards", Severity.LOOK),
        ("board-not-coated", Severity.LOOK),
        ("single-section", Severity.NOTE),
    ]
    build.decide("rate-over-limit", 4, subject="board 1")
    assert [finding.code for finding in findings(build)][-1] == "rate-over-limit"


def test_every_finding_says_where_its_limit_is_from():
    build = losing(6, safe_rate_pct_per_day=3.0)
    build.correct("board-0002", coated=False, minutes_to_weighing=30.0, scale_division="9")
    build.correct("section-0005", wet_weight="150.00")
    build.void("section-0002")
    build.weigh("board-0003", "1700", at=4)
    build.lot("B")
    assert len({finding.code for finding in findings(build)}) >= 8
    assert all(finding.source and finding.since for finding in findings(build))


def test_a_step_taken_while_the_wood_is_wetter_than_the_schedule_begins():
    build = on_schedule(58)
    build.correct("schedule_step-0001", from_mc_pct=57.0)
    build.take_step(2, at=1.1)
    (finding,) = found(build, "step-against-rule")
    assert finding.values["called_for"] == 1
