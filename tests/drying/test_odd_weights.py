"""Weights that came by file, or were left odd by a correction: what is said of them without anybody asked."""

from __future__ import annotations

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.finding import Finding
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, plain_charge

#: Four boards of 1000 g oven-dry, 60 % when cut, that lose about 3 points a day.
STEADY = [["1570", "1541", "1513", "1486"] for _ in range(4)]


def found(build: ChargeBuilder, code: str, at: float = 40) -> list[Finding]:
    assessment = assess(build.record(), load(), build.when(at))
    return [finding for finding in assessment.findings if finding.code == code]


def with_last(*last: str) -> ChargeBuilder:
    """The steady charge with one more weight for each board."""
    return plain_charge([("1600", [*daily, more]) for daily, more in zip(STEADY, last, strict=True)])


@pytest.mark.parametrize(
    ("last", "boards"),
    [
        (("1460", "1460", "1460", "1460"), []),
        (("1415", "1460", "1460", "1460"), ["board 1"]),  # 1451 with a digit mistyped
        (("1410", "1412", "1408", "1411"), []),  # the whole kiln ran faster: no board stands out
        (("1440", "1460", "1460", "1460"), []),  # a little fast
    ],
    ids=["steady", "one odd", "all faster", "a little fast"],
)
def test_a_board_that_lost_far_more_than_by_its_own_pace_and_than_the_others(last, boards):
    assert [finding.subject for finding in found(with_last(*last), "weight-dropped")] == boards


def test_a_drop_is_told_with_what_was_expected():
    (finding,) = found(with_last("1415", "1460", "1460", "1460"), "weight-dropped")
    assert finding.values["loss_g"] == pytest.approx(71)
    assert finding.values["loss_pct"] == pytest.approx(7.1)
    low_g, high_g = finding.values["expected_low_g"], finding.values["expected_high_g"]
    assert isinstance(low_g, float)
    assert isinstance(high_g, float)
    assert 1440 < low_g < 1460 < high_g < 1480


def test_a_drop_insisted_on_is_answered():
    build = with_last("1415", "1460", "1460", "1460")
    build.decide("jump-down", 5, subject="board 1", note="the end split off")
    assert found(build, "weight-dropped")[0].answered


def test_a_drop_is_not_told_of_a_charge_that_does_not_dry():
    build = with_last("1415", "1460", "1460", "1460")
    build.correct(build.entity, unloaded_at=build.when(4.5))
    assert not found(build, "weight-dropped")


def slipped(third: str) -> ChargeBuilder:
    """The steady charge, the third weight of board 1 another, and one more day."""
    daily = [[*STEADY[0][:2], third, STEADY[0][3]], *STEADY[1:]]
    return plain_charge([("1600", [*weights, "1460"]) for weights in daily])


@pytest.mark.parametrize(
    ("third", "between"),
    [
        ("1513", None),
        ("1460", None),  # then 2.6 points up: less than a slip that matters
        ("1315", (3, 4)),  # two digits turned: 17.1 points up to the next weight
        ("1613", (2, 3)),  # one digit mistyped: 7.2 points up at once
    ],
)
def test_a_misread_weight_in_the_past_shows_by_the_gain_it_makes(third, between):
    told = [
        (finding.values["before_at"], finding.values["after_at"])
        for finding in found(slipped(third), "weights-misfit")
    ]
    days = slipped(third)
    assert told == ([] if between is None else [tuple(days.when(day) for day in between)])


def test_a_misfit_goes_with_its_correction_and_where_somebody_said_why():
    build = slipped("1315")
    build.decide("weights-misfit", 6, subject="board 1", note="hosed down")
    assert found(build, "weights-misfit")[0].answered
    build.correct("weighing-0003", weight="1513")
    assert not found(build, "weights-misfit")


def test_a_gain_made_on_purpose_or_before_loading_is_no_misfit():
    build = slipped("1315")
    build.event(EventKind.CONDITIONING, 3.2, state=EventState.START)
    build.event(EventKind.CONDITIONING, 3.8, state=EventState.END)
    assert not found(build, "weights-misfit")
    loaded_later = slipped("1315")
    loaded_later.correct(loaded_later.entity, loaded_at=loaded_later.when(4))
    assert not found(loaded_later, "weights-misfit")
