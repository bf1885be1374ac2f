"""What the close-out says: a line for each heading, and what stands before the seal with its consequence."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from kilnlog.drying.closing.figures import Limits, ReadingFigures, SampleFigures, SeriesFigures, SeriesKind
from kilnlog.drying.closing.limits import OWN_LIMITS
from kilnlog.drying.closing.statistics import side_of
from kilnlog.logbook import close_out_further_words as further
from kilnlog.logbook import figures
from kilnlog.logbook.close_out_steps import Before, CloseOut, Code, Step, StepLine, StepState, Way
from kilnlog.logbook.record_says import left_out, unanswered
from kilnlog.logbook.wording import worded
from kilnlog.records.moment import Moment

TITLES: Mapping[Step, str] = {
    Step.UNLOADING: "Unloading",
    Step.FINAL_MOISTURE: "Final moisture",
    Step.STRESS: "Stress",
    Step.DEFECTS: "Defects",
    Step.TALLY: "Tally",
    Step.HEAT: "Heat interval",
    Step.NOTES: "Notes",
    Step.REVIEW: "Review",
    Step.SEAL: "Seal",
}

WAYS: Mapping[Way, str] = {
    Way.DO: "Do it",
    Way.LEAVE_OUT: "Leave out…",
    Way.NONE_FOUND: "None found",
    Way.TAKE_UP: "Look at it after all",
}

SERIES_NAMES: Mapping[SeriesKind, str] = {
    SeriesKind.PIN_METER: "pin meter",
    SeriesKind.PINLESS_METER: "pinless meter",
    SeriesKind.OVEN_DRY: "oven-dried pieces",
    SeriesKind.SAMPLE_BOARDS: "sample boards",
}

#: Before the seal, and under it.
_OPEN: Mapping[Step, tuple[str, str]] = {
    Step.UNLOADING: ("not yet", "no day written"),
    Step.FINAL_MOISTURE: ("no reading yet", "no reading"),
    Step.STRESS: ("no test yet", "no test"),
    Step.DEFECTS: ("nothing noted yet", "nothing noted"),
    Step.TALLY: ("no tally yet", "no tally"),
}
#: More single readings than this are counted, not listed.
_MOST_LISTED = 3
_WEEKS_FROM_DAYS = 14


def step_line(line: StepLine, now: Moment, *, sealed: bool = False) -> str:
    """What stands under a heading's name; empty where there is nothing to say."""
    if line.state is StepState.OPEN:
        left = line.values.get("open_lots")
        if left:
            return f"{'none for' if sealed else 'open for'} {' and '.join(f'lot {lot}' for lot in left)}"
        return _OPEN[line.step][sealed]
    if line.state is StepState.LEFT_OUT:
        return "optional, left out" if line.step is Step.HEAT else "left out"
    if line.state is StepState.NONE_FOUND:
        return "none found"
    if line.state is StepState.OPTIONAL:
        return "optional"
    said = _SAID.get(line.step)
    return said(line.values, now) if said is not None else ""


def _at(values: Mapping[str, Any], now: Moment) -> str:
    at = values.get("at")
    return f"{figures.day(at, now)}, {at.local:%H:%M}" if at is not None else ""


def _readings(values: Mapping[str, Any], _: Moment) -> str:
    asked = f", {figures.number(values['asked_for'])} asked for" if values["asked_for"] else ""
    short = values.get("short_lots")
    few = f", too few of {' and '.join(f'lot {lot}' for lot in short)}" if short else ""
    return f"{figures.count(values['readings'], 'reading')}{asked}{few}"


def _tests(values: Mapping[str, Any], _: Moment) -> str:
    tests = figures.count(values["tests"], "test")
    return f"{tests}, {figures.number(values['passed'])} passed" if values["judged"] else tests


def _kinds(values: Mapping[str, Any], _: Moment) -> str:
    return f"{figures.count(values['kinds'], 'kind')} noted"


def _volume(values: Mapping[str, Any], _: Moment) -> str:
    if "volume" not in values:
        return "tallied"
    return f"{figures.volume(values['volume'], values['unit'])} {values['when']}"


_SAID: Mapping[Step, Callable[[Mapping[str, Any], Moment], str]] = {
    Step.UNLOADING: _at,
    Step.FINAL_MOISTURE: _readings,
    Step.STRESS: _tests,
    Step.DEFECTS: _kinds,
    Step.TALLY: _volume,
    Step.HEAT: lambda values, now: "a threshold is set",
    Step.NOTES: lambda values, now: "",
    Step.SEAL: _at,
}


def title(one: Before, close_out: CloseOut) -> str:
    """What is missing, or what is to be known, in a few words; the lot is named where there are several."""
    said = _TITLES[one.code](one)
    lot = next((entry.fact.lot for entry in close_out.lots if entry.entity == one.lot), None)
    return f"Lot {lot}: {said[0].lower()}{said[1:]}" if lot is not None and len(close_out.lots) > 1 else said


def _outside_title(one: Before) -> str:
    series, limits = one.values["series"], one.values["limits"]
    many = one.values["outside"]
    if many == 1:
        side = _side(outside_of(series, limits)[0], limits)
        return f"One reading {side}"
    return f"{figures.number(many)} readings outside"


def _side(reading: ReadingFigures, limits: Limits) -> str:
    if reading.mc_pct is None:
        return "over the meter's range"
    above = side_of(reading.mc_pct, limits.low_pct, limits.high_pct) > 0
    return (
        f"{'above' if above else 'below'} {figures.trimmed(limits.high_pct if above else limits.low_pct)} %"
    )


_TITLES: Mapping[Code, Callable[[Before], str]] = {
    **further.TITLES,
    Code.NOT_UNLOADED: lambda one: "Not unloaded",
    Code.NO_READINGS: lambda one: "No final reading",
    Code.NO_STRESS: lambda one: "No stress test",
    Code.NO_DEFECTS: lambda one: "No defects noted",
    Code.NO_TALLY: lambda one: "No tally",
    Code.PROBES_NOT_ASKED: lambda one: "Probes were read",
    Code.LEFT_OUT: lambda one: f"{TITLES[one.step]} left out",
    Code.TOO_FEW: lambda one: "Fewer pieces read than asked for",
    Code.OUTSIDE: _outside_title,
    Code.AVERAGE_OUTSIDE: lambda one: "The average is outside",
    Code.NO_LIMITS: lambda one: "No limits written",
    Code.UNREADABLE_LIMITS: lambda one: "Limits cannot be read",
    Code.METER_CHECKED: lambda one: f"Meter last checked {ago(one.values['checked_at'], one.values['at'])}",
}


def consequence(one: Before, *, sealed: bool = False) -> str:
    """What comes of it; of what is sealed, what came of it."""

    def record(verb: str) -> str:
        return f"The record {verb}s" if sealed else f"The record will {verb}"

    if sealed and one.code in _SEALED:
        return _SEALED[one.code]
    return _CONSEQUENCES[one.code](one, record)


#: ``The record will say``, or ``says``, from the verb.
_Record = Callable[[str], str]


def _no_readings(one: Before, record: _Record) -> str:
    boards = one.values["boards"]
    if not boards:
        return f"{record('say')} {unanswered(one.step)}. Nobody can tell then how dry it was."
    return _boards_alone(boards, record)


def _boards_alone(boards: int, record: _Record) -> str:
    return (
        f"{record('show')} {figures.count(boards, 'sample board')} alone. They were picked, not drawn at "
        "random, and tell little of the other pieces."
    )


def _left_out(one: Before, record: _Record) -> str:
    if one.values["boards"]:
        return _boards_alone(one.values["boards"], record)  # they stand under that heading then
    return f"{record('say')} {left_out(one.step, one.values['note'].rstrip('.'))}."


def _outside(one: Before, _: _Record) -> str:
    series, limits = one.values["series"], one.values["limits"]
    found = outside_of(series, limits)
    told = "; ".join(_reading(reading) for reading in found[:_MOST_LISTED])
    more = len(found) - _MOST_LISTED
    told += f"; and {figures.number(more)} more" if more > 0 else ""
    stays = (
        "It stays in; the record counts it outside."
        if len(found) == 1
        else ("They stay in; the record counts them outside.")
    )
    return f"{told[0].upper()}{told[1:]}. {stays}"


def _reading(reading: ReadingFigures) -> str:
    pack = f"pack {reading.pack}" if reading.pack else ""
    piece = f"piece {reading.piece}" if reading.piece else ""
    return ", ".join(part for part in (pack, piece, shown_mc(reading)) if part)


def shown_mc(reading: ReadingFigures) -> str:
    """The moisture content of a piece with its unit; ``over 30 %`` where the meter does not measure."""
    return "over 30 %" if reading.over else f"{figures.mc(reading.mc_pct)} %"


def outside_of(series: SeriesFigures, limits: Limits) -> tuple[ReadingFigures, ...]:
    """The readings outside the limits of single pieces, and those over the meter's range."""
    return tuple(
        reading
        for reading in series.readings
        if reading.over
        or (reading.mc_pct is not None and side_of(reading.mc_pct, limits.low_pct, limits.high_pct) != 0)
    )


def _average(one: Before, _: _Record) -> str:
    series: SeriesFigures = one.values["series"]
    mean = figures.mc(series.whole.mean_pct)
    return f"It is {mean} % ({SERIES_NAMES[series.kind]}). The record says so beside what was asked for."


#: What can no longer be done about it is not offered any more.
_SEALED: Mapping[Code, str] = {
    **further.SEALED,
    Code.NOT_UNLOADED: "The record tells no day it came out.",
    Code.PROBES_NOT_ASKED: "The record says nothing of the heat they showed.",
}

_CONSEQUENCES: Mapping[Code, Callable[[Before, _Record], str]] = {
    **further.CONSEQUENCES,
    Code.NOT_UNLOADED: lambda one, record: (
        f"{record('tell')} no day it came out. Sealing then asks twice whether it is meant."
    ),
    Code.NO_READINGS: _no_readings,
    Code.NO_STRESS: lambda one, record: (
        f"{record('say')} {unanswered(Step.STRESS)}. Resawn boards may pinch or cup."
    ),
    Code.NO_DEFECTS: lambda one, record: (
        f"{record('say')} {unanswered(Step.DEFECTS)}. The next charge cannot learn from this one."
    ),
    Code.NO_TALLY: lambda one, record: (
        f"{record('say')} {unanswered(Step.TALLY)}. What was delivered stays open."
    ),
    Code.PROBES_NOT_ASKED: lambda one, record: (
        f"{record('say')} nothing of the heat they showed, unless a threshold is chosen."
    ),
    Code.LEFT_OUT: _left_out,
    Code.TOO_FEW: lambda one, record: (
        f"{figures.count(one.values['read'], 'piece')} of {figures.number(one.values['asked_for'])} that "
        f"{one.values['named']} asks for. The record says both."
    ),
    Code.OUTSIDE: _outside,
    Code.AVERAGE_OUTSIDE: _average,
    Code.NO_LIMITS: lambda one, record: (
        f"{record('give')} the figures, and none of them counted inside or outside."
    ),
    Code.UNREADABLE_LIMITS: lambda one, record: (
        f"{worded(one.values['error']).text} Until then nothing is counted inside or outside."
    ),
}


def ago(then: Moment, now: Moment) -> str:
    """``today``, ``5 days ago``, ``6 weeks ago``."""
    days = (now.local.date() - then.local.date()).days
    if days <= 0:
        return "today"
    if days < _WEEKS_FROM_DAYS:
        return f"{figures.count(days, 'day')} ago"
    return f"{figures.number(days // 7)} weeks ago"


def limits_words(limits: Limits) -> str:
    """What was asked for, in one line: ``6 to 8 %, average 7``; empty where nothing was."""
    if limits.for_pieces or limits.average_low_pct is not None or limits.average_high_pct is not None:
        parts = [between(limits.low_pct, limits.high_pct)] if limits.for_pieces else []
        average = between(limits.average_low_pct, limits.average_high_pct)
        parts += [f"average {average}"] if average else []
        if not average and limits.target_mc_pct is not None:
            parts.append(f"target {figures.trimmed(limits.target_mc_pct)}")
        return ", ".join(parts)
    return f"target {figures.trimmed(limits.target_mc_pct)} %" if limits.target_mc_pct is not None else ""


def asked_words(limits: Limits) -> str:
    """What was asked for, and by whom: the order's own words, a standard with its figures, or figures."""
    words = limits_words(limits)
    if limits.standing is not None:
        return f"{limits.named}: {words}"
    if limits.named and limits.named != OWN_LIMITS and limits.refused is None:
        return f"order: {limits.named}"
    if not limits.for_pieces and limits.average_low_pct is None and limits.average_high_pct is None:
        return words or "no limits written"
    return f"limits: {words}"


def between(low: float | None, high: float | None) -> str:
    """``6 to 8 %``, ``at most 8 %``; empty where there is neither."""
    if low is not None and high is not None:
        return f"{figures.trimmed(low)} to {figures.trimmed(high)} %"
    if high is not None:
        return f"at most {figures.trimmed(high)} %"
    return f"at least {figures.trimmed(low)} %" if low is not None else ""


def asked_for_words(read: int, asked: SampleFigures) -> str:
    """``24 readings, 20 asked for``, by what plan and with what standing."""
    return (
        f"{figures.count(read, 'piece')} read, {figures.number(asked.pieces)} asked for of a lot of "
        f"{figures.number(asked.of_lot_of)}, of which {figures.number(asked.accepted_outside)} may lie "
        f"outside: {asked.named} ({asked.standing.value})."
    )


def tolerance_words(series: SeriesFigures) -> Iterable[str]:
    """What the readings let one say of the pieces nobody read."""
    for interval in series.intervals:
        if_normal = ", if the lot is normally spread" if interval.kind.value == "normal" else ""
        whatever = ", however the lot is spread" if interval.kind.value == "free" else ""
        yield (
            f"At least {figures.trimmed(interval.share_pct)} % of the pieces lie between "
            f"{figures.mc(interval.low_pct)} and {figures.mc(interval.high_pct)} %, said with "
            f"{figures.trimmed(interval.confidence_pct)} % confidence{if_normal}{whatever}."
        )
    if (bound := series.bound) is not None:
        side = "below" if bound.is_upper else "above"
        yield (
            f"At least {figures.trimmed(bound.share_pct)} % of the pieces lie {side} "
            f"{figures.mc(bound.at_pct)} %, said with {figures.trimmed(bound.confidence_pct)} % confidence, "
            "if the lot is normally spread."
        )
