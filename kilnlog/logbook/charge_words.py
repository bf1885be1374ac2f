"""How one charge speaks of itself in the strip and on its particulars page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import figures
from kilnlog.logbook import register_words as words
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import EventKind, EventState

RULE_AT_END = "at unloading"
RULE_AT_CLOSING = "when closed"
_DAY_OF = {ChargeState.PLANNED: "Planned", ChargeState.CLOSED: "Closed", ChargeState.TAKEN_BACK: "State"}


@dataclass(frozen=True, slots=True)
class ChargeWords:
    """What the strip says; empty where there is nothing to say."""

    number: str
    kiln: str
    what: str
    day_of: str  # the label over ``day``
    day: str
    control: str
    rule: str
    step: str


@dataclass(frozen=True, slots=True)
class PhaseWords:
    """One stop on the way of a charge."""

    name: str
    under: str
    passed: bool
    now: bool


@dataclass(frozen=True, slots=True)
class DueWords:
    """One thing to be done, when, and how urgent."""

    text: str
    when: str
    severity: Severity | None


def charge_words(record: ChargeRecord, assessment: Assessment, now: Moment) -> ChargeWords:
    """The strip's words."""
    lots = [entry.fact for entry in current_entries(record.lot)]
    volume, unit = words.volume_of(lots)
    parts = [words.what(lots), figures.volume(volume, unit) if volume is not None else ""]
    running = assessment.state in (ChargeState.DRYING, ChargeState.PLANNED)
    control = assessment.control.mc_pct
    return ChargeWords(
        number=record.particulars.charge,
        kiln=assessment.kiln or "",
        what=", ".join(part for part in parts if part),
        day_of=_DAY_OF.get(assessment.state, "Drying"),
        day=_day(record, assessment, now),
        control=f"{figures.mc(control)} %" if control is not None else "",
        rule=assessment.control.rule.value if running else _rule_at_end(record),
        step=_step(assessment),
    )


def _step(assessment: Assessment) -> str:
    """Where it is in its schedule; while it is equalized or conditioned no step has a say."""
    if assessment.phase.is_treatment:
        return assessment.phase.value
    schedule = assessment.schedule
    if schedule is None or assessment.state is not ChargeState.DRYING:
        return ""
    return f"{schedule.step} of {schedule.of}"


def _rule_at_end(record: ChargeRecord) -> str:
    """By which moment the figure stands still: a charge may be closed without ever having been unloaded."""
    was_unloaded = record.particulars.unloaded_at is not None
    return RULE_AT_CLOSING if record.is_closed and not was_unloaded else RULE_AT_END


def _day(record: ChargeRecord, assessment: Assessment, now: Moment) -> str:
    if assessment.state is ChargeState.TAKEN_BACK:
        return "taken back"
    ended, closing = record.particulars.unloaded_at, record.closing_of()
    if closing is not None:
        after = _run(assessment, running=False)
        return f"{figures.day(closing.at, now)}{f', after {after}' if after else ''}"
    if assessment.days is None:
        return "not loaded yet"
    run = _run(assessment, running=assessment.state is ChargeState.DRYING)
    return f"{run}, unloaded {figures.day(ended, now)}" if ended is not None else run


def phases(record: ChargeRecord, assessment: Assessment, now: Moment) -> tuple[PhaseWords, ...]:
    """The stops of a charge: those every charge has, and the treatments its record tells of."""
    fact = record.particulars
    closing = record.closing_of()
    loaded, unloaded = fact.loaded_at, fact.unloaded_at
    state = assessment.state
    treatments = [
        (name, begun)
        for name, kind in (("equalize", EventKind.EQUALIZING), ("condition", EventKind.CONDITIONING))
        if (begun := _began(current_entries(record.event), kind)) is not None
    ]
    running = state is ChargeState.DRYING
    dates = _Dates(now)
    stops = [
        PhaseWords(
            "planned" if loaded is None else "loaded", dates.of(loaded), loaded is not None, loaded is None
        ),
        PhaseWords("drying", _run(assessment, running), loaded is not None, running and not treatments),
    ]
    for number, (name, begun) in enumerate(treatments):
        stops.append(PhaseWords(name, dates.of(begun), True, running and number == len(treatments) - 1))
    stops.append(
        PhaseWords("unloaded", dates.of(unloaded), unloaded is not None, state is ChargeState.UNLOADED)
    )
    stops.append(PhaseWords("closed", dates.of(closing.at if closing else None), closing is not None, False))
    return tuple(stops)


def due_next(
    record: ChargeRecord, assessment: Assessment, findings: Sequence[Finding], now: Moment
) -> tuple[DueWords, ...]:
    """What is to be done next, the urgent first; what a forecast would add is left out.

    Nothing for a closed charge: it takes no row that would do it.
    """
    if record.is_closed or assessment.state is ChargeState.CLOSED:
        return ()
    unit = weight_unit_of(record)
    rows = [
        DueWords(
            worded_finding(finding, unit).headline,
            "now" if finding.severity is Severity.ACT else "",
            finding.severity,
        )
        for finding in findings
        if not finding.answered and finding.severity is not Severity.NOTE
    ]
    if not assessment.boards:
        rows.append(
            DueWords("Cut sample boards", "before loading" if assessment.days is None else "now", None)
        )
    elif assessment.state is ChargeState.DRYING:
        waiting = words.boards_to_weigh(assessment, now)
        everyone = words.boards_inside(assessment)
        if waiting:
            rows.append(DueWords(f"Weigh {_boards(waiting, len(everyone))}", "today", Severity.LOOK))
        elif everyone:
            rows.append(DueWords(f"Weigh {_boards((), len(everyone))}", "tomorrow", None))
    if assessment.state is ChargeState.PLANNED:
        rows.append(DueWords("Load the kiln, and say when", "", None))
    if assessment.state is ChargeState.UNLOADED:
        rows.append(DueWords("Close the charge", "", None))
    return tuple(rows)


def _boards(waiting: Sequence[str], of: int) -> str:
    if not waiting or len(waiting) == of:
        return {1: "the one board", 2: "both boards"}.get(of, f"all {of} boards")
    return (
        f"board {waiting[0]}" if len(waiting) == 1 else f"boards {', '.join(waiting[:-1])} and {waiting[-1]}"
    )


def _run(assessment: Assessment, running: bool) -> str:
    number = figures.day_number(assessment.loaded_at, assessment.days)
    if number is None:
        return ""
    return f"day {number}" if running else figures.count(number, "day")


class _Dates:
    """Dates one after the other: a year that is not this one stands once, at the first day in it."""

    def __init__(self, now: Moment) -> None:
        self._now, self._year = now, now.local.year

    def of(self, moment: Moment | None) -> str:
        if moment is None:
            return ""
        told_before = moment.local.year == self._year
        self._year = moment.local.year
        return figures.day(moment, moment if told_before else self._now)


def _began(events: Iterable[Entry[Event]], kind: EventKind) -> Moment | None:
    return min(
        (event.at for event in events if event.fact.kind is kind and event.fact.state is not EventState.END),
        default=None,
    )
