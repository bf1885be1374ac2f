"""The heat interval in words: the operator's own record, never a mark."""

from __future__ import annotations

from kilnlog.drying.closing.heat_interval import HOLE_INTERVALS, HeatInterval, ProbeHeat, Stretch
from kilnlog.logbook import figures
from kilnlog.logbook.heat import AskedHeat, HeatAnswer, moment_of
from kilnlog.records.temperature import in_unit
from kilnlog.records.words import ProbePlace, TemperatureUnit
from kilnlog.reference.heat import HeatThreshold
from kilnlog.reference.rows import Standing

#: More runs than this are listed in a terminal by the longest of them.
MOST_RUNS = 20
#: More dips or holes than this are counted.
MOST_BREAKS = 5

OWN_RECORD = (
    "This is the operator’s own record of what these probes showed. Whether it counts for anybody else is "
    "for the authority or agency that asks for it to say."
)
#: What can hurt while wood is heated and probed.
CAUTION = (
    "Wood, metal and air at such temperatures burn, and steam scalds: set and pull probes only with the kiln "
    "cooled and heat, fans and spray off and locked. Do not heat beyond what the kiln’s maker allows. Your "
    "local codes go first."
)
NO_PROBES = (
    "No probe was read in this charge. Read a probe’s file with “kilnlog read-logger … --probe core”, or in "
    "the window by Air, Read a logger’s file; type single readings into the record."
)
_PLACES = {ProbePlace.CORE: "in the wood", ProbePlace.AIR: "in the air"}


def probe_words(probe: ProbeHeat) -> str:
    """``K1, in the wood``."""
    return probe_words_of(probe.name, probe.placed_in)


def probe_words_of(name: str, placed_in: ProbePlace) -> str:
    """The same of a probe by its name and where it sat."""
    return f"{name}, {_PLACES[placed_in]}"


def heat_text(answer: HeatAnswer) -> str:
    """The whole answer, a line each."""
    interval, zone = answer.interval, answer.zone
    lines = [f"Charge {answer.charge}: at least {asked_words(answer.asked)}."]
    lines += [published_words(row) for row in answer.asked.published]
    if not interval.probes:
        return "\n".join([*lines, NO_PROBES])
    lines.append(verdict_words(interval, zone))
    lines += [probe_line(probe, answer.asked.temperature_unit, zone) for probe in interval.probes]
    if interval.sampling_minutes is not None:
        lines.append(f"Usual time between readings: {minutes_words(interval.sampling_minutes)}.")
    lines += widest_words(interval)
    lines += run_lines(interval, zone, also="--json lists them all")
    lines.append(rule_words())
    lines += remarks(interval, zone)
    return "\n".join([*lines, OWN_RECORD, CAUTION])


def widest_words(interval: HeatInterval) -> list[str]:
    """What the longest time rests on: the longest step between two readings within it."""
    if interval.widest_minutes is None:
        return []
    widest = minutes_words(interval.widest_minutes)
    return [f"Longest time between two readings of a probe within that time: {widest}."]


def remarks(interval: HeatInterval, zone: str) -> list[str]:
    """What to know of it: air alone, coarse sampling, a single reading, then dips and holes."""
    air = "No probe sat in the wood: these are times of the air, and nothing is said of the wood."
    return [*([air] if interval.air_only else []), *probe_remarks(interval, zone)]


def probe_remarks(interval: HeatInterval, zone: str) -> list[str]:
    """The same of the readings alone."""
    return [*reading_remarks(interval), *break_remarks(interval, zone)]


def reading_remarks(interval: HeatInterval) -> list[str]:
    """How the probes were read: too seldom, once, never."""
    told: list[str] = []
    if interval.is_coarse:
        told.append(
            "The probes were read less often than the time asked for: a dip in between would not show."
        )
    for probe in interval.probes:
        if probe.counted and not probe.readings:
            told.append(f"{probe.name} gave no reading.")
        elif probe.counted and probe.readings == 1:
            told.append(f"{probe.name} was read once: that is no time at all.")
    return told


def break_remarks(interval: HeatInterval, zone: str) -> list[str]:
    """When a probe that counts was below the threshold, or silent."""
    told: list[str] = []
    for probe in interval.probes:
        if probe.counted:
            told += _breaks(probe.name, "below the threshold", probe.dips, zone)
            told += _breaks(probe.name, "without a reading", probe.holes, zone)
    return told


def asked_words(asked: AskedHeat) -> str:
    """``56 °C for 30 min``."""
    degrees = figures.trimmed(asked.at_least, 6)
    return f"{degrees} °{asked.temperature_unit.value} for {minutes_words(asked.for_minutes)}"


def published_words(row: HeatThreshold) -> str:
    """Who asks for as much, where in the wood, and how firmly that stands."""
    said = "" if row.standing is Standing.VERIFIED else " From memory: check it against the text itself."
    return f"As much is asked for {row.purpose}: {row.where}. {row.source}.{said}"


def verdict_words(interval: HeatInterval, zone: str) -> str:
    """Whether it was reached, and the longest unbroken time."""
    whose = "the air" if interval.air_only else "every probe in the wood"
    if interval.longest is None:
        return f"Not reached: at no moment did {whose} show as much."
    run = run_words(interval.longest, zone)
    if interval.air_only:
        return f"Nothing is said of the wood. Longest unbroken time of {whose}: {run}."
    reached = "Reached" if interval.reached else "Not reached"
    return f"{reached}. Longest unbroken time of {whose}: {run}."


def probe_line(probe: ProbeHeat, unit: TemperatureUnit, zone: str) -> str:
    """One probe: where it sat, how often it was read, its highest and its longest."""
    counted = "" if probe.counted else ", not counted"
    told = f"{probe_words(probe)}{counted}: {figures.count(probe.readings, 'reading')}"
    if probe.highest_c is not None:
        told += f", highest {figures.number(in_unit(probe.highest_c, unit), 1)} °{unit.value}"
    longest = (
        "never at the threshold" if probe.longest is None else f"longest {run_words(probe.longest, zone)}"
    )
    return f"{told}, {longest}."


def run_lines(interval: HeatInterval, zone: str, also: str = "") -> list[str]:
    """Every unbroken time where there are several, or the longest; ``also`` says where the others stand."""
    runs = list(interval.runs)
    if len(runs) < 2:
        return []
    shown = runs
    if len(runs) > MOST_RUNS:
        longest = sorted(runs, key=lambda run: run.from_s - run.until_s)[:MOST_RUNS]
        shown = sorted(longest, key=lambda run: run.from_s)
    lines = ["Every unbroken time:"] if shown is runs else [f"The {MOST_RUNS} longest unbroken times:"]
    lines += [f"  {run_words(run, zone)}" for run in shown]
    if (more := len(runs) - len(shown)) > 0:
        lines.append(f"  and {figures.count(more, 'shorter one')}{f'; {also}' if also else ''}.")
    return lines


def _breaks(name: str, what: str, stretches: tuple[Stretch, ...], zone: str) -> list[str]:
    told = [f"{name} {what}: {run_words(one, zone)}." for one in stretches[:MOST_BREAKS]]
    if (more := len(stretches) - MOST_BREAKS) > 0:
        told.append(f"{name} {what} {figures.count(more, 'more time')}.")
    return told


def rule_words() -> str:
    """By what rule the time is found."""
    holes = figures.trimmed(HOLE_INTERVALS, 1)
    return (
        "Counted from the first qualifying reading to the last; a reading of any counted probe below the "
        f"threshold breaks it, and so does a hole of more than {holes} usual intervals."
    )


def run_words(run: Stretch, zone: str) -> str:
    """``42 min, 2026-05-20 09:10 to 2026-05-20 09:52``."""
    begins, ends = moment_of(run.from_s, zone), moment_of(run.until_s, zone)
    if run.from_s == run.until_s:
        return f"one reading, {begins.text()}"
    return f"{minutes_words(run.minutes)}, {begins.text()} to {ends.text()}"


def minutes_words(minutes: float) -> str:
    """In the unit one would say it in, never rounded up to a time that was not reached."""
    if 0 < minutes < 1:
        return f"{figures.trimmed(minutes * 60, 1)} s"
    if minutes >= 120 and minutes % 60 == 0:
        return f"{figures.trimmed(minutes / 60, 0)} h"
    return f"{figures.trimmed(int(minutes * 10) / 10, 1)} min"
