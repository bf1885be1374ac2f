"""What a cell says, by what its column holds: read exactly or refused with the reason."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum

from kilnlog.exchange.columns import Column, Holds
from kilnlog.exchange.errors import NotWhole, NotYesOrNo, TurnedIntoDate
from kilnlog.exchange.raw_tables import Cell
from kilnlog.records.errors import MissingValue, OutOfRange, UnknownWord, UnreadableNumber, UnreadableTime
from kilnlog.records.moment import Moment
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import Weight, WeightUnit

_PLAIN_NUMBER = re.compile(r"-?\d{1,17}(?:\.\d{1,330})?(?:e[+-]?\d{1,3})?", re.ASCII)
_LETTERS = re.compile(r"[A-Za-z]", re.ASCII)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_FRACTION = re.compile(r"(?P<before>:\d{2}:\d{2})\.(?P<fraction>\d{1,6})", re.ASCII)
_ZONE = re.compile(r"(?P<time>.*)\[(?P<zone>[^\[\]]+)\]", re.DOTALL)

#: Years a kiln's clock can have shown; others are slips of typing, and 1900 is what a sheet makes of a span.
FIRST_YEAR, LAST_YEAR = 1901, 2199


def text_of(cell: Cell) -> str:
    """A cell as text, as a spreadsheet would show it: numbers plainly, dates as ``2025-03-01``."""
    if isinstance(cell, datetime):
        clock = "" if cell.time() == datetime.min.time() else " %H:%M" if not cell.second else " %H:%M:%S"
        return cell.strftime(f"%Y-%m-%d{clock}")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, float):
        return _plain(cell)
    return cell


def _plain(number: float) -> str:
    """The number without what binary fractions add: spreadsheets keep 15 digits."""
    return f"{Decimal(f'{number:.15g}'):f}"


def name_from(cell: Cell) -> str:
    """A name that other rows may refer to; blanks around it do not count."""
    return text_of(cell).strip()


def measure_from(cell: Cell) -> str:
    """Text such as ``4/4``; raises ``TurnedIntoDate`` where a spreadsheet took it for a date."""
    if isinstance(cell, date):
        raise TurnedIntoDate(typed=text_of(cell))
    return text_of(cell)


def number_from(cell: Cell, column: Column) -> float:
    """A number within the column's range."""
    if isinstance(cell, date):
        raise TurnedIntoDate(typed=text_of(cell))
    if isinstance(cell, float):
        number = cell
    elif _PLAIN_NUMBER.fullmatch(cell.strip()):
        number = float(cell)
    else:
        with _told_of_files():
            number = float(number_from_text(cell, negative=True))
    if (
        (column.low is not None and number < column.low)
        or (column.high is not None and number > column.high)
        or (column.above is not None and number <= column.above)
    ):
        low = column.low if column.low is not None else column.above
        raise OutOfRange(column=column.name, value=text_of(cell), low=low, high=column.high)
    return number + 0.0  # no minus zero: it would not come back from every spreadsheet


def count_from(cell: Cell, column: Column) -> int:
    """A whole number within the column's range."""
    number = number_from(cell, column)
    if not number.is_integer():
        raise NotWhole(typed=text_of(cell))
    return int(number)


def word_from(cell: Cell, words: type[StrEnum], column: str) -> StrEnum:
    """One of the column's few words, capitals or not."""
    typed = " ".join(text_of(cell).split())
    for word in words:
        if typed.casefold() == word.value.casefold():
            return word
    raise UnknownWord(column=column, value=typed, known=tuple(word.value for word in words))


def yes_or_no_from(cell: Cell) -> bool:
    """``yes`` or ``no``, capitals or not, or a spreadsheet's own true and false."""
    typed = text_of(cell).strip().casefold()
    if typed in ("yes", "true"):
        return True
    if typed in ("no", "false"):
        return False
    raise NotYesOrNo(typed=text_of(cell))


def moment_from(cell: Cell, zone: str, *, day_will_do: bool = False) -> Moment:
    """A moment in ``zone``, or in the zone the text itself names (``2025-03-01 08:30[Europe/Vienna]``).

    Raises ``UnreadableTime``; besides the reasons of ``Moment.from_text``, its ``why`` may be ``year`` or
    ``day-alone``.
    """
    typed = text_of(cell)
    text = typed.strip()
    if isinstance(cell, float):
        raise UnreadableTime(typed=typed, zone=zone, why="form")
    if isinstance(cell, datetime):
        # A sheet keeps days as binary fractions, so a full second may come back a hair short.
        text = (cell + timedelta(milliseconds=500)).strftime("%Y-%m-%d %H:%M:%S")
    if named := _ZONE.fullmatch(text):  # as RFC 9557 writes it
        text, zone = named["time"], named["zone"]
    if day_will_do and _DAY.fullmatch(text):
        text += " 00:00"
    elif _DAY.fullmatch(text):
        raise UnreadableTime(typed=typed, zone=zone, why="day-alone")
    if text[:4].isdigit() and not FIRST_YEAR <= int(text[:4]) <= LAST_YEAR:
        raise UnreadableTime(typed=typed, zone=zone, why="year")
    fraction = timedelta()
    if found := _FRACTION.search(text):
        fraction = timedelta(microseconds=int(found["fraction"].ljust(6, "0")))
        text = text[: found.end("before")] + text[found.end() :]
    try:
        moment = Moment.from_text(text, zone)
    except UnreadableTime as error:
        raise UnreadableTime(typed=typed, zone=zone, why=error.values["why"]) from error
    except (ValueError, OverflowError) as error:  # an offset no clock has
        raise UnreadableTime(typed=typed, zone=zone, why="form") from error
    return Moment(moment.utc + fraction, zone) if fraction else moment


def instant_from(cell: Cell, zone: str) -> datetime:
    """An instant of the machine's clock [UTC]; without an offset it is read in ``zone``."""
    return moment_from(cell, zone).utc.astimezone(UTC)


def weight_from(cell: Cell, unit: WeightUnit | None, typed: Cell | None) -> Weight:
    """A weight; ``typed`` is its text as the operator typed it, where that is not what the cell says.

    Raises ``MissingValue`` (of ``weight_unit``) where neither the row nor the text says the unit.
    """
    if isinstance(cell, date):
        raise TurnedIntoDate(typed=text_of(cell))
    text = text_of(cell)
    if unit is None and not _LETTERS.search(text):
        raise MissingValue(column="weight_unit")
    with _told_of_files():
        weight = weight_from_text(text, unit or WeightUnit.G)
    return replace(weight, text=text_of(typed)) if typed else weight


@contextmanager
def _told_of_files() -> Iterator[None]:
    """In files the decimal mark is a point, whatever the operator's own is; a comma is told as one."""
    try:
        yield
    except UnreadableNumber as error:
        if error.values.get("why") != "other-mark":
            raise
        raise UnreadableNumber(typed=error.values["typed"], why="comma") from error


def value_from(cell: Cell, column: Column, zone: str) -> object:
    """What a cell says that needs nothing from its neighbours: all but names and weights."""
    return _READERS[column.holds](cell, column, zone)


def _word(cell: Cell, column: Column, _: str) -> StrEnum:
    assert column.words is not None
    return word_from(cell, column.words, column.name)


_READERS: Mapping[Holds, Callable[[Cell, Column, str], object]] = {
    Holds.TEXT: lambda cell, _, __: text_of(cell),
    Holds.MEASURE: lambda cell, _, __: measure_from(cell),
    Holds.NUMBER: lambda cell, column, _: number_from(cell, column),
    Holds.COUNT: lambda cell, column, _: count_from(cell, column),
    Holds.WORD: _word,
    Holds.YES_NO: lambda cell, _, __: yes_or_no_from(cell),
    Holds.MOMENT: lambda cell, column, zone: moment_from(cell, zone, day_will_do=column.day_will_do),
}
