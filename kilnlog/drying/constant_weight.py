"""When a section in the oven counts as oven-dry: the change between two of its weighings is small enough."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from kilnlog.records.errors import UnknownWord
from kilnlog.records.moment import Moment
from kilnlog.records.typed_number import number_from_text
from kilnlog.reference.rows import ConstantWeightRule, Standing
from kilnlog.reference.tables import load

__all__ = [
    "DEFAULT_RULE",
    "RULES",
    "SETTING",
    "ConstantWeightRule",
    "Judgement",
    "Refusal",
    "judge",
    "rule_from_setting",
    "rule_in_force",
]

#: The name of the setting that holds the rule in force.
SETTING = "constant_weight_rule"

RULES: Mapping[str, ConstantWeightRule] = load().constant_weight_rules
DEFAULT_RULE = next(iter(RULES.values()))

_OWN = re.compile(
    r"own:\s*(?P<change>\d{1,3}(?:\.\d{1,4})?)\s*(?P<unit>%|divisions?)\s+in\s+(?P<hours>\d{1,3}(?:\.\d{1,4})?)\s*h",
    re.ASCII,
)
_OWN_FORMS = ("own: 0.05 % in 4 h", "own: 2 divisions in 3 h")
_LARGEST_OWN_PCT = 1.0
_LARGEST_OWN_DIVISIONS = 10
_LONGEST_OWN_H = 72.0

#: Grams that went through floats differ from what was typed by far less; it decides only exact equality.
_FLOAT_NOISE = 1e-9


class Refusal(StrEnum):
    """Why a rule cannot judge a section."""

    DIVISION_UNKNOWN = "division-unknown"  # the rule counts divisions of a scale nobody described
    DIVISION_COARSE = "division-coarse"  # so many divisions of this scale are too much of this section


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a rule says of one section's oven weighings.

    Attributes:
        constant: Whether the rule was met; from then on it stays met.
        at: The reading that met it.
        oven_dry_weight_g: The lower of the two readings compared [g].
        compared_with: The earlier of the two.
        lost_later_pct: How far the lightest reading after that fell below the oven-dry weight [% of it]: an
            oven too hot goes on losing, and one that was not yet hot had hardly begun.
        refused: Why the rule cannot judge here; then nothing is constant by it.
    """

    constant: bool
    at: Moment | None = None
    oven_dry_weight_g: float | None = None
    compared_with: Moment | None = None
    lost_later_pct: float = 0.0
    refused: Refusal | None = None


def judge(
    readings: Sequence[tuple[Moment, float]], division_g: float | None, rule: ConstantWeightRule
) -> Judgement:
    """Find the first reading at which the section was at constant weight by ``rule``.

    Each reading is compared with the last one at least the rule's interval earlier, and the change is held
    against the limit as it stands: a longer time between the two earns no larger change. A gain counts as a
    change like a loss, so that a small one (damp air, a drifting scale) is tolerated and a large one is not.

    Args:
        readings: When and how heavy [g], in any order.
        division_g: The scale's division [g]; needed by rules that count divisions.
        rule: The rule in force.
    """
    ordered = sorted(readings, key=lambda reading: reading[0])
    if rule.max_change_divisions is not None and (refused := _refusal(ordered, division_g, rule)) is not None:
        return Judgement(constant=False, refused=refused)
    for position, (at, weight_g) in enumerate(ordered):
        earlier = [reading for reading in ordered[:position] if at.hours_since(reading[0]) >= rule.interval_h]
        if not earlier:
            continue
        compared_at, compared_g = earlier[-1]
        if not _is_small(abs(weight_g - compared_g), weight_g, division_g, rule):
            continue
        oven_dry_g = min(weight_g, compared_g)
        lightest_g = min((later_g for _, later_g in ordered[position + 1 :]), default=oven_dry_g)
        return Judgement(
            constant=True,
            at=at,
            oven_dry_weight_g=oven_dry_g,
            compared_with=compared_at,
            lost_later_pct=max(0.0, 100 * (oven_dry_g - lightest_g) / oven_dry_g),
        )
    return Judgement(constant=False)


def _refusal(
    ordered: Sequence[tuple[Moment, float]], division_g: float | None, rule: ConstantWeightRule
) -> Refusal | None:
    """A coarse scale shows the same figure twice long before the water is gone."""
    if division_g is None:
        return Refusal.DIVISION_UNKNOWN
    lightest_g = min((weight_g for _, weight_g in ordered), default=None)
    if lightest_g is None or rule.max_change_divisions is None:
        return None
    most_g = load().limit("section_change_pct") * lightest_g / 100
    allowed_g = rule.max_change_divisions * division_g
    return Refusal.DIVISION_COARSE if allowed_g > most_g + _FLOAT_NOISE * lightest_g else None


def _is_small(change_g: float, weight_g: float, division_g: float | None, rule: ConstantWeightRule) -> bool:
    """Below the percentage, or at most the divisions: the words of the standards the rules are taken from."""
    noise_g = _FLOAT_NOISE * weight_g
    if rule.max_change_pct is not None:
        return change_g < rule.max_change_pct * weight_g / 100 - noise_g
    assert rule.max_change_divisions is not None
    assert division_g is not None
    return change_g <= rule.max_change_divisions * division_g + noise_g


def rule_in_force(setting: str | None) -> ConstantWeightRule:
    """The rule of the logbook: the default where none is set, or where the setting names none (a finding)."""
    if setting is None:
        return DEFAULT_RULE
    try:
        return rule_from_setting(setting)
    except UnknownWord:
        return DEFAULT_RULE


def rule_from_setting(text: str) -> ConstantWeightRule:
    """The rule a setting names: one of ``RULES``, or the operator's own, ``own: 0.05 % in 4 h``.

    Raises:
        UnknownWord: Neither, or an own rule that no oven could be judged by (above 1 % or ten divisions,
            or apart by nothing or by more than three days).
    """
    if (known := RULES.get(text.strip())) is not None:
        return known
    refusal = UnknownWord(column=SETTING, value=text, known=(*RULES, *_OWN_FORMS))
    if (own := _OWN.fullmatch(text.strip())) is None:
        raise refusal
    change, hours = float(number_from_text(own["change"])), float(number_from_text(own["hours"]))
    by_divisions = own["unit"] != "%"
    if not 0 < change <= (_LARGEST_OWN_DIVISIONS if by_divisions else _LARGEST_OWN_PCT):
        raise refusal
    if not 0 < hours <= _LONGEST_OWN_H:
        raise refusal
    return ConstantWeightRule(
        name=text.strip(),
        max_change_pct=None if by_divisions else change,
        max_change_divisions=change if by_divisions else None,
        interval_h=hours,
        source="the operator's own",
        standing=Standing.ASSUMED,
    )
