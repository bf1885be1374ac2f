"""Figures, units and dates as papers write them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Context, Decimal

from kilnlog.exchange.papers.options import PaperOptions

NOTHING = "–"
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
#: Holds a figure and its unit on one line.
TIE = "\u00a0"

#: Room for the digits of any figure a record can hold, so that a slip of the pen still prints.
_ALL_DIGITS = Context(prec=400)
_UNIT = {"m3": "m³", "C": "°C", "F": "°F"}


def figure(value: float | None, places: int = 1) -> str:
    """A figure with that many decimals, a true minus, thousands grouped from 10,000 on; a dash for none.

    Halves are rounded to the even digit, as pieces are counted (``drying.closing.statistics``): what is
    counted inside never reads as a figure outside.
    """
    if value is None:
        return NOTHING
    rounded = Decimal(str(value)).quantize(
        Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN, context=_ALL_DIGITS
    )
    text = f"{abs(rounded):,f}" if abs(rounded) >= 10_000 else f"{abs(rounded):f}"
    return f"−{text}" if rounded < 0 else text


def short(value: float | None, most: int = 2) -> str:
    """A figure as somebody would type it: without the noughts at its end."""
    text = figure(value, most)
    return text.rstrip("0").rstrip(".") if "." in text else text


def as_read(value: float | None) -> str:
    """A reading of a meter: a decimal at least, more where there were more."""
    text = short(value)
    return text if value is None or "." in text else f"{text}.0"


def pct(value: float | None, places: int = 1) -> str:
    """A percentage, its sign set off; a dash for none."""
    return NOTHING if value is None else f"{figure(value, places)}{TIE}%"


def short_pct(value: float | None) -> str:
    """A percentage as somebody would type it."""
    return NOTHING if value is None else f"{short(value)}{TIE}%"


def unit_words(unit: str) -> str:
    """A unit as papers print it."""
    return _UNIT.get(unit, unit)


def volume(value: float | None, unit: str | None) -> str:
    """Board feet to the foot from ten on, cubic metres to the litre."""
    if value is None:
        return NOTHING
    places = 3 if unit == "m3" else 0 if abs(value) >= 10 else 1
    shown = figure(value, places) if unit != "m3" else short(value, places)
    return f"{shown}{TIE}{unit_words(unit or '')}".strip()


def temperature(value: float | None, unit: str | None) -> str:
    """To the tenth where it was read to one."""
    return NOTHING if value is None else f"{short(value, 1)}{TIE}{unit_words(unit or '')}"


def minutes(value: float) -> str:
    """A time in minutes; in hours and minutes from two hours on. Never rounded up to one not reached."""
    if 0 < value < 1:
        return f"{short(value * 60, 1)}{TIE}s"
    if value < 120:
        return f"{short(int(value * 10) / 10, 1)}{TIE}min"
    whole = int(value)
    return f"{whole // 60}{TIE}h {whole % 60}{TIE}min" if whole % 60 else f"{whole // 60}{TIE}h"


def count(number: int, one: str, many: str | None = None) -> str:
    """``1 piece``, ``2 pieces``."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def pack_words(name: str) -> str:
    """A pack by its name, which may hold the word itself."""
    return name if "pack" in name.casefold() else f"pack {name}"


def listed(parts: Iterable[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    words = list(parts)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def sentence(text: str) -> str:
    """With a capital and a full stop."""
    text = text.strip()
    return text if not text else text[0].upper() + text[1:] + ("" if text[-1] in ".!?" else ".")


def moment_of(text: str) -> datetime:
    """A moment of the contents, with its own offset."""
    return datetime.fromisoformat(text)


def day(at: date, options: PaperOptions, with_year: bool = True) -> str:
    """The day in letters, so that no one takes the month for the day."""
    month = _MONTHS[at.month - 1]
    if options.month_first:
        return f"{month} {at.day}, {at.year}" if with_year else f"{month} {at.day}"
    return f"{at.day} {month} {at.year}" if with_year else f"{at.day} {month}"


def short_day(at: date, options: PaperOptions) -> str:
    """Day and short month, for axes and tables."""
    month = _MONTHS[at.month - 1][:3]
    return f"{month} {at.day}" if options.month_first else f"{at.day} {month}"


def moment(text: str | None, options: PaperOptions) -> str:
    """Day and time on the clock of the charge."""
    if text is None:
        return NOTHING
    at = moment_of(text)
    return f"{day(at, options)}, {at:%H:%M}"


def moments(begins: str, ends: str, options: PaperOptions) -> str:
    """From one moment to another, the day once where it is one day."""
    begin, end = moment_of(begins), moment_of(ends)
    until = f"{end:%H:%M}" if begin.date() == end.date() else moment(ends, options)
    return f"{moment(begins, options)} to {until}"


_MOMENT = r"\d{4}-\d\d-\d\d \d\d:\d\d"
_MOMENTS = re.compile(f"({_MOMENT})(?: to ({_MOMENT}))?")


def dated(text: str, options: PaperOptions) -> str:
    """A sentence of the contents with its moments (``2026-10-27 15:50``) in letters, as all others are."""

    def in_letters(found: re.Match[str]) -> str:
        begins, ends = found.groups()
        try:
            return moment(begins, options) if ends is None else moments(begins, ends, options)
        except ValueError:  # somebody's figures, of no day there is
            return found.group()

    return _MOMENTS.sub(in_letters, text)


def short_moment(text: str | None, options: PaperOptions) -> str:
    """Short day, year and time, for tables."""
    if text is None:
        return NOTHING
    at = moment_of(text)
    comma = "," if options.month_first else ""
    return f"{short_day(at, options)}{comma} {at.year}, {at:%H:%M}"


def days(first: str | None, last: str | None, options: PaperOptions) -> str:
    """From one day to another, month and year once where they are one."""
    if first is None or last is None:
        known = first or last
        return NOTHING if known is None else day(moment_of(known), options)
    begin, end = moment_of(first).date(), moment_of(last).date()
    if begin == end:
        return day(end, options)
    if (begin.year, begin.month) == (end.year, end.month):
        if options.month_first:
            return f"{day(begin, options, with_year=False)} to {end.day}, {end.year}"
        return f"{begin.day} to {day(end, options)}"
    return f"{day(begin, options, with_year=begin.year != end.year)} to {day(end, options)}"
