"""What the findings about the kiln's air, its sensors, the pace and the end of a run say."""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.logbook.wording_doubts import Wording

_SET = (
    "[Set dry bulb {set_dry_bulb} °{set_unit}, wet bulb {set_wet_bulb} °{set_unit} "
    "(depression {set_depression} °{set_unit}): that is RH {set_rh_pct} %, EMC {set_emc_pct} %."
    "|Set the kiln to an EMC of {keep_emc_pct} %.]"
    "[ While it stands at {now_dry_bulb} °{set_unit}, RH {now_rh_pct} % keeps that.]"
)

_HOTTER = (
    "[ That is {hotter_dry_bulb} °{set_unit} above step {last_step}, the last, as published for a schedule "
    "that is at its end; go no hotter than the kiln is made for.]"
)

_TAKEN = "[ Step {taken_step} was taken, and the wood still calls for step {step}.|]"

AIR_FINDINGS: Mapping[str, Wording] = {
    "air-too-wet": (
        "air too wet",
        "the air stands at EMC {emc_pct} %, and board {board} is at {mc_pct} %",
        "At RH {is_rh_pct} % and {air_dry_bulb} °{temperature_unit} wood goes to {emc_pct} %: "
        "board {board} cannot lose any more, and would gain.",
        "[Leave the air as it is for now: board {too_fast_boards} loses too fast already."
        "|Leave the air at step {wet_step}: the wetter boards need its EMC of {kept_emc_pct} %, and this one "
        "waits for them, or its lot comes out."
        "|Open the vents: at this temperature RH {serving_rh_pct} % would serve. Heat no further than step "
        "{wet_step} allows."
        "|Open the vents or heat: at this temperature RH {serving_rh_pct} % would serve."
        "|Open the vents or heat.] If that is meant, write down that you equalize or condition.",
    ),
    "air-too-dry": (
        "air too dry",
        "the air stands at EMC {emc_pct} %, step {step} asks for {step_emc_pct} %",
        "RH is {is_rh_pct} %. At a controlling MC of {control_mc_pct} % the surface dries far quicker than "
        "the heart can follow, and checks." + _TAKEN,
        "Close the vents and damp the air, slowly back to the step[: RH {serving_rh_pct} % here]; look at "
        "the boards' faces and ends for checks. If it was misread, correct the reading.",
    ),
    "set-too-dry": (
        "set too dry",
        "the kiln is set to EMC {emc_pct} %, step {step} asks for {step_emc_pct} %",
        "[A depression of {set_depression} °{temperature_unit} is set, and the step has {step_depression} "
        "°{temperature_unit}. ]At a controlling MC of {control_mc_pct} % air so dry checks the wood."
        + _TAKEN,
        "Set the kiln to the step the wood calls for; if the setting was mistyped, correct it.",
    ),
    "off-set-point": (
        "off its setting",
        "the {figure} stands[ {off_dry_bulb} °{temperature_unit}] {side} its set point",
        "[It reads {stands_dry_bulb} °{temperature_unit}, and {set_to_dry_bulb} °{temperature_unit} is set."
        "|It reads {stands_rh_pct} %, and {set_to_rh_pct} % is set.|]",
        "Look at the control, the vents, the spray and the wick; if the kiln is set otherwise by now, write "
        "that down.",
    ),
    "mc-below-emc": (
        "below EMC",
        "board {board} is at {mc_pct} % and lost water in air of EMC {emc_pct} %",
        "Wood does not dry below the EMC of its air, so its oven-dry weight of {oven_dry_weight_g} is too "
        "high, or the air was read too damp; {mc_uncertainty_pct} % of uncertainty is allowed for.",
        "Check the wick and the sensor; if they are right, recut the board for a new oven-dry weight.",
    ),
    "air-too-hot": (
        "too hot",
        "the kiln stood at {highest_dry_bulb} °{temperature_unit}, "
        "step {step} allows {allowed_dry_bulb} °{temperature_unit}",
        "The controlling MC is {control_mc_pct} %: above {limit_pct} % heat weakens the wood, and it may "
        "collapse or honeycomb.[ It was so until {until_at}.|]" + _TAKEN,
        "Turn the heat down to the step the wood calls for; on opening the kiln, look for honeycomb first in "
        "the wettest boards.",
    ),
    "set-too-hot": (
        "set too hot",
        "the kiln is set to {set_to_dry_bulb} °{temperature_unit}, "
        "step {step} allows {allowed_dry_bulb} °{temperature_unit}",
        "The controlling MC is {control_mc_pct} %: above {limit_pct} % heat weakens the wood, and it may "
        "collapse or honeycomb." + _TAKEN,
        "Set the dry bulb of the step the wood calls for.",
    ),
    "mould-weather": (
        "mould weather",
        "the air has been warm and damp for {lasted_words}",
        "Since {from_at} it stood above RH {over_rh_pct} % at {coolest_dry_bulb} to {warmest_dry_bulb} "
        "°{temperature_unit}, and the wettest board is at {wettest_mc_pct} %. Mould needs about that; the "
        "figures are common practice.",
        "[Do not dry the air for it now: board {too_fast_boards} loses too fast already. Keep"
        "|Step {wet_step} asks for RH {step_rh_pct} % here: make it no drier than that. Keep"
        "|Vent more or dehumidify harder, keep] the fans running, and look at the low courses for bloom.",
    ),
    "wet-bulb-near-dry": (
        "wick?",
        "[{sensor}: |]the wet bulb reads {reads_wet_bulb} °{temperature_unit} beside "
        "{reads_dry_bulb} °{temperature_unit} dry",
        "So close together they would mean nearly saturated air. A dry or crusted wick reads like the dry "
        "bulb.",
        "Wet the wick or change it, see that air blows over it, and read both again.",
    ),
    "sensor-frozen": (
        "sensor frozen",
        "[{sensor}: |]the {figure} has shown {stuck_at} for {lasted_words}",
        "All {readings} readings since {begun_at} are the same to the last digit.",
        "Check the sensor, its plug and the wick; compare it with a thermometer held beside it.",
    ),
    "stalled": (
        "stalled",
        "board {board} loses {rate_pct_per_day} % a day, where {usual_rate_pct_per_day} was to be expected",
        "From {from_at} to {until_at} it lost far less than[ at step {step}|] before, by what it has "
        "still above EMC; the scale's steps do not explain it.",
        "Look at the vents, the fans and the wick; weigh it again.",
    ),
    "weighing-overdue": (
        "weigh",
        "no board was weighed for {without_words}",
        "The last round was on {last_at}[; this charge is usually weighed every {usual_words}]. No step "
        "falls due and no rate is seen without weights.",
        "Weigh all {boards} boards.",
    ),
    "meter-disagrees": (
        "meter disagrees",
        "the meter says {meter_pct} %, and board {board} is worked out at {mc_pct} %",
        "On {read_at} it read {reading_pct} %[, {corrected_pct} % for the wood's temperature|]. Board and "
        "meter may be off by {mc_uncertainty_pct} and {meter_limit_pct} %, which does not bridge them.",
        "Recut the board: its section settles it. Reasons to look for: a gradient at the pins, hot or frozen "
        "wood, another species setting, salts in the wood, sections that did not stand for the board.",
    ),
}

END_FINDINGS: Mapping[str, Wording] = {
    "equalize-due": (
        "equalize",
        "equalizing is due: board {driest_board} is at {driest_compared_pct} %",
        "By the rule “{rule}” it begins when the driest board is at {start_at_pct} %, and ends when the "
        "wettest is at {end_at_pct} %; that is board {wettest_board}, at {wettest_compared_pct} %.",
        "[The controlling boards are at {wet_control_mc_pct} %, and air dry enough for it would check them: "
        "stay with the schedule, and take the dry lumber out if it can be. If you equalize all the same:]"
        + _SET
        + _HOTTER
        + " Write down that equalizing began.",
    ),
    "equalizing-on": (
        "equalizing",
        "equalizing since {begun_at}[: keep EMC {keep_emc_pct} %|] until board {wettest_board} is at "
        "{end_at_pct} %",
        "Board {wettest_board}, the wettest, is at {wettest_compared_pct} %, and board {driest_board}, the "
        "driest, at {driest_compared_pct} %. By the rule “{rule}” it ends by the boards, not by the clock; "
        "no step falls due meanwhile.",
        "[The controlling boards are at {wet_control_mc_pct} %, and air dry enough for equalizing would "
        "check them: go back to the schedule, and write down that equalizing ended.]"
        + _SET
        + _HOTTER
        + " Weigh on as before.",
    ),
    "conditioning-on": (
        "conditioning",
        "conditioning since {begun_at}: keep EMC {keep_emc_pct} % until a stress test shows it free",
        "It has lasted {lasted_words}. Stress goes out of {wood} in air of an EMC {above_points} points "
        "above its target.[ 4/4 usually takes {usual_from_h} to {usual_to_h} h and 8/4 up to {usual_thick_h} "
        "h: from memory.| 4/4 may be done after {softwood_h} h: from memory.]",
        _SET
        + " Test for stress before the time is up: too long or too damp, and the stress turns round. Then "
        "write down that conditioning ended.",
    ),
    "end-air-off": (
        "air too {side}",
        "{phase} asks for EMC {keep_emc_pct} %, and the air stands at {emc_pct} %",
        "At RH {is_rh_pct} % and {air_dry_bulb} °{temperature_unit} it is {off_points} points too {side}. "
        "[Board {driest_board}, the driest, goes on drying in it, and the boards drift further apart."
        "|Board {wettest_board}, the wettest, dries slower in it than it need."
        "|Short of it by {short_points} points, stress stays in the wood; a first stage kept milder on "
        "purpose is no fault."
        "|Too damp, and the shell swells so that the stress turns round.]",
        "[Bring it to RH {serving_rh_pct} % at this temperature: spray or steam for damper air, vents for "
        "drier air. ]If the reading is wrong, correct it; if the {phase} is over, write that down.",
    ),
    "equalize-finished": (
        "equalized",
        "equalizing is done: board {wettest_board} is at {wettest_compared_pct} %",
        "By the rule “{rule}” it ends when the wettest board is at {end_at_pct} %[; it began on "
        "{equalizing_at}].",
        "Write down that equalizing ended; then condition, or cool the charge.",
    ),
    "equalizing-cut-short": (
        "ended early",
        "equalizing ended while board {wettest_board} was at {wettest_compared_pct} %",
        "By the rule “{rule}” it ends when the wettest is at {end_at_pct} %. Boards apart now stay apart: "
        "conditioning does not bring them together.",
        "Write down that equalizing began again, or weigh the board once more if that figure is wrong."
        "[ The remark then: {reason}| If it was meant, answer why].",
    ),
    "conditioning-cut-short": (
        "ended early",
        "conditioning ended after {lasted_words}",
        "Even 4/4 usually takes {usual_from_h} h. Ended too early, stress stays in the wood.",
        "Test for stress. If it is not free, write down that conditioning began again."
        "[ The remark then: {reason}| If the test was passed, answer so].",
    ),
    "condition-due": (
        "condition",
        "conditioning is due: the wettest board, {wettest_board}, is at {wettest_compared_pct} %",
        "All boards have come to {end_at_pct} %. Stress goes out of {wood} in air of an EMC {above_points} "
        "points above its target.",
        _SET + " Write down that conditioning began. Stop by a stress test, not by the clock; wood that need "
        "not be free of stress may go without.",
    ),
    "recut-advised": (
        "recut",
        "near the end, boards known to {best_uncertainty_pct} % at best: {recut_boards}",
        "Below {below_pct} % what the first sections were wrong by counts most: their error shrinks far less "
        "than the moisture does. {limit_pct} % is about what the lumber is wanted within.",
        "Recut at least the wettest of them: a new section tells its MC now, and mends its curve.",
    ),
    "equalizing-rule-unknown": (
        "rule unknown",
        "“{setting}” is no rule for equalizing",
        "The end of the run is judged by “{rule}” until the logbook's setting names a rule.",
        "Set one of the published rules.",
    ),
}
