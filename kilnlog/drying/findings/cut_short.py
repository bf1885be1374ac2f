"""Checks of a run's end: equalizing ended while a board was too wet, conditioning ended within hours."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.ended_early import run_begun_at, still_wet, usual_conditioning_h
from kilnlog.drying.facts_at import Seen
from kilnlog.drying.figures import Phase
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import CHARGE, Case
from kilnlog.drying.findings.end_of_run import equalizing_source_of
from kilnlog.records.event import Event
from kilnlog.records.words import EventKind, EventState

_ENDED = (Phase.EQUALIZED, Phase.CONDITIONING, Phase.CONDITIONED)


def equalizing_cut_short(case: Case) -> Iterator[Finding]:
    """Equalizing was ended, or conditioning begun, before the wettest board was where the rule ends it.

    Judged by the weights until then: damp air raises every board afterwards.
    """
    over = _equalizing_over(case) if case.assessment.phase in _ENDED else None
    wet = None if over is None else still_wet(case.facts, case.assessment, over.at)
    if over is None or wet is None:
        return
    yield Finding(
        code="equalizing-cut-short",
        severity=Severity.NOTE if over.fact.note else Severity.LOOK,
        subject=CHARGE,
        values={
            "ended_at": over.at,
            "wettest_board": wet.board,
            "wettest_compared_pct": wet.mc_pct,
            "end_at_pct": wet.end_at_pct,
            "rule": wet.end.rule.name,
            "reason": over.fact.note,
        },
        source=equalizing_source_of(case, wet.end.rule, wet.end.wettest, None),
        since=over.at,
    )


def _equalizing_over(case: Case) -> Seen[Event] | None:
    """The event that last ended equalizing; conditioning ends it as well."""
    over: Seen[Event] | None = None
    was_on = False
    for event in case.facts.events:
        if event.fact.kind is EventKind.EQUALIZING:
            is_on = event.fact.state is not EventState.END
        elif event.fact.kind is EventKind.CONDITIONING:
            is_on = False
        else:
            continue
        if was_on and not is_on:
            over = event
        was_on = is_on
    return over


def conditioning_cut_short(case: Case) -> Iterator[Finding]:
    """Conditioning was ended after a shorter time than the thinnest wood usually takes."""
    if case.assessment.phase is not Phase.CONDITIONED:
        return
    of_kind = [event for event in case.facts.events if event.fact.kind is EventKind.CONDITIONING]
    if not of_kind or of_kind[-1].fact.state is not EventState.END:
        return
    ended = of_kind[-1]
    before = (event for event in case.facts.events if event is not ended)
    begun_at = run_begun_at(before, EventKind.CONDITIONING, ended.at)
    usual_h = usual_conditioning_h(case.facts, case.assessment, case.reference)
    if begun_at is None or usual_h is None or ended.at.hours_since(begun_at) >= usual_h:
        return
    yield Finding(
        code="conditioning-cut-short",
        severity=Severity.NOTE if ended.fact.note else Severity.LOOK,
        subject=CHARGE,
        values={
            "ended_at": ended.at,
            "lasted_h": ended.at.hours_since(begun_at),
            "usual_from_h": usual_h,
            "reason": ended.fact.note,
        },
        source=f"{case.source('condition_from_h')}, from memory",
        since=ended.at,
    )
