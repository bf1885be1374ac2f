"""The JSON of ``status``: the names promised to other programs, and the figures of the assessment itself."""

from __future__ import annotations

import json

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.logbook.status import history, status
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

CHARGE_KEYS = {"control", "wettest", "driest", "mean_mc_pct", "schedule", "air", "findings", "forecast"}
BOARD_KEYS = {
    "board",
    "lot",
    "state",
    "feeds_control",
    "start_mc_pct",
    "oven_dry_weight_g",
    "basis",
    "weight_g",
    "weight_at_target_g",
    "water_to_lose_g",
    "expected_g",
    "mc_pct",
    "mc_uncertainty_pct",
    "rate_pct_per_day",
    "carried",
    "since",
}
FINDING_KEYS = {"code", "severity", "subject", "values", "what", "why", "do", "source", "since"}


@pytest.fixture
def charge():
    build = ChargeBuilder(target_mc_pct=7, schedule="ours")
    build.steps("ours", None, 50, dry_bulb=110, temperature_unit=None)
    lot = build.lot("A")
    for label, later in (("1", ("1700", "1600")), ("2", ("1650", None)), ("3", ("1800", "1795"))):
        board = build.board(label, "1800", lot=lot)
        build.section(board, "a", "180.0", "100.0")
        for day, grams in enumerate(later, start=1):
            if grams:
                build.weigh(board, grams, day)
    waiting = build.board("4", "1800", lot=lot)
    build.section(waiting, "a", "180.0")
    return build


def told(charge, at=2):
    record = charge.record()
    return status(record, assess(record, load(), charge.when(at)))


def test_the_names_are_those_promised(charge):
    figures = told(charge)
    assert set(figures) == CHARGE_KEYS | {"charge", "at", "state", "boards", "lots"}
    assert all(set(board) == BOARD_KEYS for board in figures["boards"])
    assert all(set(finding) == FINDING_KEYS for finding in figures["findings"])
    assert set(figures["lots"][0]) == {"lot", "control", "wettest", "driest", "mean_mc_pct"}
    assert set(figures["control"]) == {"rule", "mc_pct", "boards"}
    assert set(figures["schedule"]) == {"name", "step", "of", "due", "set_points"}
    assert set(figures["wettest"]) == set(figures["driest"]) == {"board", "mc_pct"}
    assert set(figures["boards"][0]["basis"]) == {"kind", "at"}
    assert set(figures["boards"][0]["expected_g"]) == {"low", "high"}
    assert (figures["air"], figures["forecast"]) == (None, None)


def test_the_figures_by_hand(charge):
    figures = told(charge)
    boards = {board["board"]: board for board in figures["boards"]}
    # 1800 g at 80 % is 1000 g oven-dry, so ten grams are a point of MC.
    assert boards["1"]["mc_pct"] == pytest.approx(60, abs=1e-9)
    assert boards["1"]["rate_pct_per_day"] == pytest.approx(10, abs=1e-9)
    assert boards["1"]["weight_at_target_g"] == pytest.approx(1070, abs=1e-9)
    assert boards["1"]["water_to_lose_g"] == pytest.approx(530, abs=1e-9)
    assert boards["1"]["since"] == "2024-03-03T08:00:00-05:00"
    assert boards["1"]["basis"] == {"kind": "sections", "at": "2024-03-01T08:00:00-05:00"}
    assert (boards["2"]["carried"], boards["2"]["mc_pct"]) == (True, pytest.approx(65, abs=1e-9))
    assert (boards["4"]["state"], boards["4"]["mc_pct"], boards["4"]["basis"]) == ("drying oven", None, None)
    assert figures["control"] == {
        "rule": "wettest half",
        "mc_pct": pytest.approx((79.5 + 65) / 2, abs=1e-9),
        "boards": ["3", "2"],
    }
    assert figures["driest"] == {"board": "1", "mc_pct": pytest.approx(60, abs=1e-9)}


def test_findings_are_told_in_words_with_their_values(charge):
    missed = next(one for one in told(charge, at=2.5)["findings"] if one["code"] == "board-missed")
    assert missed["subject"] == "board 2"
    assert missed["what"] == "Board 2 was not weighed in the round of 2024-03-03 08:00"
    assert missed["values"]["weight_at"] == "2024-03-02T08:00:00-05:00"
    assert missed["severity"] == "look"


def test_at_an_earlier_moment_later_weights_are_unknown(charge):
    boards = {board["board"]: board for board in told(charge, at=1.5)["boards"]}
    assert boards["1"]["mc_pct"] == pytest.approx(70, abs=1e-9)
    assert boards["2"]["carried"] is False


def test_history_tells_each_round_oldest_first(charge):
    record = charge.record()
    rounds = history(record, assess(record, load(), charge.when(9)))
    assert [one["at"] for one in rounds] == [
        "2024-03-01T08:00:00-05:00",
        "2024-03-02T08:00:00-05:00",
        "2024-03-03T08:00:00-05:00",
    ]
    by_board = [{board["board"]: board for board in one["boards"]} for one in rounds]
    assert [boards["1"]["mc_pct"] for boards in by_board] == pytest.approx([80, 70, 60], abs=1e-9)
    assert [boards["1"]["weight_g"] for boards in by_board] == [1800, 1700, 1600]
    assert [boards["2"]["carried"] for boards in by_board] == [False, False, True]
    assert by_board[2]["2"]["since"] == "2024-03-02T08:00:00-05:00"
    assert all("4" not in boards for boards in by_board)
    assert all(set(board) == BOARD_KEYS for boards in by_board for board in boards.values())
    assert by_board[1]["1"]["water_to_lose_g"] == pytest.approx(630, abs=1e-9)  # 70 % down to 7 % of 1000 g
    assert rounds[2]["lots"] == [
        {key: rounds[2][key] for key in ("control", "wettest", "driest", "mean_mc_pct")} | {"lot": "A"}
    ]


def test_the_last_round_of_the_history_is_the_status_of_that_moment(charge):
    record = charge.record()
    assessment = assess(record, load(), charge.when(2))
    now, last = status(record, assessment), history(record, assessment)[-1]
    usable = {board["board"]: board for board in now["boards"] if board["state"] == "in use"}
    for board in last["boards"]:
        assert board | {"expected_g": None} == usable[board["board"]] | {"expected_g": None}
    for key in ("charge", "state", "control", "wettest", "driest", "mean_mc_pct", "lots", "schedule"):
        assert last[key] == now[key]
    assert set(last) == set(now) | {"until"}


def test_the_history_tells_the_step_in_force_and_the_step_due_at_each_round(charge):
    charge.correct("schedule_step-0002", from_mc_pct=75)
    charge.take_step(2, 2)
    charge.weigh("board-0002", "1600", 2)
    record = charge.record()
    rounds = history(record, assess(record, load(), charge.when(9)))
    # The wetter two: 80 and 80 %, 80 and 70 %, 79.5 and 60 %. Step 2 begins at 75 %.
    assert [one["control"]["mc_pct"] for one in rounds] == pytest.approx([80, 75, 69.75])
    assert [(one["schedule"]["step"], one["schedule"]["due"]) for one in rounds] == [
        (1, None),
        (1, 2),
        (2, None),
    ]
    assert [one["state"] for one in rounds] == ["drying"] * 3
    assert [one["findings"] for one in rounds] == [None] * 3


def test_at_a_cut_the_history_tells_the_board_as_it_was_before():
    build = ChargeBuilder(target_mc_pct=7)
    board = build.board("1", "1800", oven_dry_weight="1000")
    build.weigh(board, "1700", at=1)
    build.breaks(board, "1600", "1200", at=2)
    build.weigh(board, "1125", at=3)
    rounds = history(build.record(), assess(build.record(), load(), build.when(4)))
    # 1600 g on 1000 g before the break; 1200 of 1600 left, so 750 g oven-dry from then on.
    boards = [one["boards"][0] for one in rounds]
    assert [one["basis"]["kind"] for one in boards] == ["typed", "typed", "typed", "break"]
    assert [one["oven_dry_weight_g"] for one in boards] == pytest.approx([1000, 1000, 1000, 750])
    assert [one["mc_pct"] for one in boards] == pytest.approx([80, 70, 60, 50])


def test_both_are_plain_json_without_nan(charge):
    record = charge.record()
    assessment = assess(record, load(), charge.when(2))
    for figures in (status(record, assessment), history(record, assessment)):
        assert json.loads(json.dumps(figures, allow_nan=False)) == figures
