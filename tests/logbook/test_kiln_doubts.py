"""What is asked about before it is kept: a meter's reading, water that was caught, an end too early."""

from __future__ import annotations

from kilnlog.drying.assessment import assess
from kilnlog.logbook.kiln_doubts import meter_doubt, phase_doubt, water_doubt
from kilnlog.logbook.wording import worded
from kilnlog.records.event import Event
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.words import EventKind, EventState, VolumeUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder


def charge(mc_pct):
    """A cubic metre of specific gravity 0.5, 500 kg oven-dry, with one board at this moisture."""
    build = ChargeBuilder(target_mc_pct=8)
    lot = build.lot("A", volume=1, volume_unit=VolumeUnit.CUBIC_METRES, basic_specific_gravity=0.5)
    build.board("1", f"{1000 + 10 * mc_pct:.0f}", lot=lot, oven_dry_weight="1000", coated=True)
    return build


def metered(build, reading, **told):
    check = MeterCheck(build.entity, "board-0001", reading, **told)
    return meter_doubt(build.record(), check, build.when(0.1), load())


def test_a_reading_far_from_a_dry_board_is_asked_about():
    assert metered(charge(20.5), 19.0) is None
    asked = metered(charge(20.5), 12.0)
    assert worded(asked).what == (
        "The meter says 12.0 %, and board 1 is worked out at 20.5 %: 8.5 points apart, more than both "
        "may be off."
    )
    assert metered(charge(20.5), 40.0).values["why"] == "meter-far"
    far = metered(charge(59.5), 12.0)
    assert (far.values["why"], far.values["apart_points"]) == ("meter-far", 47.5)


def test_a_reading_above_what_a_meter_measures_is_asked_about():
    """Above 30 % a meter does not measure: Wood Handbook FPL-GTR-190 (2010), chapter 13."""
    for board, reading in ((60, 45.0), (60, 30.1), (29, 31.0)):
        asked = metered(charge(board), reading)
        assert asked.values["why"] == "meter-beyond"
    assert worded(asked).what == "The meter says 31.0 %, and above 30 % a meter does not measure."
    assert metered(charge(60), 30.0) is None


def test_a_reading_beyond_the_scale_of_a_meter_is_asked_about_on_wet_boards_too():
    assert metered(charge(80), 350).values["why"] == "meter-scale"
    assert metered(charge(80), 20, corrected_pct=350).values["why"] == "meter-scale"


def caught(build, value, unit):
    record = build.record()
    event = Event(build.entity, EventKind.WATER_COLLECTED, value=value, unit=unit)
    return water_doubt(record, assess(record, load(), build.when(1)), event)


def test_water_beyond_what_the_lumber_had_is_asked_about():
    """500 kg oven-dry from 80 to 8 % lose 360 kg; a gallon of water is 3.785 kg."""
    build = charge(80)
    assert caught(build, 359, "kg") is None
    assert caught(build, 361, "kg").values["most_kg"] == 360
    assert caught(build, 95, "gal") is None
    assert caught(build, 96, "gal").values["caught_kg"] == 363
    build.event(EventKind.WATER_COLLECTED, 0.5, value=200.0, unit="L")
    assert caught(build, 159, "kg") is None
    assert worded(caught(build, 161, "kg")).what == (
        "That makes 361 kg caught, and the lumber had 360 kg to lose from green to its target."
    )


def test_lumber_that_tells_no_water_asks_nothing():
    build = ChargeBuilder()
    build.board("1", "1800", lot=build.lot("A"), oven_dry_weight="1000")
    assert caught(build, 1e6, "kg") is None


def asked_of(build, kind, state, day):
    record, at = build.record(), build.when(day)
    event = Event(build.entity, kind, state)
    return phase_doubt(record, assess(record, load(), at), event, at, load())


def test_equalizing_that_ends_or_is_left_for_conditioning_while_a_board_is_too_wet_is_asked_about():
    build = charge(9.4)
    build.event(EventKind.EQUALIZING, 1, state=EventState.START)
    for kind, state in (
        (EventKind.EQUALIZING, EventState.END),
        (EventKind.CONDITIONING, EventState.START),
        (EventKind.CONDITIONING, None),
    ):
        asked = asked_of(build, kind, state, 2)
        assert worded(asked).what == (
            "Board 1 is at 9.40 %, and by the rule “2 points below the target” equalizing ends when the "
            "wettest is at 8.0 %."
        )
    done = charge(8.0)
    done.event(EventKind.EQUALIZING, 1, state=EventState.START)
    assert asked_of(done, EventKind.EQUALIZING, EventState.END, 2) is None
    assert asked_of(done, EventKind.CONDITIONING, EventState.START, 2) is None


def test_what_is_on_already_is_not_begun_again_unasked():
    build = charge(9.4)
    assert asked_of(build, EventKind.EQUALIZING, EventState.START, 1) is None
    build.event(EventKind.EQUALIZING, 1, state=EventState.START)
    asked = asked_of(build, EventKind.EQUALIZING, EventState.START, 2)
    assert (asked.values["why"], asked.values["begun_at"]) == ("already-on", build.when(1))


def test_conditioning_of_a_minute_is_asked_about():
    build = charge(8.0)
    build.event(EventKind.CONDITIONING, 1, state=EventState.START)
    asked = asked_of(build, EventKind.CONDITIONING, EventState.END, 1 + 1 / 1440)
    assert worded(asked).what == "Conditioning has lasted 1 min, and even 4/4 usually takes 16 h."
    assert asked_of(build, EventKind.CONDITIONING, EventState.END, 1.7) is None
