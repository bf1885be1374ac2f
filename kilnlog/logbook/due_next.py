"""What is due in the next days over all charges: weighings, sections in the oven, steps, targets, checks.

Days are those of the calendar on the wall. A step or a target is told by the rate the boards lose now; in the
same air wood loses ever more slowly as it dries, so that it will rather come later than sooner.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise
from statistics import fmean, median

from kilnlog.drying.assessment import assess
from kilnlog.drying.constant_weight import SETTING, rule_in_force
from kilnlog.drying.facts_at import FactsAt, facts_at
from kilnlog.drying.figures import Assessment, ChargeState, Control
from kilnlog.drying.finding import Severity
from kilnlog.drying.schedule import steps_of
from kilnlog.logbook import figures
from kilnlog.logbook.air_in_hand import air_digest
from kilnlog.logbook.register_words import boards_inside, boards_to_weigh
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord, closings_in_force
from kilnlog.records.instrument import Instrument
from kilnlog.records.moment import Moment, zone_named
from kilnlog.records.version import current_entries, histories
from kilnlog.reference.tables import Reference

WEEK_D = 7
#: The gaps of so many rounds tell how often a charge is weighed.
_HABIT = 6


class DueKind(StrEnum):
    """What is due."""

    WEIGHING = "weighing"
    SECTIONS = "sections"
    STEP = "step"
    TARGET = "target"
    CHECK = "check"


@dataclass(frozen=True, slots=True)
class Due:
    """One thing that is due. ``charge`` is its number; None for what belongs to no charge."""

    day: date
    kind: DueKind
    charge: str | None
    text: str
    remark: str = ""
    time: str = ""  # by the clock, where it matters
    severity: Severity | None = None


def due_in_week(book: Logbook, reference: Reference, now: Moment, days: int = WEEK_D) -> tuple[Due, ...]:
    """All that is due today and on the ``days`` days after it, in order; overdue things are due today."""
    closed = closings_in_force(book.file.entries("closing"))
    found: list[Due] = []
    for charge in current_entries(book.file.charges()):
        if charge.entity in closed or charge.fact.loaded_at is None or charge.fact.unloaded_at is not None:
            continue
        record = book.file.charge_record(charge.entity)
        assessment = assess(record, reference, now, air_digest(book, record, reference, now))
        found += due_of_charge(record, assessment, reference, now)
    instruments = current_entries(histories(book.file.entries("instrument")))
    found += due_checks((entry.fact for entry in instruments), reference, now)
    today = _today(now)
    last = today + timedelta(days=days)
    return tuple(sorted((one for one in found if one.day <= last), key=_place))


def due_of_charge(
    record: ChargeRecord, assessment: Assessment, reference: Reference, now: Moment
) -> tuple[Due, ...]:
    """What one charge in the kiln asks for next, each thing once."""
    if assessment.state is not ChargeState.DRYING:
        return ()
    facts = facts_at(record, assessment.at)
    return (
        *_weighing(assessment, now),
        *_sections(facts, assessment, reference, now),
        *_step(facts, assessment, now),
        *_targets(assessment, now),
    )


def due_checks(instruments: Iterable[Instrument], reference: Reference, now: Moment) -> Iterator[Due]:
    """Instruments whose last check will be too long ago, or of which none is written down."""
    every = timedelta(days=reference.limit("instrument_check_d"))
    for instrument in instruments:
        what = f"Check {instrument.instrument}"
        if instrument.checked_at is None:
            yield Due(_today(now), DueKind.CHECK, None, what, "no check is written down")
            continue
        due = instrument.checked_at.local.date() + every
        late = due < _today(now)
        yield Due(
            max(due, _today(now)),
            DueKind.CHECK,
            None,
            what,
            f"last checked {figures.day(instrument.checked_at, now)}",
            severity=Severity.LOOK if late else None,
        )


def usual_days(assessment: Assessment) -> int:
    """Every how many days a charge's boards are weighed, by its last rounds; daily until two tell.

    Daily: common practice, no source.
    """
    rounds = [one.at for one in assessment.rounds if one.at >= (assessment.loaded_at or one.at)]
    gaps = [later.hours_since(earlier) for earlier, later in pairwise(rounds[-_HABIT:])]
    return max(1, round(median(gaps) / 24)) if gaps else 1


def _weighing(assessment: Assessment, now: Moment) -> Iterator[Due]:
    everyone = boards_inside(assessment)
    if not everyone:
        return
    today, every = _today(now), usual_days(assessment)
    habit = "every day" if every == 1 else f"every {every} days"
    waiting = boards_to_weigh(assessment, now)
    last = max((board.weight_at for board in everyone if board.weight_at is not None), default=None)
    due = today if last is None else last.local.date() + timedelta(days=every)
    if waiting and len(waiting) < len(everyone):  # a round was begun today: the rest belongs to it
        due = today
    some = waiting if waiting and due <= today else tuple(board.board for board in everyone)
    what = figures.count(len(some), "board") if len(some) < len(everyone) else _all(len(everyone))
    late = (today - due).days
    yield Due(
        max(due, today),
        DueKind.WEIGHING,
        assessment.charge.charge,
        f"Weigh {what}",
        f"{figures.count(late, 'day')} late" if late > 0 else habit,
        severity=Severity.LOOK if late > 0 else None,
    )


def _sections(facts: FactsAt, assessment: Assessment, reference: Reference, now: Moment) -> Iterator[Due]:
    """Sections in the oven: weighed again once the rule in force can judge by it."""
    rule = rule_in_force(facts.setting(SETTING))
    when: dict[str, Moment] = {}
    undried = {
        section.entity
        for board in assessment.boards
        for section in board.sections
        if section.oven_dry_weight_g is None and section.rejected_because is None
    }
    for board in facts.boards:
        for section in board.sections:
            if section.entity not in undried:
                continue
            weighed = [one.at for one in board.oven_weighings if one.fact.section == section.entity]
            due = (
                max(weighed).plus_hours(rule.interval_h)
                if weighed
                else section.at.plus_hours(reference.limit("first_in_oven_h"))
            )
            when[board.label] = min(when.get(board.label, due), due)
    if not when:
        return
    earliest = min(when.values())
    labels = list(when)
    of = f"board {labels[0]}" if len(labels) == 1 else f"boards {', '.join(labels[:-1])} and {labels[-1]}"
    passed = earliest <= now
    yield Due(
        _today(now) if passed else _day_of(earliest, now),
        DueKind.SECTIONS,
        assessment.charge.charge,
        f"Weigh the sections of {of} in the oven",
        f"constant weight is judged {figures.trimmed(rule.interval_h)} h apart",
        "now" if passed else f"{earliest.utc.astimezone(zone_named(now.zone)):%H:%M}",
    )


def _step(facts: FactsAt, assessment: Assessment, now: Moment) -> Iterator[Due]:
    schedule, number = assessment.schedule, assessment.charge.charge
    if schedule is None or assessment.phase.is_treatment:
        return
    if schedule.due is not None:
        text = f"Take step {schedule.due}"
        yield Due(_today(now), DueKind.STEP, number, text, "due now", "now", Severity.ACT)
        return
    coming = next((step for step in steps_of(facts) if step.step > schedule.step), None)
    if coming is None:
        return
    if coming.from_hours is not None and assessment.loaded_at is not None:
        at = assessment.loaded_at.plus_hours(coming.from_hours)
        remark = f"{figures.trimmed(coming.from_hours)} h after loading"
        clock = f"{at.utc.astimezone(zone_named(now.zone)):%H:%M}"
        yield Due(
            max(_day_of(at, now), _today(now)), DueKind.STEP, number, f"Step {coming.step}", remark, clock
        )
    elif coming.from_mc_pct is not None:
        reached = _reached(assessment, assessment.control, coming.from_mc_pct)
        if reached is not None:
            text = f"Step {coming.step}, at {figures.trimmed(coming.from_mc_pct)} %"
            yield Due(max(_day_of(reached, now), _today(now)), DueKind.STEP, number, text, _AT_PRESENT_RATE)


_AT_PRESENT_RATE = "at the present rate"


def _targets(assessment: Assessment, now: Moment) -> Iterator[Due]:
    """The targets, by the control figure of each lot that has not reached its own."""
    for lot in assessment.lots:
        target = lot.target_mc_pct if lot.target_mc_pct is not None else assessment.target_mc_pct
        if lot.is_out or target is None:
            continue
        reached = _reached(assessment, lot.control, target)
        if reached is None:
            continue
        whose = f"lot {lot.lot} at " if len(assessment.lots) > 1 else ""
        text = f"Target: {whose}{figures.trimmed(target)} %"
        day = max(_day_of(reached, now), _today(now))
        yield Due(day, DueKind.TARGET, assessment.charge.charge, text, _AT_PRESENT_RATE)


def _reached(assessment: Assessment, control: Control, mc_pct: float) -> Moment | None:
    """When the control figure comes to ``mc_pct`` if its boards go on losing as they did since last weighed.

    None where it is there already, or where a board of the control has no rate or loses nothing.
    """
    boards = [board for board in assessment.boards if board.board in control.boards]
    if control.mc_pct is None or control.mc_pct <= mc_pct or not boards:
        return None
    rates = [board.rate_pct_per_day for board in boards if board.rate_pct_per_day is not None]
    since = [board.since for board in boards if board.since is not None]
    if len(rates) < len(boards) or not since or fmean(rates) <= 0:
        return None
    return max(since).plus_hours(24 * (control.mc_pct - mc_pct) / fmean(rates))


def _today(now: Moment) -> date:
    return now.local.date()


def _day_of(moment: Moment, now: Moment) -> date:
    """Its day by the clock on the wall here."""
    return moment.utc.astimezone(zone_named(now.zone)).date()


def _place(due: Due) -> tuple[date, int, int, str]:
    urgent: Sequence[Severity | None] = [*Severity, None]
    return (due.day, urgent.index(due.severity), list(DueKind).index(due.kind), due.charge or "")


def _all(boards: int) -> str:
    return {1: "the one board", 2: "both boards"}.get(boards, f"all {boards} boards")
