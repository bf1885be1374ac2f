"""How the register speaks of a charge: what it is, whose, where it stands and what is due."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kilnlog.drying.figures import Assessment, BoardFigures, BoardState, ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import figures
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.lot import Lot
from kilnlog.records.measures import cubic_metres
from kilnlog.records.moment import Moment
from kilnlog.records.owner_name import distinct_owners, owner_key
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import VolumeUnit

OWN_STOCK = "own stock"

_NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}

#: What is due in words, and how urgent it is; None where it can wait.
Due = tuple[str, Severity | None]


def what(lots: Sequence[Lot]) -> str:
    """Thickness and species of each lot once, in the order written: ``5/4 ash, 4/4 ash``."""
    kinds = (" ".join(text for text in (lot.thickness, lot.species) if text) for lot in lots)
    return ", ".join(dict.fromkeys(kind for kind in kinds if kind))


def whose(lots: Sequence[Lot]) -> str:
    """The one owner's name, ``own stock``, or how many owners share the charge."""
    owners = distinct_owners(lot.owner if owner_key(lot.owner) else OWN_STOCK for lot in lots)
    if len(owners) <= 1:
        return owners[0] if owners else OWN_STOCK
    return f"{_NUMBERS.get(len(owners), len(owners))} owners"


def volume_of(lots: Sequence[Lot]) -> tuple[float | None, VolumeUnit | None]:
    """The lots' volume together: in their own unit, in cubic metres where they differ."""
    known = [(lot.volume, lot.volume_unit or VolumeUnit.BOARD_FEET) for lot in lots if lot.volume is not None]
    units = {unit for _, unit in known}
    if not known:
        return None, None
    if len(units) == 1:
        return sum(volume for volume, _ in known), units.pop()
    return sum(cubic_metres(volume, unit) for volume, unit in known), VolumeUnit.CUBIC_METRES


def closed(closed_at: Moment, now: Moment, *, fits: bool = True) -> str:
    """``closed 1 Nov``; of a seal that does not stand as it was written, that it is not verified."""
    return f"closed {figures.day(closed_at, now)}{'' if fits else ', not verified'}"


def state(assessment: Assessment) -> str:
    """``drying, step 2``, ``equalizing``, ``planned``, ``unloaded, not closed``."""
    if assessment.phase.is_treatment:
        return assessment.phase.value
    if assessment.state is ChargeState.DRYING and assessment.schedule is not None:
        return f"drying, step {assessment.schedule.step}"
    if assessment.state is ChargeState.UNLOADED:
        return "unloaded, not closed"  # nothing is weighed any more, yet the record is still open
    return assessment.state.value


def way_to_target(assessment: Assessment) -> float | None:
    """How far a running charge has come from its first control figure to its target, 0 to 1."""
    now, target = assessment.control.mc_pct, assessment.target_mc_pct
    first = next((one.control.mc_pct for one in assessment.rounds if one.control.mc_pct is not None), None)
    starts = [board.start_mc_pct for board in assessment.boards if board.start_mc_pct is not None]
    start = max([mc for mc in (first, sum(starts) / len(starts) if starts else None) if mc], default=None)
    if assessment.state is not ChargeState.DRYING or now is None or target is None or start is None:
        return None
    if start <= target:
        return 1.0
    return min(1.0, max(0.0, (start - now) / (start - target)))


def due(assessment: Assessment, findings: Sequence[Finding], at: Moment, unit: WeightUnit) -> Due | None:
    """The one thing that is due next, and how urgent it is."""
    return next(_dues(assessment, findings, at, unit), None)


def _dues(assessment: Assessment, findings: Sequence[Finding], at: Moment, unit: WeightUnit) -> Iterator[Due]:
    """What is due, the most urgent first."""
    planned = assessment.state is ChargeState.PLANNED
    if assessment.state is ChargeState.DRYING:
        # Gone back from on purpose, or answered, it is due and yet nothing to be done at once.
        step = next((finding for finding in findings if finding.code == "step-due"), None)
        stepping = None if step is None else (f"step {step.values['due_step']} due now", step.severity)
        if stepping is not None and stepping[1] is Severity.ACT:
            yield stepping
        for finding in findings:
            if finding.severity is Severity.ACT:
                yield worded_finding(finding, unit).short, Severity.ACT
        if stepping is not None:
            yield stepping
    if not assessment.boards:
        yield "cut sample boards", None if planned else Severity.LOOK
    if assessment.state is ChargeState.DRYING and (waiting := boards_to_weigh(assessment, at)):
        yield f"{figures.count(len(waiting), 'board')} to weigh", Severity.LOOK
    undried = [board for board in assessment.boards if board.state is BoardState.DRYING_OVEN]
    in_oven = sum(board.has_sections for board in undried)
    if without := len(undried) - in_oven:
        yield f"{figures.count(without, 'board')} without sections", Severity.LOOK
    if in_oven:
        yield f"sections of {figures.count(in_oven, 'board')} in the oven", None
    if planned:
        yield "load the kiln", None
    if assessment.state is ChargeState.UNLOADED:
        yield "close it", None


def boards_to_weigh(assessment: Assessment, at: Moment) -> tuple[str, ...]:
    """Labels of the boards in the kiln that were not weighed on the day of ``at``."""
    today = at.utc.astimezone(assessment.at.local.tzinfo).date()
    return tuple(
        board.board
        for board in boards_inside(assessment)
        if board.weight_at is None or board.weight_at.local.date() < today
    )


def boards_inside(assessment: Assessment) -> tuple[BoardFigures, ...]:
    """The boards in the kiln: neither withdrawn nor out with their lot."""
    inside = (BoardState.IN_USE, BoardState.DRYING_OVEN)
    return tuple(board for board in assessment.boards if board.state in inside)
