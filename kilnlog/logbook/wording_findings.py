"""What each finding says: short words, a line with the figure in it, why, and what to do."""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.logbook.wording_air import AIR_FINDINGS, END_FINDINGS
from kilnlog.logbook.wording_doubts import DOUBTS, Wording

_BEGINS = "[The step begins at {from_mc_pct} %.|The step begins {from_hours} h after loading.]"

_KILN_FINDINGS: Mapping[str, Wording] = {
    "two-charges-in-kiln": (
        "kiln taken twice",
        "[{kiln}|this kiln] also holds charge {other}",
        "Both were in it from {from_at}[ to {until_at}|].",
        "Correct the kiln, or the times of loading and unloading, of one of them.",
    ),
    "rate-over-limit": (
        "too fast",
        "board {board} loses {rate_pct_per_day} % a day, the limit is {limit_pct_per_day}",
        "[Lot {lot}: ][{thickness} {species}|{species}|{thickness}|this wood] stands "
        "{limit_pct_per_day} % a day at most; with the scale's steps taken off it still lost "
        "{certain_rate_pct_per_day} from {from_at} to {until_at}. Losing faster, it may check or honeycomb.",
        "Keep the air damper: close the vents or hold the step, and weigh again within the day.",
    ),
    "rate-near-limit": (
        "near the limit",
        "board {board} loses {rate_pct_per_day} % a day, near its limit of {limit_pct_per_day}",
        "With the scale's steps taken off it lost {certain_rate_pct_per_day} % a day "
        "from {from_at} to {until_at}.",
        "Do not dry the air further before the next round.",
    ),
    "fast-when-dry": (
        "fast for dry",
        "board {board} loses {rate_pct_per_day} % a day from {began_mc_pct} % on",
        "[{thickness} {species}|{species}|{thickness}|This wood] stands {limit_pct_per_day} % a day while it "
        "is wet. Below {harmless_below_mc_pct} % so fast a loss hardly does new harm[; below "
        "{reached_mc_pct} % wood cannot lose so fast, and one of its two last weights may be wrong|].",
        "Weigh it again; if the scale stands by it, go on, with an eye on the driest boards.",
    ),
    "step-due": (
        "step {due_step} due",
        "step {due_step} of {steps} is due[, leaving out {left_out_steps}|]",
        "[The controlling MC is {control_mc_pct} %. ]"
        + _BEGINS
        + "[ In force is step {step}: the boards are past {left_out_steps} as well, and it can be left out.|]"
        "[ The kiln went back from step {back_from_step} on purpose: {back_reason}."
        "| The kiln went back from step {back_from_step}, and no reason was given.|]",
        "[Hold the step yet: board {too_fast_boards} loses faster than its limit. Once it has slowed down: ]"
        "[It came dry: warm it up and ease it in first, at an EMC of {eased_emc_pct} %. Only then: ]"
        "[Set dry bulb {set_dry_bulb} °{set_unit}, wet bulb {set_wet_bulb} °{set_unit}: "
        "that is RH {set_rh_pct} %, EMC {set_emc_pct} %."
        "|Set step {due_step} of “{schedule}” on the kiln.]"
        "[ While it stands at {now_dry_bulb} °{set_unit}, RH {now_rh_pct} % keeps that EMC.] "
        "Write down that you took it.",
    ),
    "ease-in": (
        "ease it in",
        "ease the charge in for {ease_in_h} hours before step {step} does its work",
        "Stock that comes dry is drier at its surface than through. Nobody measured the surface, so the "
        "driest board stands for it: board {board}, {driest_mc_pct} %. The air of step {step} would leave "
        "{step_emc_pct} % in it.",
        "Warm the kiln up with its vents shut, damping the air so that it is never drier than that on the "
        "way. First set dry bulb {set_dry_bulb} °{set_unit}, wet bulb {set_wet_bulb} °{set_unit}: that is RH "
        "{set_rh_pct} %, EMC {eased_emc_pct} %. Then set the step's own values.",
    ),
    "step-skipped": (
        "step skipped",
        "step {step} was taken, leaving out {skipped_steps}",
        "Each step readies the wood for the next[; the reason given: {reason}|; no reason was given].",
        "Watch the loss a day for the next rounds, and go back a step if it outruns the limit.",
    ),
    "step-against-rule": (
        "step too early",
        "step {step} was taken while the schedule called for step {called_for}",
        "[The controlling MC was {control_mc_pct} % then. ]" + _BEGINS,
        "[Taken early because: {reason}. Watch the loss a day for the next rounds, and go back to step "
        "{called_for} if it outruns the limit|Go back to step {called_for}, or write down why it was taken "
        "early].",
    ),
    "schedule-without-steps": (
        "no steps",
        "the schedule “{schedule}” has no steps",
        "No step will fall due, and nothing tells what to set on the kiln.",
        "Write its steps, or name another schedule for the charge.",
    ),
    "weight-gained": (
        "gained",
        "board {board} gained {gain_g} since {before_at}",
        "Wood in a running kiln does not gain more than the scale's noise; its MC went up by {gain_pct} % to "
        "{mc_pct} %.",
        "Weigh it again. If the scale stands by it, look for water (a dripping coil, the spray) "
        "and for a fan that stopped.",
    ),
    "weight-dropped": (
        "lost much",
        "board {board} lost {loss_g} since {before_at}",
        "By its own pace it should weigh {expected_words}; its MC went down by {loss_pct} % to {mc_pct} %.",
        "Weigh it again. If the scale stands by it, look for a piece broken off, and at the air.",
    ),
    "weights-misfit": (
        "weights misfit",
        "board {board} is written to have gained {gain_g} from {before_at} to {after_at}",
        "Its MC would have gone up by {gain_pct} %: one of the weights about there is misread.",
        "Compare them with the sheet and correct the wrong one, or say why they are right.",
    ),
    "negative-mc": (
        "below oven-dry",
        "board {board} weighs {weight_g}, less than its oven-dry weight of {oven_dry_weight_g}",
        "Wood cannot weigh less than with all its water gone; the oven-dry weight rests on: {basis}.",
        "Weigh it again; if the scale stands by it, recut the board for a new oven-dry weight.",
    ),
    "coarse-scale": (
        "scale too coarse",
        "one scale step of board {board} is worth {mc_per_division_pct} % MC",
        "Steps above {limit_per_division_pct} % hide a day's loss: the scale shows {division_g} at a time.",
        "Weigh this board on a finer scale, or read the scale's own finer step.",
    ),
    "board-missed": (
        "missed",
        "board {board} was not weighed in the round of {round_at}",
        "Its last MC of {mc_pct} % is carried on[ from {weight_at}|]; no step falls due on a carried figure.",
        "Weigh it, or withdraw it if it is lost.",
    ),
    "provisional-basis": (
        "section in oven",
        "board {board} was recut on {recut_at}; its section is still in the oven",
        "Until it is dry the old oven-dry weight is carried on, as {oven_dry_weight_g} for what is left.",
        "Type the section's oven-dry weight once it is constant.",
    ),
    "few-boards": (
        "few boards",
        "sample boards in use: {boards}; even a small charge needs {fewest_boards}",
        "With so few, one odd board leads the charge, and the slowest wood may have none.",
        "Cut more boards, from the thickest, wettest and slowest stock.",
    ),
    "lot-without-board": (
        "no board",
        "lot {lot} has no sample board in use",
        "Nothing tells how wet it is.[ Its boards were withdrawn: {withdrawn_boards}.]",
        "Cut at least one board from it.",
    ),
    "single-section": (
        "one section",
        "board {board} rests on one section[, {section}|]",
        "A second section would show whether its {mc_pct} % stands for the board.",
        "Cut two sections from the next board, one from each end.",
    ),
    "start-mc-odd": (
        "start MC odd",
        "board {board} is written to have started at {start_mc_pct} % MC",
        "Below {lowest_mc_pct} % or above {highest_mc_pct} % is hardly ever seen; every figure of the board "
        "rests on it.",
        "Look at the weights of its sections for a misplaced decimal mark, and correct the wrong one.",
    ),
    "sections-disagree": (
        "sections differ",
        "the sections of board {board} are {apart_pct} points apart",
        "{low_section} says {low_mc_pct} %, {high_section} says {high_mc_pct} %; "
        "more than {limit_pct} points is unusual in one board.",
        "Check whether one was swapped, scorched or not yet dry, and reject that one with the reason.",
    ),
    "section-not-constant": (
        "not constant",
        "section {section} of board {board} was not at constant weight",
        "{oven_dry_weight_g} was typed as oven-dry, but its oven weighings do not meet “{rule}”.",
        "Put it back and weigh it again after {interval_words}.",
    ),
    "oven-rule-unknown": (
        "rule unknown",
        "“{setting}” is no constant-weight rule",
        "Sections are judged by “{rule}” until the logbook's setting names a rule.",
        "Set a known rule, or an own one like own: 0.05 % in 4 h.",
    ),
    "oven-rule-refused": (
        "rule too coarse",
        "“{rule}” cannot judge section {section} of board {board}",
        "So many steps of its balance are more than {most_change_pct} % of the section, which would pass for "
        "dry with water in it.",
        "Weigh it on a finer balance, or choose a rule in percent for the logbook.",
    ),
    "section-lost-on": (
        "went on losing",
        "section {section} of board {board} went on losing after “{rule}” was met",
        "{oven_dry_weight_g} counts as its oven-dry weight, and it lost {lost_later_pct} % more; "
        "above {limit_pct} % the oven was too hot, or the first weighings came too soon.",
        "Check the oven's temperature; type the oven-dry weight you trust, or reject the section.",
    ),
    "oven-temperature-odd": (
        "oven temperature",
        "the oven of section {section}, board {board}, stood at {oven_temperature} °{temperature_unit}",
        "Sections dry at {low_c} to {high_c} °C ({low_f} to {high_f} °F): cooler leaves water in them, "
        "hotter chars the wood and can set it alight.",
        "Check the oven with a thermometer; dry the section again, or reject it if it is scorched.",
    ),
    "board-not-coated": (
        "ends open",
        "the ends of board {board} were not coated",
        "It dries through its ends, faster than the lumber it stands for.",
        "Coat both ends now, weigh before and after, and write down the coat's weight with the board.",
    ),
    "weighed-late": (
        "weighed late",
        "board {board} was weighed {to_weighing_minutes} min after it was cut",
        "After more than {most_minutes} min it has lost water nobody saw, and its oven-dry weight comes out "
        "too low.",
        "Weigh the next board within {most_minutes} min; recut this one on occasion.",
    ),
    "recut-end-not-weighed": (
        "coat not weighed",
        "the new end coat of board {board} was not weighed on {recut_at}",
        "Uncoated, the end dries too fast; coated, the coat's weight passes for water.",
        "Weigh the board before and after coating, and correct the recut.",
    ),
}

FINDINGS: Mapping[str, Wording] = {**_KILN_FINDINGS, **AIR_FINDINGS, **END_FINDINGS, **DOUBTS}
