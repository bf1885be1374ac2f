"""Doubts about a weight just typed, each with the figures and the likely truth, before it reaches the curve.

Nothing is computed here that any figure rests on: a doubt only asks. What the operator insists on is kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from math import inf

from kilnlog.drying.damping import WETTED_POINTS, may_gain_points
from kilnlog.drying.doubt import Doubt
from kilnlog.drying.doubtful_time import time_doubts
from kilnlog.drying.expectation import NOISE_DIVISIONS, Expectation
from kilnlog.drying.figures import Assessment, BoardFigures
from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.drying.likely_truth import Truth, truths
from kilnlog.drying.net_line import NetLine, net_line, scale_habit
from kilnlog.drying.same_round import neighbours, round_pace
from kilnlog.drying.slips import SlipKind
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.records.weight import Weight

__all__ = ["Doubt", "doubts"]

#: A net weight below this share of the oven-dry weight is no error of the oven-dry weight any more.
LEAST_SHARE_OF_DRY = 0.8
#: At most so many explanations are offered.
MOST_TRUTHS = 3

#: Explanations told before the fact that the weight does not fit: they name the cause outright.
_OUTRIGHT = (SlipKind.UNIT, SlipKind.DECIMAL, SlipKind.BOARDS_SWAPPED)


def doubts(
    record: ChargeRecord,
    assessment: Assessment,
    board: str,
    weight: Weight,
    at: Moment,
    now: Moment,
    *,
    corrects: str | None = None,
) -> tuple[Doubt, ...]:
    """Everything to ask about a weight before it is kept; empty where it is plausible.

    Args:
        record: The charge's record.
        assessment: What follows from it by all that is known now, weights after ``at`` included.
        board: Entity of the board weighed; KeyError where the assessment does not know it.
        weight: As typed.
        at: When it was weighed.
        now: What the machine's clock says.
        corrects: Entity of the weighing that this weight will correct; it is left out of account.
    Returns:
        The most telling first. ``gain``, ``jump-up``, ``jump-down`` and ``below-oven-dry`` say that the
        weight does not fit, with the likely truth and, as ``slip``, the code of what explains it. The codes
        of ``SlipKind`` name that slip itself, with the same values. ``before-cut``, ``in-future``,
        ``same-minute`` and ``clock-far`` doubt the time.
    """
    figures = {figures.entity: figures for figures in assessment.boards}[board]
    about_time = tuple(time_doubts(assessment, figures, weight, at, now, corrects))
    if any(not doubt.possible for doubt in about_time):
        return about_time
    about_weight = _weight_doubts(record, assessment, figures, weight, at, corrects)
    return (*about_weight, *about_time)


def _weight_doubts(
    record: ChargeRecord,
    assessment: Assessment,
    figures: BoardFigures,
    weight: Weight,
    at: Moment,
    corrects: str | None,
) -> tuple[Doubt, ...]:
    own = net_line(record, figures, at, assessment.loaded_at, without=corrects)
    others = neighbours(record, assessment, figures.entity, at)
    running = _is_running(assessment, at)
    gain_points = 0.0 if running else WETTED_POINTS
    if running and own.last is not None:
        gain_points = may_gain_points(current_entries(record.event), own.last[0], at)
    pace = round_pace(own, others)
    expected = own.expected(pace, may_gain_points=gain_points)
    if expected is None:
        return ()
    codes = list(_misfits(weight.g - own.coat_g, own, expected, damped=gain_points > 0))
    if not codes:
        return ()
    found = truths(weight, own, expected, others, pace, scale_habit(record, figures))
    explained = tuple(islice(found, MOST_TRUTHS))
    values = _values(weight, own, _told(weight, own, expected), running=running)
    first = explained[0] if explained else None
    misfits = [_doubt(code, figures, values, first, own, weight) for code in codes]
    named = [_doubt(truth.kind.value, figures, values, truth, own, weight) for truth in explained]
    if first is not None and first.kind in _OUTRIGHT:
        return (named[0], *misfits, *named[1:])
    return (*misfits, *named)


def _misfits(net_g: float, own: NetLine, expected: Expectation, *, damped: bool) -> Iterator[str]:
    """The codes of what is wrong with a net weight."""
    dry_g = own.oven_dry_weight_g
    # A board that has been below its oven-dry weight before says that the basis is wrong, not this weight.
    was_below = own.last is not None and dry_g is not None and own.last[1] < dry_g
    if dry_g is not None and net_g < dry_g - own.division_g and not was_below:
        yield "below-oven-dry"
    elif net_g < expected.asked_below_g:
        yield "jump-down"
    if net_g > expected.asked_above_g:
        change_g = inf if own.last is None else net_g - own.last[1]
        noise_g = NOISE_DIVISIONS * own.division_g
        if change_g > noise_g and not damped:
            yield "gain"
        elif not 0 <= change_g <= noise_g:  # a gain that small is noise, whatever was expected
            yield "jump-up"


def _told(weight: Weight, own: NetLine, expected: Expectation) -> Expectation:
    """The expectation to tell: the board's own, as the round shows it, unless only the others speak against.

    A weight that its own pace allows is asked about for what the others of the round have shown.
    """
    alone = own.expected()
    return expected if alone is None or alone.shows(weight.g - own.coat_g) else alone


def _values(weight: Weight, own: NetLine, expected: Expectation, *, running: bool) -> dict[str, Value]:
    """The figures of every doubt about a weight; weights as the scale shows them, coats included."""
    values: dict[str, Value] = {
        "typed_text": weight.text,
        "typed_g": weight.g,
        "expected_low_g": expected.low_g + own.coat_g,
        "expected_high_g": expected.high_g + own.coat_g,
        "division_g": own.division_g,
        "running": running,
    }
    if own.oven_dry_weight_g is not None:
        values["oven_dry_weight_g"] = own.oven_dry_weight_g
        values["mc_pct"] = ((weight.g - own.coat_g) / own.oven_dry_weight_g - 1) * 100
    if own.last is not None and own.last_read_at is not None:
        last_g = own.last[1]
        values |= {
            "last_g": last_g + own.coat_g,
            "last_at": own.last_read_at,
            "since_h": own.at.hours_since(own.last_read_at),
            "change_g": weight.g - own.coat_g - last_g,
        }
    if own.following is not None:
        values |= {"next_g": own.following[1] + own.coat_g, "next_at": own.following[0]}
    return values


def _doubt(
    code: str,
    figures: BoardFigures,
    values: dict[str, Value],
    truth: Truth | None,
    own: NetLine,
    weight: Weight,
) -> Doubt:
    """One doubt about the weight, with what explains it."""
    dry_g = own.oven_dry_weight_g
    possible = dry_g is None or weight.g - own.coat_g >= LEAST_SHARE_OF_DRY * dry_g
    values = dict(values)
    likely = other = None
    if truth is not None:
        likely, values["slip"] = truth.likely, truth.kind.value
        if likely is not None:
            values |= {"likely_text": likely.text, "likely_unit": likely.unit.value, "likely_g": likely.g}
        if truth.other is not None:
            other = truth.other.figures
            values |= {
                "other_board": other.board,
                "other_g": truth.other.weighed.g if truth.other.weighed else None,
            }
    severity = Severity.ACT if code == "below-oven-dry" or not possible else Severity.LOOK
    finding = Finding(code, severity, f"board {figures.board}", values, board=figures.entity)
    return Doubt(finding, likely, possible, None if other is None else other.entity)


def _is_running(assessment: Assessment, at: Moment) -> bool:
    """Whether the charge is in a running kiln at ``at``."""
    loaded_at, unloaded_at = assessment.loaded_at, assessment.charge.unloaded_at
    return loaded_at is not None and at >= loaded_at and (unloaded_at is None or at <= unloaded_at)
