"""Checks of what the constant-weight rule could not judge, or judged too soon."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.constant_weight import SETTING, Judgement, Refusal, rule_from_setting
from kilnlog.drying.facts_at import Seen
from kilnlog.drying.figures import BoardFigures, SectionFigures
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case, on_board
from kilnlog.drying.sections import division_of_section_g, judgement_of
from kilnlog.records.errors import UnknownWord
from kilnlog.records.section import Section


def _judged(
    case: Case,
) -> Iterator[tuple[BoardFigures, SectionFigures, Seen[Section], Judgement, float]]:
    """Every section that counts and was weighed in the oven, with the division of its balance [g]."""
    for board, worked in case.boards():
        for section, seen in zip(board.sections, worked.facts.sections, strict=True):
            judgement = judgement_of(worked.facts, seen, case.rule)
            if judgement is not None and section.rejected_because is None:
                yield board, section, seen, judgement, division_of_section_g(worked.facts, seen)


def oven_rule_unknown(case: Case) -> Iterator[Finding]:
    """The logbook's constant-weight rule is none; its sections are judged by the default one."""
    setting = case.facts.setting(SETTING)
    if setting is None:
        return
    try:
        rule_from_setting(setting)
    except UnknownWord:
        yield Finding(
            code="oven-rule-unknown",
            severity=Severity.LOOK,
            subject=CHARGE,
            values={"setting": setting, "rule": case.rule.name},
            source=case.rule.source,
        )


def oven_rule_refused(case: Case) -> Iterator[Finding]:
    """The rule counts divisions too coarse for the section: it would call it dry too soon."""
    for board, section, seen, judgement, division_g in _judged(case):
        if judgement.refused is Refusal.DIVISION_COARSE:
            yield on_board(
                board,
                "oven-rule-refused",
                Severity.LOOK,
                {
                    "section": section.section,
                    "rule": case.rule.name,
                    "division_g": division_g,
                    "most_change_pct": case.reference.limit("section_change_pct"),
                },
                source=case.source("section_change_pct"),
                since=seen.at,
            )


def section_lost_on(case: Case) -> Iterator[Finding]:
    """A section constant by the rule went on losing: met too soon, or the oven too hot."""
    limit_pct = case.reference.limit("section_lost_on_pct")
    for board, section, _, judgement, _ in _judged(case):
        if section.from_oven_weighings and judgement.lost_later_pct > limit_pct:
            yield on_board(
                board,
                "section-lost-on",
                Severity.LOOK,
                {
                    "section": section.section,
                    "rule": case.rule.name,
                    "oven_dry_weight_g": judgement.oven_dry_weight_g,
                    "lost_later_pct": judgement.lost_later_pct,
                    "limit_pct": limit_pct,
                },
                source=case.source("section_lost_on_pct"),
                since=judgement.at,
            )
