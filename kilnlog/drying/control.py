"""The controlling moisture content, by its rule, with wettest, driest and mean."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from kilnlog.drying.figures import Control, Extreme
from kilnlog.drying.moisture_content import mean_mc_pct
from kilnlog.records.words import ControlRule

#: A board's label and its MC [%].
LabelledMC = tuple[str, float]


def control_of(rule: ControlRule, boards: Sequence[LabelledMC]) -> Control:
    """The controlling MC over these boards.

    The wettest half is the mean of the ceil(n/2) wettest. Boards equally wet keep their walking order.

    Source: wettest half, hardwood custom (Dry Kiln Operator's Manual, from memory); wettest and driest rather
        than the mean of all: Wengert, Drying Oak Lumber.
    """
    wettest_first = sorted(boards, key=lambda board: -board[1])
    if rule is ControlRule.WETTEST_BOARD:
        taken = wettest_first[:1]
    elif rule is ControlRule.WETTEST_HALF:
        taken = wettest_first[: ceil(len(wettest_first) / 2)]
    else:
        taken = wettest_first
    return Control(
        rule=rule,
        mc_pct=mean_mc_pct([mc for _, mc in taken]) if taken else None,
        boards=tuple(label for label, _ in taken),
    )


def wettest_of(boards: Sequence[LabelledMC]) -> Extreme | None:
    """The wettest of these boards; the first in walking order of those equally wet."""
    return Extreme(*max(boards, key=lambda board: board[1])) if boards else None


def driest_of(boards: Sequence[LabelledMC]) -> Extreme | None:
    """The driest of these boards; the first in walking order of those equally dry."""
    return Extreme(*min(boards, key=lambda board: board[1])) if boards else None


def mean_of(boards: Sequence[LabelledMC]) -> float | None:
    """Mean MC of these boards [%]."""
    return mean_mc_pct([mc for _, mc in boards]) if boards else None
