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
        if _is_crossed(weight, own, expected, other, round_pace):
            yield Truth(SlipKind.BOARDS_SWAPPED, other.weighed, other)
    # A wrong unit or decimal mark moves a weight so far that what fits at all can hardly fit by chance.
    for kind in (SlipKind.UNIT, SlipKind.DECIMAL):
        if len(found := candidates(kind, expected.lets_pass)) == 1:
            yield Truth(kind, found[0])
    for kind in (SlipKind.DIGITS_TURNED, SlipKind.DIGIT_DOUBLED, SlipKind.DIGIT_MISSING):
        found = candidates(kind, expected.shows)
        if len(found) == 1:
            yield Truth(kind, found[0])
        elif found and kind is not SlipKind.DIGITS_TURNED:
            yield Truth(kind)
    waiting = [other for other in others if other.weighed is None]
    fitting = [other for other in waiting if _fits_other(weight, other, round_pace)]
    following = next((other for other in waiting if other.order > 0), None)
    if following is not None and following in fitting:
        yield Truth(SlipKind.BOARDS_SWAPPED, None, following)
    if len(found := candidates(SlipKind.DIGIT_MISTYPED, expected.shows)) == 1:
        yield Truth(SlipKind.DIGIT_MISTYPED, found[0])
    for other in fitting:
        if other is not following:
            yield Truth(SlipKind.BOARDS_SWAPPED, None, other)


def _fits_other(weight: Weight, other: Neighbour, round_pace: RoundPace | None) -> bool:
    """Whether the weight is one that the other board would show."""
    expected = other.line.expected(round_pace)
    return expected is not None and expected.shows(weight.g - other.line.coat_g)


def _is_crossed(
    weight: Weight, own: NetLine, expected: Expectation, other: Neighbour, round_pace: RoundPace | None
) -> bool:
    """Whether each of two boards fits the other's line, the other having been weighed in this round."""
    if other.weighed is None or not _fits_other(weight, other, round_pace):
        return False
    return expected.shows(other.weighed.g - own.coat_g)
