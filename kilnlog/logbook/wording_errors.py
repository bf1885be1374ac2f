"""What each error says: what happened, what to do. By code, or by ``code: why`` where the reason has its own.

Values are filled in by name, as the error carries them; see ``wording_values``.
"""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.logbook.wording_errors_air import AIR_ERRORS
from kilnlog.logbook.wording_errors_files import FILE_ERRORS
from kilnlog.logbook.wording_errors_logger import LOGGER_ERRORS

What = str
Do = str

_RECORD_ERRORS: Mapping[str, tuple[What, Do]] = {
    "unreadable-number": (
        "“{typed}” is no number this field can hold.",
        "Type digits with one decimal mark, like 12.5.",
    ),
    "unreadable-number: blank": ("Nothing is typed here.", "Type the number."),
    "unreadable-number: long": ("“{typed}” has more digits than any reading.", "Type the number again."),
    "unreadable-number: foreign-digits": (
        "“{typed}” has digits other than 0 to 9.",
        "Type it with the plain digits 0 to 9.",
    ),
    "unreadable-number: not-a-number": (
        "“{typed}” is a word for no number.",
        "Type the number that was read.",
    ),
    "unreadable-number: infinite": (
        "“{typed}” is a word for no finite number.",
        "Type the number that was read.",
    ),
    "unreadable-number: underscore": ("“{typed}” has an underscore in it.", "Type it without, like 1000."),
    "unreadable-number: exponent": (
        "“{typed}” is written with an exponent.",
        "Write the number out, like 1000.",
    ),
    "unreadable-number: negative": (
        "“{typed}” is below zero, which this cannot be.",
        "Type it without the minus sign.",
    ),
    "unreadable-number: plus": ("“{typed}” begins with a plus sign.", "Type it without the plus sign."),
    "unreadable-number: characters": (
        "“{typed}” has characters that do not belong in a number.",
        "Type digits with one decimal mark, like 12.5.",
    ),
    "unreadable-number: no-digits": ("“{typed}” has no digit in it.", "Type the number."),
    "unreadable-number: grouping": (
        "“{typed}” does not group its thousands in threes.",
        "Type it without marks between the thousands.",
    ),
    "unreadable-number: other-mark": (
        "“{typed}” can only be read with the other decimal mark.",
        "[Type “{mark}” before the decimals.|Type it with the decimal mark used here.]",
    ),
    "unreadable-number: zero": ("“{typed}” is nothing at all.", "Type what was read, above 0."),
    "unreadable-number: heavy": ("“{typed}” is heavier than any board.", "Check the unit and the digits."),
    "unreadable-number: unit": (
        "“{typed}” has no unit known here.",
        "Weights take g, kg, lb, oz or lb and oz; thicknesses 8/4, 1 1/4 in or 27 mm.",
    ),
    "unreadable-number: whole-pounds": (
        "“{typed}” has a fraction of a pound with ounces behind it.",
        "Type whole pounds and ounces, like 10 lb 13.6 oz, or pounds alone.",
    ),
    "unreadable-number: ounces": (
        "“{typed}” has sixteen ounces or more behind its pounds.",
        "Sixteen ounces are a pound: type it as the scale shows it, like 10 lb 13.6 oz.",
    ),
    "unreadable-number: fraction": ("“{typed}” has a fraction no rule shows.", "Type it like 1 1/4 in."),
    "unreadable-number: range": (
        "“{typed}” is thicker than any lumber a kiln dries.",
        "Check its unit: quarters (8/4), in or mm.",
    ),
    "unreadable-number: whole": ("“{typed}” is no whole number.", "Count whole pieces, like 12."),
    "unreadable-number: no-unit": (
        "“{typed}” has no unit.",
        "Type it behind the figure, like 2.5 mm; the next line takes it over.",
    ),
    "ambiguous-number": ("“{typed}” can be read as {readings}.", "Type it so that only one is meant."),
    "unreadable-time": ("“{typed}” is no time in {zone}.", "Type it like 2026-11-25 07:44."),
    "unreadable-time: form": ("“{typed}” is not written as a time.", "Type it like 2026-11-25 07:44."),
    "unreadable-time: day": ("“{typed}” is not written as a day.", "Type it like 2026-11-25."),
    "unreadable-time: backwards": (
        "The last day, {typed}, lies before the first.",
        "Turn the two round, or type another.",
    ),
    "unreadable-time: no-such-date": ("There is no {typed} on the calendar.", "Check the day and the hour."),
    "unreadable-time: no-time": ("There is no {typed} on the clock.", "Check the hour and the minute."),
    "unreadable-time: year": ("{typed} is in no year a kiln was run in.", "Check the year."),
    "unreadable-time: twice": (
        "The clock in {zone} showed {typed} twice, as it went back in autumn.",
        "Add its offset to say which is meant, like 01:30-05:00.",
    ),
    "unreadable-time: skipped": (
        "The clock in {zone} never showed {typed}: it went forward in spring.",
        "Check the hour.",
    ),
    "unknown-zone": (
        "No time zone is called “{zone}”.",
        "Use its name in the time zone database, like America/New_York.",
    ),
    "out-of-range": (
        "{column} is {value}, and has to lie between {low} and {high}.",
        "Check the value and its unit.",
    ),
    "unknown-word": ("{column} is “{value}”.", "It takes one of: {known}."),
    "missing-value": ("{column} is empty.", "Fill it in."),
    "sections-swapped": (
        "Oven-dry it would weigh {oven_dry}, more than {wet} wet. Are the two swapped?",
        "Check which is which, and type them again.",
    ),
    "wet-above-dry": (
        "The wet bulb at {wet_bulb} {unit} is above the dry bulb at {dry_bulb} {unit}. Are the two swapped?",
        "Check which is which, and type them again.",
    ),
    "impossible-step": ("This step contradicts itself.", "Read it again."),
    "impossible-step: depression": (
        "A depression of {depression} is more than the dry bulb of {dry_bulb}.",
        "It is the dry bulb less the wet bulb; check that the wet bulb was not typed for it.",
    ),
    "impossible-step: to-above-from": (
        "A step from {from_mc_pct} % cannot end at {to_mc_pct} %: wood dries.",
        "Type the higher figure as “from”.",
    ),
    "impossible-step: not-falling": (
        "It begins at {from_mc_pct} %, and the step before it at {before_mc_pct} %.",
        "Each step begins at a lower MC than the one before; put them in order.",
    ),
    "impossible-step: no-air": (
        "No air has this beside its dry bulb.",
        "Check both figures and the unit of the temperatures.",
    ),
    "no-handbook-schedule": ("There is no general schedule for this.", "Write your own steps."),
    "no-handbook-schedule: species": (
        "No general schedule is listed for “{species}”.",
        "Use its full common or scientific name, or write your own steps.",
    ),
    "no-handbook-schedule: thickness": (
        "No general schedule is listed for {thickness} {species}; there is one for {known}.",
        "Take the one of the next thicker stock and watch it, or write your own steps.",
    ),
    "no-handbook-schedule: softwood": (
        "{species} is a softwood: the general depressions are those of hardwoods.",
        "Take a softwood schedule from your handbook and write its steps.",
    ),
    "no-handbook-schedule: code": (
        "There is no general schedule “{schedule}”.",
        "Codes go like T4-D2: T1 to T14, class A to F, depression 1 to 8.",
    ),
    "unreadable-limits": (
        "“{typed}” cannot be read as limits.",
        "Write them like 6 to 8 %, average 7; or 8 ± 1; or max 19; or average 19 or less.",
    ),
    "unreadable-limits: words": (
        "“{typed}” is not written in a way that is read as limits.",
        "Write them like 6 to 8 %, average 7; or 8 ± 1; or max 19; or average 19 or less.",
    ),
    "unreadable-limits: alone": (
        "“{typed}” has a figure alone: it may be meant as the target, the most or the least.",
        "Say which, like target 8, or max 8, or 8 ± 1.",
    ),
    "unreadable-limits: order": (
        "“{typed}” would let pieces lie between {lowest_mc_pct} and {highest_mc_pct} %, which leaves none.",
        "Write the lower figure first.",
    ),
    "unreadable-limits: range": (
        "“{typed}” goes below 0 or above 100 %.",
        "Check the figures: limits are in percent of the oven-dry weight.",
    ),
    "unreadable-limits: twice": (
        "“{typed}” gives the same limit twice.",
        "Write each once.",
    ),
    "unreadable-limits: average-outside": (
        "“{typed}” asks for an average or a target outside the limits of its own pieces.",
        "Check the figures.",
    ),
    "unreadable-limits: no-target": (
        "The limits of {standard} go by the target, and this lot has none.",
        "Give the lot its target, or add it, like {standard}, 8 %.",
    ),
    "unreadable-limits: no-such-target": (
        "The limits of {standard} for a target of {target} % are not known here; those for {known} % are.",
        "Type the lower and the upper limit from your copy of it.",
    ),
}

_VERB_ERRORS: Mapping[str, tuple[What, Do]] = {
    "no-such-charge": ("This logbook has no charge “{charge}”.", "It has {known}."),
    "no-such-lot": ("Charge {charge} has no lot “{lot}”.", "It has {known}."),
    "nothing-to-take-back": (
        "There is nothing here that can be undone.",
        "Choose the row itself to correct it or take it back.",
    ),
    "nothing-to-take-back: read-again": (
        "A logger's file that was taken back does not come back by undo.",
        "Read the file again; what was entered before it can be undone next.",
    ),
    "nothing-to-take-back: sealed": (
        "What was written before a seal or a reopening is not undone.",
        "Where it is closed, reopen it with a reason; then choose the row itself to correct it.",
    ),
    "nothing-to-take-back: logger": (
        "There is nothing here that was typed and can be undone.",
        "Choose the row itself to take it back; what a logger wrote stands in “Loggers' files read in…”.",
    ),
    "reason-missing": ("A {what} needs a reason.", "Say in a word why: misread, wrong board, spilled."),
    "impossible-weight": (
        "Board {board} cannot weigh {typed}, whatever the reason.",
        "Weigh it again and type what the scale shows.",
    ),
    "charge-taken-back": (
        "Charge {charge} was taken back and takes no further rows.",
        "Register a new charge for what follows.",
    ),
    "when-read": (
        "{typed} was typed at {read_at} and never kept.",
        "Say when it was read.",
    ),
    "weighed-again": (
        "Board {board} has a weight of {kept_at} in this round: {weight}.",
        "Say whether this one corrects it, or the board was weighed again.",
    ),
    "weight-not-kept": (
        "Board {board} of charge {charge}: {typed} was not kept. {reason}",
        "It still stands on its line there.",
    ),
    "typed-not-kept": (
        "Typed and not kept, board by board: {boards}.",
        "Enter on its line keeps a weight. Do it once more to leave without them.",
    ),
    "time-to-come": (
        "{at} is still to come; it is {now}.",
        "Type when it was.",
    ),
    "time-lapsed": (
        "{chosen} was chosen more than an hour ago and is dropped: the clock is followed again.",
        "Enter keeps this weight for {at}; for a weight from the sheet choose its time again first.",
    ),
    "other-logbook": (
        "This was meant for {name}, and another logbook was opened before it could be kept there.",
        "Open {name} again for it.",
    ),
    "grew-by-cutting": (
        "{after} is left of {before}, though a piece came off. Are the two swapped?",
        "Check which was weighed before and which after.",
    ),
    "nothing-to-weigh": (
        "Charge {charge} is closed: no board of it is weighed any more, and no weigh sheet was written.",
        "Choose a charge that is drying; or reopen this one with a reason.",
    ),
    "nothing-to-close": (
        "Charge {charge} was never loaded, so there is nothing to close.",
        "Take it back instead.",
    ),
    "closing-before-last": (
        "Charge {charge} cannot be closed as of {at}: its last entry, change or answer is of {last}, "
        "and would be missing under the seal.",
        "Close it at a later time, or correct the time of that entry where it is wrong.",
    ),
    "not-closed": (
        "[Lot {lot} of charge|Charge] {charge} is not closed, so there is nothing to reopen.",
        "Write to it as it is.",
    ),
    "unreadable-short-form": (
        "“{typed}” is no short form of a seal.",
        "Type the three groups of four printed at the foot of the page.",
    ),
    "no-such-seal": (
        "No seal of this logbook has the short form {short_form}.",
        "Look at the page again. If it reads so, this file is older than the page, is another logbook, or "
        "what was sealed has been altered since.",
    ),
    "seal-not-verified": (
        "The seal {short_form} of [lot {lot} of charge|charge] {charge} is not verified: what stands in the "
        "file is not what was sealed.",
        "Keep this file, check it with Logbook, Verify against the ledger, and go back to a backup.",
    ),
    "seal-of-earlier-form": (
        "[Lot {lot} of charge|Charge] {charge} was sealed by an earlier version of kilnlog, which kept too "
        "little for papers.",
        "Reopen it with a reason and close it again.",
    ),
    "nothing-to-say": ("The remark is empty.", "Type what there is to say of it, or leave it."),
    "folder-not-empty": ("{path} is not empty.", "Name a new folder with --to."),
    "cancelled": ("The {what} was stopped; nothing was kept.", "Start it again when it suits."),
    "missing-system-library": (
        "The system library {library}, which the window needs, is not installed.",
        "On Debian install it with: apt install {packages}",
    ),
    "no-display": ("There is no display to show a window on.", "Run it from a desktop."),
    "no-display: unreachable": (
        "The display “{display}” cannot be reached.",
        "Check DISPLAY, or run it from a desktop.",
    ),
    "picture-not-saved": (
        "The picture “{name}” could not be written into {folder}.",
        "Choose a folder you may write to, with room on its disk.",
    ),
    "no-picture-kind": ("A picture cannot be saved as “{name}”.", "Let its name end in .png or .svg."),
    "not-a-workbook-name": ("A workbook cannot be saved as “{name}”.", "Let its name end in .xlsx."),
}

ERRORS: Mapping[str, tuple[What, Do]] = {
    **_RECORD_ERRORS,
    **_VERB_ERRORS,
    **FILE_ERRORS,
    **AIR_ERRORS,
    **LOGGER_ERRORS,
}
