"""Whether equalizing or conditioning was ended before its time: by the boards, and by the usual hours."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from kilnlog.drying.end_air import conditioning_of
from kilnlog.drying.end_of_run import EndOfRun, end_of_run, target_of
from kilnlog.drying.facts_at import FactsAt
from kilnlog.drying.figures import Assessment
from kilnlog.drying.schedule import REACHED_WITHIN_PCT
from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.words import EventKind, EventState
from kilnlog.reference.end_of_run import HARDWOOD
from kilnlog.reference.tables import Reference


class _Happened(Protocol):
    """An event with its moment: an entry, or a fact as it was seen."""

    @property
    def at(self) -> Moment: ...

    @property
    def fact(self) -> Event: ...


@dataclass(frozen=True, slots=True)
class StillWet:
    """The board that was furthest above its target when equalizing was ended."""

    board: str
    mc_pct: float
    end_at_pct: float
    end: EndOfRun  # of the assessment's moment


def still_wet(facts: FactsAt, assessment: Assessment, at: Moment) -> StillWet | None:
    """The wettest board by its last weight until ``at``; None where equalizing was done by then."""
    end = end_of_run(facts, assessment)
    if end is None:
        return None
    known = []
    for board in assessment.boards:
        told = [point.mc_pct for point in board.points if point.at <= at and point.mc_pct is not None]
        if board.usable and board.target_mc_pct is not None and told:
            known.append((told[-1] - target_of(board), told[-1], board))
    if not known:
        return None
    _, mc_pct, board = max(known, key=lambda one: one[0])
    end_at_pct = target_of(board) + end.rule.end_above_points
    if mc_pct <= end_at_pct + REACHED_WITHIN_PCT:
        return None
    return StillWet(board.board, mc_pct, end_at_pct, end)


def usual_conditioning_h(facts: FactsAt, assessment: Assessment, reference: Reference) -> float | None:
    """How long the thinnest wood of that kind usually takes [h]; None where no board tells the wood.

    Source: Dry Kiln Operator's Manual, ch. 7, from memory.
    """
    end = end_of_run(facts, assessment)
    if end is None:
        return None
    is_hard = conditioning_of(end, assessment, reference).wood_type == HARDWOOD
    return reference.limit("condition_from_h" if is_hard else "condition_softwood_h")


def run_begun_at(events: Iterable[_Happened], kind: EventKind, at: Moment) -> Moment | None:
    """When the unbroken run of that kind began that is on at ``at``; None where none is."""
    return _begun(sorted((one for one in events if one.at <= at), key=lambda one: one.at), kind)


def _begun(until: Sequence[_Happened], kind: EventKind) -> Moment | None:
    begun: Moment | None = None
    for event in until:
        if event.fact.kind in (EventKind.EQUALIZING, EventKind.CONDITIONING):
            if event.fact.kind is not kind or event.fact.state is EventState.END:
                begun = None
            else:
                begun = begun or event.at
    return begun
