"""How one logger writes its files: what was recognised, and what is not certain."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from hashlib import sha256
from typing import Any

from kilnlog.exchange.logger.headings import unit_in
from kilnlog.records.words import LoggerClock, ProbePlace, SecondReading, TemperatureUnit


class DateOrder(StrEnum):
    """In which order a date is written."""

    YEAR_FIRST = "year first"
    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


class Unsure(StrEnum):
    """What the file itself did not tell, so that somebody has to be asked."""

    DATE_ORDER = "date order"  # 03/04/2026 and nothing that decides
    UNIT = "temperature unit"
    SECOND = "second reading"  # whether the other column is the wet bulb or RH, or which column it is
    DRY = "dry bulb"  # which column it is
    CLOCK = "clock"  # nearly always: a stamp does not say by which clock it was made


#: Without an answer to these nothing is read; the clock has a usual answer, local time.
MUST_BE_ANSWERED = (Unsure.DRY, Unsure.DATE_ORDER, Unsure.UNIT, Unsure.SECOND)


@dataclass(frozen=True, slots=True)
class LoggerFormat:
    """How a logger's file is read. Columns are counted from 0.

    Attributes:
        encoding: Name of a Python codec.
        delimiter: What divides the columns: ``,`` ``;`` or a tab.
        decimal_mark: ``.`` or ``,``.
        heading_lines: How many lines stand before the first row.
        headings: What is written over each column, as many as there are columns.
        stamp_column: Date and time, or the date alone.
        time_column: The time, where it has a column of its own.
        date_order: As the dates are read.
        dry_column: Dry bulb, or the only temperature; None: not measured.
        second_column: Wet bulb or RH; None: not measured.
        second: Which of them; None only where there is no such column.
        temperature_unit: Of dry and wet bulb.
        clock: What the logger's clock is taken to show; of no consequence where ``has_offset``.
        has_offset: Every stamp carries its own offset from UTC.
        newest_first: The last reading stands at the top.
        interval_s: Usual time between readings [s]; None where the sample held too few.
        placed_in: Where it sits while the wood is heated: then one temperature is read, in ``dry_column``,
            and nothing beside it; None: it reads the kiln's air.
        unsure: What the file did not tell; a value stands for each of them all the same, the likeliest.
    """

    encoding: str
    delimiter: str
    decimal_mark: str
    heading_lines: int
    headings: tuple[str, ...]
    stamp_column: int
    time_column: int | None
    date_order: DateOrder
    dry_column: int | None
    second_column: int | None
    second: SecondReading | None
    temperature_unit: TemperatureUnit
    clock: LoggerClock = LoggerClock.LOCAL
    has_offset: bool = False
    newest_first: bool = False
    interval_s: int | None = None
    placed_in: ProbePlace | None = None
    unsure: frozenset[Unsure] = frozenset()

    @property
    def to_ask(self) -> tuple[Unsure, ...]:
        """What must be answered before the file can be read, in the order to ask it."""
        return tuple(each for each in MUST_BE_ANSWERED if each in self.unsure)

    @property
    def shape(self) -> str:
        """The same for every file this logger writes: its columns and their headings, as a short name."""
        told = "\x1f".join((self.delimiter, str(self.stamp_column), str(self.time_column), *self.headings))
        return sha256(told.encode()).hexdigest()[:16]

    def answered(self, *settled: Unsure, **values: Any) -> LoggerFormat:
        """With these fields set by somebody who knows; what was ``settled`` is no longer asked.

        A field's own question is settled with it, so ``answered(date_order=...)`` is enough.
        """
        done = {*settled, *(_ANSWERS[name] for name in values if name in _ANSWERS)}
        return replace(self, **values, unsure=self.unsure - done)

    def as_probe(self, placed_in: ProbePlace) -> LoggerFormat:
        """Read as that of a probe: one temperature, and nothing beside it.

        Of two columns that nothing names, either may be the probe's: which one is then to be asked.
        """
        is_open = self.dry_column is None or Unsure.SECOND in self.unsure
        probe = self.answered(placed_in=placed_in, second_column=None, second=None)
        return replace(probe, unsure=probe.unsure | {Unsure.DRY}) if is_open else probe


_ANSWERS = {
    "date_order": Unsure.DATE_ORDER,
    "temperature_unit": Unsure.UNIT,
    "second": Unsure.SECOND,
    "second_column": Unsure.SECOND,
    "dry_column": Unsure.DRY,
    "clock": Unsure.CLOCK,
}

#: What an operator may have chosen, and what therefore is remembered for the logger.
_CHOSEN = (
    "decimal_mark",
    "date_order",
    "dry_column",
    "second_column",
    "second",
    "temperature_unit",
    "clock",
    "placed_in",
)


def choices(form: LoggerFormat) -> dict[str, Any]:
    """What was chosen, as plain data, to be remembered; see ``with_choices``."""
    told = asdict(form)
    return {name: told[name] for name in _CHOSEN}


def with_choices(form: LoggerFormat, kept: dict[str, Any]) -> LoggerFormat:
    """A format just recognised, with what was chosen for this logger before.

    Raises ``KeyError`` or ``ValueError`` where ``kept`` is not what ``choices`` gave. What this file's own
    dates and decimals show stays as recognised, and so does a unit that its cells or the lines above tell: a
    logger may be set to the other. One that its headings tell was there when it was overruled.
    """
    chosen = dict(kept)
    order, second = DateOrder(chosen["date_order"]), chosen["second"]
    placed_in = chosen.get("placed_in")  # not among what earlier versions remembered
    temperatures = (
        chosen["dry_column"],
        chosen["second_column"] if second == SecondReading.WET_BULB else None,
    )
    overs = [form.headings[each] for each in temperatures if each is not None and each < len(form.headings)]
    is_told_here = Unsure.UNIT not in form.unsure and unit_in(overs, (), ()) is None
    return form.answered(
        decimal_mark="," if form.decimal_mark == "," else str(chosen["decimal_mark"]),
        date_order=order if Unsure.DATE_ORDER in form.unsure else form.date_order,
        dry_column=chosen["dry_column"],
        second_column=chosen["second_column"],
        second=None if second is None else SecondReading(second),
        temperature_unit=form.temperature_unit
        if is_told_here
        else TemperatureUnit(chosen["temperature_unit"]),
        clock=form.clock if form.has_offset else LoggerClock(chosen["clock"]),
        placed_in=None if placed_in is None else ProbePlace(placed_in),
    )
