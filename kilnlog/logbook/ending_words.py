"""What is told before a charge is unloaded or closed: how far it is from its target, and what is open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.drying.figures import Assessment, BoardFigures, ChargeState, Extreme
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import figures

#: Where no limits are written, the wettest board may be so far above its target [points of MC].
#: Common practice, no source.
MOST_ABOVE_TARGET = 1.0


@dataclass(frozen=True, slots=True)
class EndingWords:
    """What the dialogs show. Where ``doubts`` is not empty, a reason has to be given."""

    rows: tuple[tuple[str, str], ...]  # name and figure
    doubts: tuple[str, ...]  # why ending now has to be explained
    rule: str  # by which a charge counts as within its target; empty where it was not needed
    open_findings: tuple[Finding, ...]  # nobody answered, most urgent first


def ending_words(assessment: Assessment, *, closing: bool = False) -> EndingWords:
    """By the figures of one moment, before the charge comes out, or before it is closed."""
    findings = tuple(finding for finding in assessment.findings if not finding.answered)
    acts = sum(finding.severity is Severity.ACT for finding in findings)
    boards = [board for board in assessment.boards if board.usable and board.mc_pct is not None]
    missed = assessment.rounds[-1].carried if assessment.rounds else ()
    rows = (
        ("Target", _targets(assessment)),
        (f"Control, {assessment.control.rule}", _percent(assessment.control.mc_pct)),
        ("Mean of the boards", _percent(assessment.mean_mc_pct)),
        _extreme("Wettest", assessment.wettest),
        _extreme("Driest", assessment.driest),
        ("Not weighed in the last round", _boards(missed) if missed else "none"),
        ("Findings nobody answered", _count(len(findings), acts)),
    )
    doubts = list(_away(assessment, boards))
    if closing and assessment.state is ChargeState.DRYING:
        doubts.append("It is not unloaded yet.")
    if acts:
        doubts.append(
            f"{figures.count(acts, 'finding')} to act on {'is' if acts == 1 else 'are'} not answered."
        )
    return EndingWords(rows, tuple(doubts), _rule(assessment), findings)


def _away(assessment: Assessment, boards: list[BoardFigures]) -> Iterator[str]:
    """Why the charge is not within its target, one sentence for each lot; nothing where it is."""
    if not boards:
        yield "No board tells how dry it is."
        return
    lots = {lot.entity: lot for lot in assessment.lots if not lot.is_out}
    for entity in dict.fromkeys(board.lot_entity for board in boards):
        own = [board for board in boards if board.lot_entity == entity]
        wettest, driest = max(own, key=_mc), min(own, key=_mc)
        lot = lots.get(entity or "")
        low, high = (lot.fact.mc_low_pct, lot.fact.mc_high_pct) if lot else (None, None)
        of_lot = f" of lot {lot.lot}" if lot and len(lots) > 1 else ""
        if high is not None and _mc(wettest) > high:
            yield _off(wettest, of_lot, _mc(wettest) - high, "above the limit", high)
        if low is not None and _mc(driest) < low:
            yield _off(driest, of_lot, low - _mc(driest), "below the limit", low)
        target = wettest.target_mc_pct
        if high is None and target is not None and _mc(wettest) > target + MOST_ABOVE_TARGET:
            yield _off(wettest, of_lot, _mc(wettest) - target, "above the target", target)


def _off(board: BoardFigures, of_lot: str, points: float, what: str, mc_pct: float) -> str:
    far, set_mc = figures.number(points, 1), figures.trimmed(mc_pct)
    return f"Board {board.board}{of_lot} is {far} points {what} of {set_mc} %."


def _rule(assessment: Assessment) -> str:
    """The rule that stands in for limits nobody wrote."""
    lots = [lot for lot in assessment.lots if not lot.is_out]
    if lots and all(lot.fact.mc_high_pct is not None for lot in lots):
        return ""
    return (
        f"Without written limits a charge is within its target while no board is more than "
        f"{figures.trimmed(MOST_ABOVE_TARGET)} point above it: common practice, no source."
    )


def _targets(assessment: Assessment) -> str:
    """The target, each lot's own where they differ, with its limits."""
    told = [
        (
            f"lot {lot.lot}",
            _percent(lot.target_mc_pct, as_set=True) + _limits(lot.fact.mc_low_pct, lot.fact.mc_high_pct),
        )
        for lot in assessment.lots
        if not lot.is_out
    ]
    if not told:
        return _percent(assessment.target_mc_pct, as_set=True)
    if len({target for _, target in told}) == 1:
        return told[0][1]
    return "; ".join(f"{lot} {target}" for lot, target in told)


def _limits(low: float | None, high: float | None) -> str:
    if low is not None and high is not None:
        return f" ({figures.trimmed(low)} to {figures.trimmed(high)} %)"
    if high is not None:
        return f" (at most {figures.trimmed(high)} %)"
    return f" (at least {figures.trimmed(low)} %)" if low is not None else ""


def _percent(mc_pct: float | None, *, as_set: bool = False) -> str:
    if mc_pct is None:
        return "not written" if as_set else figures.EMPTY
    return f"{figures.trimmed(mc_pct) if as_set else figures.mc(mc_pct)} %"


def _extreme(name: str, board: Extreme | None) -> tuple[str, str]:
    return (f"{name}, board {board.board}", _percent(board.mc_pct)) if board else (name, figures.EMPTY)


def _count(findings: int, acts: int) -> str:
    told = figures.number(findings) if findings else "none"
    return f"{told} ({figures.number(acts)} to act on)" if acts else told


def _boards(labels: tuple[str, ...]) -> str:
    return f"{'board' if len(labels) == 1 else 'boards'} {', '.join(labels)}"


def _mc(board: BoardFigures) -> float:
    return board.mc_pct or 0.0
