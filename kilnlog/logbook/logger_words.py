"""What became of a logger's file, in words."""

from __future__ import annotations

from collections import Counter

from kilnlog.exchange.logger.chunk import SetAside
from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.logbook import figures
from kilnlog.logbook.reading_logger import LoggerReading
from kilnlog.records.words import LoggerClock, ProbePlace, SecondReading

#: More holes than this are a logger that was off more than on; the first ones show it.
MOST_HOLES = 10

_CLOCKS = {
    LoggerClock.LOCAL: "local time with daylight saving",
    LoggerClock.STANDARD: "local standard time all year",
    LoggerClock.UTC: "UTC",
}

_PLACES = {
    ProbePlace.CORE: "of a probe in the core of the wood",
    ProbePlace.AIR: "of a probe in the air near the wood",
}


def clock_words(form: LoggerFormat) -> str:
    """By which clock the stamps were read."""
    return "the offset each stamp carries" if form.has_offset else _CLOCKS[form.clock]


def reading_text(
    reading: LoggerReading,
    form: LoggerFormat,
    file_name: str,
    to_mend: str = "see --clock standard",
    to_part: str = "read the file again with --sensor and a name for it",
) -> str:
    """Every count with its reason, the span, and each hole with its length, a line each.

    ``to_mend``: what to do where the logger's clock seems to be another; ``to_part``: where its readings
    may be those of another sensor.
    """
    kept, there = figures.count(reading.kept, "reading"), figures.number(reading.already_there)
    lines = [f"{file_name}, sensor {reading.sensor}: {figures.count(reading.rows, 'row')}, {kept} new."]
    if reading.already_there:
        lines.append(f"{there} of them were in the logbook already.")
    if reading.differing:
        lines.append(
            f"{figures.number(reading.differing)} differ from what the logbook has of this sensor at the "
            f"same times and were left out. If they are of another logger, {to_part}."
        )
    if reading.outside_stay:
        lines.append(
            f"{figures.number(reading.outside_stay)} of the new ones lie more than a day before the charge "
            "was loaded or after it was unloaded: is it the right charge, and the right clock?"
        )
    if reading.first is not None and reading.last is not None:
        lines.append(f"From {reading.first.text()} to {reading.last.text()}, by {clock_words(form)}.")
    lines.append(_read_as(form))
    for reason, number in sorted(reading.set_aside.items(), key=lambda each: (-each[1], each[0])):
        lines.append(f"Set aside: {figures.number(number)} × {reason}.")
    if SetAside.SKIPPED in reading.set_aside:
        lines.append(f"The logger’s clock may not follow daylight saving: {to_mend}.")
    for hole in reading.holes[:MOST_HOLES]:
        long = figures.duration(hole.hours)
        lines.append(f"No readings for {long}, from {hole.from_at.text()} to {hole.to_at.text()}.")
    if (more := len(reading.holes) - MOST_HOLES) > 0:
        lines.append(f"And {figures.count(more, 'more hole')}.")
    return "\n".join(lines)


def aside_words(aside: Counter[str]) -> str:
    """``, 3 rows set aside: wet bulb above dry bulb``; of several reasons the most frequent."""
    if not aside:
        return ""
    reason = aside.most_common(1)[0][0]
    mostly = "mostly " if len(aside) > 1 else ""
    return f", {figures.count(aside.total(), 'row')} set aside: {mostly}{reason}"


def _read_as(form: LoggerFormat) -> str:
    """What the columns were taken for."""
    unit = f"°{form.temperature_unit}"
    if form.placed_in is not None and form.dry_column is not None:
        column = form.dry_column + 1
        told = f"temperatures {_PLACES[form.placed_in]}, in {unit} from column {column}"
        return f"Read as {told}; not shown with the kiln’s air; dates {form.date_order}."
    dry = None if form.dry_column is None else f"dry bulb in {unit} from column {form.dry_column + 1}"
    second = None
    if form.second_column is not None:
        name = f"wet bulb in {unit}" if form.second is SecondReading.WET_BULB else "RH"
        second = f"{name} from column {form.second_column + 1}"
    told = " and ".join(each for each in (dry, second) if each is not None)
    return f"Read as {told}; dates {form.date_order}."
