"""Where a charge stands at the end of its run: whether equalizing is due or done, and conditioning.

Every board is held against its own target, at full precision: nothing flips with the rounding of a screen.
"""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.damping import DAMP_H
from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import Assessment, BoardFigures, ChargeState, Phase
from kilnlog.drying.schedule import REACHED_WITHIN_PCT
from kilnlog.records.errors import UnknownWord
from kilnlog.records.moment import Moment
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.end_of_run import HARDWOOD, EqualizingRule, equalizing_rules
from kilnlog.reference.tables import Reference

#: The name of the setting that holds the rule in force.
SETTING = "equalizing_rule"


@dataclass(frozen=True, slots=True)
class EndOfRun:
    """The boards that decide, each against its own target."""

    rule: EqualizingRule
    phase: Phase
    since: Moment | None  # when the phase began; None while it is that of drying
    driest: BoardFigures  # that furthest below its target, or least above it
    wettest: BoardFigures  # that furthest above its target
    all_weighed: bool  # the last round missed no board

    @property
    def start_at_pct(self) -> float:
        """The MC of the driest board at which equalizing begins [%]."""
        return target_of(self.driest) - self.rule.start_below_points

    @property
    def emc_pct(self) -> float:
        """The EMC of the air while equalizing [%]."""
        return target_of(self.driest) - self.rule.emc_below_points

    @property
    def end_at_pct(self) -> float:
        """The MC of the wettest board at which equalizing ends [%]."""
        return target_of(self.wettest) + self.rule.end_above_points

    @property
    def is_driest_there(self) -> bool:
        """Whether the driest board has come to where equalizing begins."""
        return _mc_pct(self.driest) <= self.start_at_pct + REACHED_WITHIN_PCT

    @property
    def is_wettest_there(self) -> bool:
        """Whether the wettest board has come to where equalizing ends, by a round that missed none."""
        return self.all_weighed and self.seems_all_there

    @property
    def seems_all_there(self) -> bool:
        """The same, with what is carried of boards that the last round missed."""
        return _mc_pct(self.wettest) <= self.end_at_pct + REACHED_WITHIN_PCT


def rule_from_setting(text: str) -> EqualizingRule:
    """The rule of that name; raises ``UnknownWord``."""
    rules = equalizing_rules()
    if text.strip() not in rules:
        raise UnknownWord(column=SETTING, value=text, known=tuple(rules))
    return rules[text.strip()]


def rule_in_force(setting: str | None) -> EqualizingRule:
    """The rule a setting names; the default one where it was never set, or names none."""
    try:
        return next(iter(equalizing_rules().values())) if setting is None else rule_from_setting(setting)
    except UnknownWord:
        return next(iter(equalizing_rules().values()))


def end_of_run(facts: FactsAt, assessment: Assessment) -> EndOfRun | None:
    """Where the charge stands; None while it does not dry, or no board has an MC and a target."""
    boards = [
        board
        for board in assessment.boards
        if board.usable and board.mc_pct is not None and board.target_mc_pct is not None
    ]
    if assessment.state is not ChargeState.DRYING or not boards:
        return None
    return EndOfRun(
        rule=rule_in_force(facts.setting(SETTING)),
        phase=assessment.phase,
        since=assessment.phase_since,
        driest=min(boards, key=_above_target),
        wettest=max(boards, key=_above_target),
        all_weighed=not any(board.carried for board in boards),
    )


def phase_at(facts: FactsAt, at: Moment) -> tuple[Phase, Moment | None]:
    """The phase by the last event of equalizing or conditioning; without a state it lasts for a day."""
    told = {
        EventKind.EQUALIZING: (Phase.EQUALIZING, Phase.EQUALIZED),
        EventKind.CONDITIONING: (Phase.CONDITIONING, Phase.CONDITIONED),
    }
    events = [event for event in facts.events if event.fact.kind in told]
    if not events:
        return Phase.DRYING, None
    last = events[-1]
    during, after = told[last.fact.kind]
    if last.fact.state is EventState.END:
        return after, last.at
    over_at = last.at.plus_hours(DAMP_H)
    if last.fact.state is None and over_at <= at:
        return after, over_at
    begun_at = last.at
    for event in reversed(events[:-1]):  # written down as begun once more, it goes on since it began
        if event.fact.kind is not last.fact.kind or event.fact.state is not EventState.START:
            break
        begun_at = event.at
    return during, begun_at


def wood_type_of(board: BoardFigures, assessment: Assessment, reference: Reference) -> str:
    """Hardwood or softwood, by the species of the board's lot; hardwood where nobody knows."""
    lot = next((lot for lot in assessment.lots if lot.entity == board.lot_entity), None)
    name = None if lot is None else lot.fact.species
    species = None if name is None else reference.species_named(name)
    return HARDWOOD if species is None else species.wood_type


def target_of(board: BoardFigures) -> float:
    """Its target [%]; of boards that have one."""
    return board.target_mc_pct or 0.0


def _mc_pct(board: BoardFigures) -> float:
    return board.mc_pct or 0.0


def _above_target(board: BoardFigures) -> float:
    return _mc_pct(board) - target_of(board)
