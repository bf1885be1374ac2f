"""What happened to a charge, as papers tell of it: steps, events, findings with their answers, decisions."""

from __future__ import annotations

from kilnlog.drying.finding import Finding
from kilnlog.exchange.papers.contents import EventPart, FindingPart, StepPart
from kilnlog.logbook.event_words import event_words
from kilnlog.logbook.paper_told import Told
from kilnlog.logbook.step_words import step_words
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding


def step_parts(told: Told) -> list[StepPart]:
    """The steps taken, in order."""
    parts: list[StepPart] = []
    for seen in told.facts.steps_taken:
        words = step_words(told.record, told.assessment, seen.fact.step)
        parts.append(
            {
                "step": seen.fact.step,
                "taken_at": seen.at.iso(),
                "set_to": words.sets if words is not None else "",
                "reason": seen.fact.reason,
            }
        )
    return parts


def event_parts(told: Told) -> list[EventPart]:
    """What happened at the kiln, in order; of the whole charge alone, since nobody's lumber stands apart."""
    if told.lots is not None:
        return []
    return [
        {"at": seen.at.iso(), "what": event_words(seen.fact), "note": seen.fact.note}
        for seen in told.facts.events
    ]


def finding_parts(told: Told) -> list[FindingPart]:
    """What the program found, most urgent first; of some lots, only what is about them or their boards."""
    entities = {board.entity for board in told.boards}
    unit = weight_unit_of(told.record)
    parts: list[FindingPart] = []
    for finding in told.assessment.findings:
        if told.lots is not None and finding.board not in entities and finding.lot not in told.lots:
            continue
        said = worded_finding(finding, unit)
        parts.append(
            {
                "severity": finding.severity.value,
                "subject": finding.subject,
                "board": _label(told, finding),
                "lot": _lot_label(told, finding),
                "what": said.headline,
                "why": said.why,
                "do": said.do,
                "source": said.source,
                "since": finding.since.iso() if finding.since is not None else None,
                "answer": _answer(told, finding),
            }
        )
    return parts


def decision_parts(told: Told) -> list[EventPart]:
    """What the operator decided, in order; of the whole charge alone."""
    if told.lots is not None:
        return []
    return [
        {
            "at": seen.at.iso(),
            "what": f"{seen.fact.code} {seen.fact.subject or ''}".strip(),
            "note": seen.fact.note,
        }
        for seen in told.facts.decisions
    ]


def _label(told: Told, finding: Finding) -> str | None:
    return next((one.board for one in told.assessment.boards if one.entity == finding.board), None)


def _lot_label(told: Told, finding: Finding) -> str | None:
    if finding.lot is not None:
        return next((one.lot for one in told.assessment.lots if one.entity == finding.lot), None)
    return next((one.lot for one in told.assessment.boards if one.entity == finding.board), None)


def _answer(told: Told, finding: Finding) -> str | None:
    """The last note that answers it."""
    answers = [
        seen.fact.note
        for seen in told.facts.decisions
        if seen.fact.code == finding.code and (seen.fact.subject or "") == finding.subject
    ]
    return next((note for note in reversed(answers) if note), None)
