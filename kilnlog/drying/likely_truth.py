"""What a typed weight was most likely meant to be: one slip explains it, and the result fits the board."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from kilnlog.drying.expectation import Expectation, RoundPace
from kilnlog.drying.net_line import NetLine, ScaleHabit
from kilnlog.drying.same_round import Neighbour
from kilnlog.drying.slips import SlipKind, slips
from kilnlog.records.weight import Weight


@dataclass(frozen=True, slots=True)
class Truth:
    """One explanation of a weight that does not fit."""

    kind: SlipKind
    likely: Weight | None = None  # None where the slip is plain but not what was meant
    other: Neighbour | None = None  # the board it was mixed up with


def truths(
    weight: Weight,
    own: NetLine,
    expected: Expectation,
    others: tuple[Neighbour, ...],
    round_pace: RoundPace | None,
    scale: ScaleHabit,
) -> Iterator[Truth]:
    """Explanations of a weight that does not fit, the best first.

    Args:
        weight: As typed.
        own: The board's line.
        expected: What it should weigh (net).
        others: The other boards of the round.
        round_pace: What those weighed already tell.
        scale: How its weights are usually read.
    """

    def candidates(kind: SlipKind, fits: Callable[[float], bool]) -> list[Weight]:
        found: dict[Decimal, Weight] = {}
        for meant in slips(weight, scale.step_g, (kind,)):
            if fits(meant.g - own.coat_g) and (kind is SlipKind.UNIT or scale.can_show(meant)):
                found.setdefault(meant.grams, meant)
        return list(found.values())

    for other in others:
        if _is_crossed(weight, own, other):
            yield Truth(SlipKind.BOARDS_SWAPPED, other.weighed, other)
    # A wrong unit or decimal mark moves a weight so far that what fits at all can hardly fit by chance.
    for kind in (SlipKind.UNIT, SlipKind.DECIMAL):
        if len(found := candidates(kind, expected.lets_pass)) == 1:
            yield Truth(kind, found[0])
    if len(found := candidates(SlipKind.DIGITS_TURNED, expected.shows)) == 1:
        yield Truth(SlipKind.DIGITS_TURNED, found[0])
    # A digit too many or too few shows by the size alone, even where what was meant does not.
    for kind in (SlipKind.DIGIT_DOUBLED, SlipKind.DIGIT_ADDED, SlipKind.DIGIT_MISSING):
        if found := candidates(kind, expected.shows):
            yield Truth(kind, found[0] if len(found) == 1 else None)
            break
    waiting = [other for other in others if other.weighed is None]
    fitting = [other for other in waiting if _fits(weight, other.line, round_pace)]
    following = next((other for other in waiting if other.order > 0), None)
    if following is not None and following in fitting:
        yield Truth(SlipKind.BOARDS_SWAPPED, None, following)
    if len(found := candidates(SlipKind.DIGIT_MISTYPED, expected.shows)) == 1:
        yield Truth(SlipKind.DIGIT_MISTYPED, found[0])
    for other in fitting:
        if other is not following:
            yield Truth(SlipKind.BOARDS_SWAPPED, None, other)


def _fits(weight: Weight, line: NetLine, round_pace: RoundPace | None = None) -> bool:
    """Whether the weight is one that the board of this line would show."""
    expected = line.expected(round_pace)
    return expected is not None and expected.shows(weight.g - line.coat_g)


def _is_crossed(weight: Weight, own: NetLine, other: Neighbour) -> bool:
    """Whether each of two boards fits the other's line, the other having been weighed in this round.

    What the round told of today's pace is left out: the other's wrong weight had its part in it.
    """
    return other.weighed is not None and _fits(weight, other.line) and _fits(other.weighed, own)
