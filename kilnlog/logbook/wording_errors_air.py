"""What an error about the air says: what is impossible about it, and what to look at."""

from __future__ import annotations

from collections.abc import Mapping

AIR_ERRORS: Mapping[str, tuple[str, str]] = {
    "impossible-air": ("No air shows these readings together.", "Read both instruments again."),
    "impossible-air: wet-above-dry": (
        "A wet bulb of {wet_bulb_c} °C is above the dry bulb of {dry_bulb_c} °C. Are the two swapped?",
        "Check which is which; a wick that has run dry reads as high as the dry bulb, never higher.",
    ),
    "impossible-air: wet-too-low": (
        "With {dry_bulb_c} °C dry, a wet bulb of {wet_bulb_c} °C would mean less than no water in the air.",
        "Check both thermometers and their unit.",
    ),
    "impossible-air: boils": (
        "A wet bulb of {wet_bulb_c} °C would boil at this pressure.",
        "Check the wet bulb, its unit and the altitude.",
    ),
    "impossible-air: depression": (
        "A depression of {depression_c} °C is below zero.",
        "It is the dry bulb less the wet bulb.",
    ),
    "impossible-air: rh": (
        "A relative humidity lies between 0 and 100 %, and {rh_pct} % was given.",
        "Check the figure.",
    ),
    "impossible-air: too-hot": (
        "At {dry_bulb_c} °C and this pressure no air holds {rh_pct} % relative humidity.",
        "Above the boiling point steam drives the air out; check the temperature and its unit.",
    ),
    "impossible-air: no-such-air": (
        "No air above freezing has a depression of {depression_c} °C at {rh_pct} % relative humidity.",
        "Check both figures, or give the dry bulb with one of them.",
    ),
    "impossible-air: temperature": (
        "{temperature_c} °C is outside what the relations hold for.",
        "They go from −40 to 200 °C; check the unit.",
    ),
    "impossible-air: emc-temperature": (
        "At {temperature_c} °C nobody has published what EMC the air gives.",
        "The handbook's table goes to 132 °C (270 °F); check the temperature and its unit.",
    ),
    "impossible-air: emc": (
        "No air of this temperature brings wood to {emc_pct} %.",
        "The most it can do is {most_pct} %.",
    ),
    "unreadable-quantity": ("“{typed}” cannot be read.", "Type a number with its unit."),
    "unreadable-quantity: temperature-unit": (
        "“{typed}” is no temperature with its unit.",
        "Write it as 160F or 71C.",
    ),
    "unreadable-quantity: altitude-unit": (
        "“{typed}” is no altitude with its unit.",
        "Write it as 300m or 1000ft.",
    ),
    "unreadable-quantity: duration-unit": (
        "“{typed}” is no time with its unit.",
        "Write it as 30min or 24h.",
    ),
    "unreadable-quantity: duration": ("“{typed}” is no time at all.", "Write how long: 30min or 24h."),
    "unreadable-quantity: altitude": ("No kiln stands at {typed}.", "Altitudes go from −500 to 9000 m."),
    "unreadable-quantity: number": (
        "The number in “{typed}” cannot be read.",
        "Use digits and a decimal point.",
    ),
    "unreadable-quantity: second-reading": (
        "One reading does not tell the air.",
        "Give a wet bulb, a depression, a humidity or an EMC as well.",
    ),
    "impossible-reading": ("No air shows these two together.", "Read both again."),
    "impossible-reading: wet-too-low": (
        "With {read_dry_bulb} {unit} dry, a {second} would mean less than no water in the air.",
        "Check both figures and their unit.",
    ),
    "impossible-reading: boils": (
        "With a {second} the wick would boil at this altitude.",
        "Check the figure and its unit.",
    ),
    "impossible-reading: too-hot": (
        "At {read_dry_bulb} {unit} no air of this altitude holds an {second}.",
        "Above the boiling point steam drives the air out; check the temperature and its unit.",
    ),
    "impossible-reading: rh": (
        "RH lies between 0 and 100 %, and an {second} was typed.",
        "If a digit slipped in, type it again; a sensor that shows more stands in saturated air: type 100.",
    ),
    "impossible-reading: depression": ("A {second} is below zero.", "It is the dry bulb less the wet bulb."),
    "impossible-reading: temperature": (
        "No kiln stands at such temperatures.",
        "They may go from −40 to 200 °C (−40 to 392 °F); check the unit.",
    ),
    "impossible-reading: emc-temperature": (
        "At {read_dry_bulb} {unit} nobody has published what EMC the air gives.",
        "The handbook's table goes from 30 to 270 °F (−1 to 132 °C); check the temperature and its unit.",
    ),
    "doubtful-air": ("This may be misread.", "Enter again keeps it."),
    "doubtful-air: other-unit": (
        "Is that {read_dry_bulb} {other_unit}? It would be {other_dry_bulb} {unit}, near {beside}.",
        "Enter again keeps {read_dry_bulb} {unit}.",
    ),
    "doubtful-air: far": (
        "{read_dry_bulb} {unit} dry is {apart_dry_bulb} {unit} away from {beside}.",
        "Enter again keeps it.",
    ),
    "doubtful-air: hot": (
        "Is that {read_dry_bulb} {other_unit}? {read_dry_bulb} {unit} is hotter than most kilns go.",
        "Enter again keeps {read_dry_bulb} {unit}.",
    ),
    "doubtful-air: far-emc": (
        "An EMC of {read_emc_pct} % is {apart_points} points away from {beside}.",
        "Look at both thermometers and the wick; Enter again keeps it.",
    ),
    "doubtful-air: beside-logger": (
        "The logger of “{sensor}” showed {shown} {shown_at}, far from that for one sensor.",
        "Look at the digits and the sensor; Enter again keeps it.",
    ),
    "doubtful-air: fraction": (
        "Is that {percent} %? RH is typed in per cent, and no kiln is as dry as {typed_figure} %.",
        "Enter again keeps it as typed.",
    ),
    "doubtful-air: set-hot": (
        "{set_dry_bulb} {unit} is hotter than step {step} allows, {allowed_dry_bulb} {unit}, and the "
        "controlling MC is {control_mc_pct} %.[ Its depression of {set_depression} {unit} would be beside "
        "the step's {step_depression} {unit}.]",
        "Enter again keeps it.",
    ),
    "doubtful-air: set-dry": (
        "A depression of {set_depression} {unit} is an EMC of {set_emc_pct} %. Step {step} has "
        "{step_depression} {unit}, EMC {step_emc_pct} %, and at a controlling MC of {control_mc_pct} % air "
        "so much drier checks the wood.",
        "Enter again keeps it.",
    ),
    "doubtful-air: set-end": (
        "That is an EMC of {set_emc_pct} %, and {phase} asks for {keep_emc_pct} %.",
        "If the {phase} is over, write that down first; Enter again keeps it.",
    ),
    "doubtful-air: one-figure": (
        "{said} alone does not tell the air.",
        "Type the other figure, or Enter again keeps this one.",
    ),
    "doubtful-air: in-future": ("{at} is still to come.", "Mend the time, or Enter again keeps it."),
    "doubtful-reading": ("This may be misread.", "Keep once more keeps it."),
    "doubtful-reading: meter-scale": (
        "{reading_pct} % is more than a meter shows; most end at {limit_pct} %.",
        "Look for a decimal point; Keep once more keeps it.",
    ),
    "doubtful-reading: meter-beyond": (
        "The meter says {reading_pct} %, and above {limit_pct} % a meter does not measure.",
        "Keep once more keeps it: it is shown, and never counts.",
    ),
    "doubtful-reading: meter-far": (
        "The meter says {reading_pct} %[, {corrected_pct} % for the wood's temperature], and board {board} "
        "is worked out at {mc_pct} %: {apart_points} points apart, more than both may be off.",
        "Look at the digits, the board and the meter's species setting; Keep once more keeps it.",
    ),
    "doubtful-reading: water": (
        "That makes {caught_kg} kg caught, and the lumber had {most_kg} kg to lose from green to its target.",
        "Check the amount and its unit; Keep once more keeps it.",
    ),
    "doubtful-reading: already-on": (
        "It is on already: {kind} began {begun_at}.",
        "Choose that it ended, or mend the time; the same once more keeps it, and the beginning stays.",
    ),
    "doubtful-reading: still-wet": (
        "Board {wettest_board} is at {wettest_compared_pct} %, and by the rule “{rule}” equalizing ends when "
        "the wettest is at {end_at_pct} %.",
        "Go on equalizing; or say why in the remark, and Keep once more keeps it.",
    ),
    "doubtful-reading: conditioned-short": (
        "Conditioning has lasted {lasted}, and even 4/4 usually takes {usual_from_h} h.",
        "Look at the time, and test for stress; the same once more keeps it.",
    ),
    "doubtful-reading: in-future": (
        "{at} is still to come.",
        "Mend the time; the same once more keeps it, and it counts from then on.",
    ),
    "doubtful-reading: before-loading": (
        "{at} is long before charge {charge} was loaded, {loaded_at}.",
        "Look at the year, the month and the charge in hand; the same once more keeps it.",
    ),
    "doubtful-reading: after-unloading": (
        "{at} is long after charge {charge} was unloaded, {unloaded_at}.",
        "Look at the time, and whether another charge is meant; the same once more keeps it.",
    ),
    "air-left-typed": (
        "Typed and not kept: {typed}.",
        "Enter where it is typed keeps it. Close once more to leave without it.",
    ),
    "same-sensor": (
        "Both sensors are called {sensor}.",
        "Give each its own name: a reading says which of them it is of.",
    ),
    "air-not-kept": (
        "Air of charge {charge}: {typed} was not kept. {reason}",
        "It still stands in Air now of that charge.",
    ),
}
