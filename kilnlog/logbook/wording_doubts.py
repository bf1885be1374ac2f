"""What is asked about a weight just typed: short words for the round, the figures, the likely truth."""

from __future__ import annotations

from collections.abc import Mapping

#: One to three words; a line with the figure in it; why; what to do.
Wording = tuple[str, str, str, str]

_EXPECTED = "Expected {expected_words}.[ {slip_words}][ {likely_text} would fit.]"
_AGAIN = "Weigh it again[, or take {likely_text}]; keep it only with a reason."
_ONCE_MORE = "Weigh it again, or keep it once more if it is right."
_TAKE = "[Take {likely_text}, or weigh it again|Weigh it again]."

DOUBTS: Mapping[str, Wording] = {
    "gain": (
        "heavier",
        "[{more_g} more than {last_words}|heavier than before]",
        "Wood in a running kiln does not gain. " + _EXPECTED,
        _AGAIN,
    ),
    "jump-up": (
        "too heavy",
        "[{more_g} more than {last_words}|only {less_g} less than {last_words}|heavier than it can be]",
        "It should have lost more by its own pace and that of the other boards. " + _EXPECTED,
        _AGAIN,
    ),
    "jump-down": (
        "too light",
        "[{less_g} less than {last_words}|only {more_g} more than {last_words}|lighter than it can be]",
        "It cannot have lost that much by its own pace and that of the other boards. " + _EXPECTED,
        _AGAIN,
    ),
    "below-oven-dry": (
        "below oven-dry",
        "“{typed_text}” is below its oven-dry weight[ of {oven_dry_weight_g}]",
        "With all its water gone it would still weigh more[: by this weight its MC would be {mc_pct} %]. "
        + _EXPECTED,
        "Weigh it again. If the scale stands by it, the oven-dry weight is wrong: recut the board.",
    ),
    "unit-slip": (
        "wrong unit?",
        "“{typed_text}” looks like a weight in another unit",
        _EXPECTED,
        _TAKE,
    ),
    "decimal-slip": (
        "decimal mark?",
        "“{typed_text}” looks like a weight with its decimal mark misplaced",
        _EXPECTED,
        _TAKE,
    ),
    "digits-turned": (
        "digits turned?",
        "“{typed_text}” looks like two digits turned round",
        _EXPECTED,
        _TAKE,
    ),
    "digit-mistyped": (
        "one digit off?",
        "“{typed_text}” looks like one digit mistyped",
        _EXPECTED,
        _TAKE,
    ),
    "digit-missing": (
        "digit missing?",
        "“{typed_text}” looks like a digit left out",
        _EXPECTED,
        _TAKE,
    ),
    "digit-doubled": (
        "digit twice?",
        "“{typed_text}” looks like a digit struck twice",
        _EXPECTED,
        _TAKE,
    ),
    "digit-added": (
        "digit too many?",
        "“{typed_text}” looks like a digit too many",
        _EXPECTED,
        _TAKE,
    ),
    "boards-swapped": (
        "swapped?",
        "“{typed_text}” fits [board {other_board}|another board] better",
        "[Board {other_board} showed {other_g}, which fits here. ]" + _EXPECTED,
        "Read both marks, and weigh the two boards again.",
    ),
    "cut-mc-odd": (
        "MC odd",
        "{piece} would be at {mc_pct} % MC",
        "Below {lowest_mc_pct} % or above {highest_mc_pct} % is hardly ever seen."
        "[ {likely_text} would give {likely_mc_pct} %.]",
        _ONCE_MORE,
    ),
    "cut-mc-apart": (
        "far apart",
        "{piece} would be at {mc_pct} % MC, {other_piece} is at {other_mc_pct} %",
        "More than {limit_pct} points apart in one board is hardly ever seen."
        "[ {likely_text} would give {likely_mc_pct} %.]",
        _ONCE_MORE,
    ),
    "section-heavy": (
        "section heavy",
        "{piece}, {wet_g}, would be {share_pct} % of its board of {board_g}",
        "A section is a slice, {limit_pct} % of its board at most.[ {likely_text} would fit.]",
        _ONCE_MORE,
    ),
    "section-light": (
        "section light",
        "{piece} would weigh {wet_g}",
        "Under {least_g} a splinter changes what it tells.[ {likely_text} would fit.]",
        _ONCE_MORE,
    ),
    "board-heavy": (
        "board heavy",
        "{piece} would weigh {board_g}",
        "A sample board over {most_g} is hardly ever cut.[ {likely_text} would fit.]",
        _ONCE_MORE,
    ),
    "before-cut": (
        "before the cut",
        "{subject} was cut {early_words} after this weight",
        "It was cut at {cut_at}, so it cannot have been weighed at {at}.",
        "Check the time of the round, and that of the cut.",
    ),
    "in-future": (
        "in the future",
        "this time is {ahead_words} ahead of the clock",
        "The clock here says {now}.",
        "Check the time of the round, and the clock of this machine.",
    ),
    "same-minute": (
        "twice",
        "{subject} was weighed in this same minute already",
        "At {other_at} it showed {other_g}.",
        "Correct that weighing instead, or check which board is on the scale.",
    ),
    "clock-far": (
        "time far off",
        "[this time is {away_words} {away_side} the nearest entry|"
        "the clock is {behind_words} behind the last round]",
        "[The nearest entry is of {last_at}; rounds are usually {usual_words} apart.|"
        "The last round is of {last_at}, and the clock here says {now}.|The nearest entry is of {last_at}.]",
        "[Check the date of the round; keep it if {away_words} went by without a weighing|"
        "Check the clock of this machine, and the time of the last round].",
    ),
}

#: What explains a weight, by the code of the slip, as a question.
SLIP_WORDS: Mapping[str, str] = {
    "unit-slip": "Another unit?",
    "decimal-slip": "Decimal mark misplaced?",
    "digits-turned": "Digits turned?",
    "digit-mistyped": "One digit mistyped?",
    "digit-missing": "A digit left out?",
    "digit-doubled": "A digit struck twice?",
    "digit-added": "A digit too many?",
    "boards-swapped": "Two boards swapped?",
}
