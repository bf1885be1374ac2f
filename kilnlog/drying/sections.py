"""Moisture sections: the oven-dry weight each has reached, its MC, and the start MC of its board."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.drying.constant_weight import ConstantWeightRule, Judgement, judge
from kilnlog.drying.facts_at import BoardFacts, Seen
from kilnlog.drying.figures import SectionFigures
from kilnlog.drying.moisture_content import mean_mc_pct, moisture_content_pct
from kilnlog.drying.uncertainty import section_weighing_uncertainty_pct
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.section import Section


def section_figures(board: BoardFacts, at: Moment, rule: ConstantWeightRule) -> tuple[SectionFigures, ...]:
    """The sections of one board as of ``at``, in order of time."""
    return tuple(_figures(board, section, at, rule) for section in board.sections)


def _figures(
    board: BoardFacts, section: Seen[Section], at: Moment, rule: ConstantWeightRule
) -> SectionFigures:
    fact = section.fact
    judgement = judgement_of(board, section, rule)
    typed = fact.oven_dry_weight
    if typed is not None and (fact.dried_at or section.at) > at:
        typed = None  # not yet read by then
    dry_g = typed.g if typed is not None else None
    if dry_g is None and judgement is not None:
        dry_g = judgement.oven_dry_weight_g
    return SectionFigures(
        entity=section.entity,
        section=fact.section,
        wet_weight_g=fact.wet_weight.g,
        oven_dry_weight_g=dry_g,
        from_oven_weighings=typed is None and dry_g is not None,
        constant_by_rule=judgement.constant if judgement is not None and judgement.refused is None else None,
        mc_pct=moisture_content_pct(fact.wet_weight.g, dry_g) if dry_g else None,
        rejected_because=fact.rejected_because,
    )


def judgement_of(board: BoardFacts, section: Seen[Section], rule: ConstantWeightRule) -> Judgement | None:
    """What the rule says of a section's oven weighings; None where there are none."""
    readings = [(reading.at, reading.fact.weight.g) for reading in oven_readings(board, section.entity)]
    return judge(readings, division_of_section_g(board, section), rule) if readings else None


def oven_readings(board: BoardFacts, section: str) -> list[Seen[OvenWeighing]]:
    """The oven weighings of one section (its entity), in order of time."""
    return [reading for reading in board.oven_weighings if reading.fact.section == section]


def division_of_section_g(board: BoardFacts, section: Seen[Section]) -> float:
    """Smallest step of the section's balance [g]: as told, else the finest its typed weights show."""
    fact = section.fact
    if fact.scale_division is not None:
        return fact.scale_division.g
    steps = [fact.wet_weight.step_g]
    if fact.oven_dry_weight is not None:
        steps.append(fact.oven_dry_weight.step_g)
    steps += [reading.fact.weight.step_g for reading in oven_readings(board, section.entity)]
    return float(min(steps))


def accepted(sections: Sequence[SectionFigures]) -> list[SectionFigures]:
    """The sections that count: dry, and not rejected."""
    return [
        section for section in sections if section.mc_pct is not None and section.rejected_because is None
    ]


def accepted_mc_pct(sections: Sequence[SectionFigures]) -> list[float]:
    """MC of every section that counts [%]."""
    return [section.mc_pct for section in accepted(sections) if section.mc_pct is not None]


def start_mc_pct(sections: Sequence[SectionFigures]) -> float | None:
    """MC of the board when cut: the mean of its accepted sections, or None where none is dry yet."""
    counting = accepted_mc_pct(sections)
    return mean_mc_pct(counting) if counting else None


def weighing_uncertainties_pct(board: BoardFacts, sections: Sequence[SectionFigures]) -> list[float]:
    """Per section that counts, what its two readings leave open [points of MC]."""
    facts = {section.entity: section for section in board.sections}
    return [
        section_weighing_uncertainty_pct(
            section.wet_weight_g,
            section.oven_dry_weight_g,
            division_of_section_g(board, facts[section.entity]),
        )
        for section in accepted(sections)
        if section.oven_dry_weight_g is not None
    ]
