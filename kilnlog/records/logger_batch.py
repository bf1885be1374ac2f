"""What one import took from a logger's file: the particulars here, the readings day by day beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from kilnlog.records.moment import Moment
from kilnlog.records.references import ChargeRef
from kilnlog.records.words import LoggerClock, ProbePlace, SecondReading, TemperatureUnit


@dataclass(frozen=True, slots=True)
class LoggerBatch:
    """The readings of one sensor out of one file, as imported.

    ``rows``, ``first_at``, ``last_at`` and ``digest`` are worked out by the store from the readings; the
    entry is observed at ``first_at``. A correction may name another sensor or unit; the readings stay those
    of the first version.
    """

    charge: ChargeRef
    sensor: str
    file_name: str  # without its folder
    file_sha256: str  # of the whole file, in hex
    clock: LoggerClock  # what the logger's clock was taken to show
    temperature_unit: TemperatureUnit  # of the dry bulb, and of the wet bulb
    second: SecondReading | None = None  # what stands beside the dry bulb; None: nothing
    rows: int = 0
    first_at: Moment | None = None
    last_at: Moment | None = None
    digest: str | None = None  # SHA-256 over the readings, in hex: see ``kilnlog.store.logger_digest``
    placed_in: ProbePlace | None = None  # where a probe sat while heated; None: a sensor of the kiln's air


@dataclass(frozen=True, slots=True)
class LoggerDay:
    """The readings of one batch on one day of UTC.

    Attributes:
        day: The day in UTC.
        text: JSON, ``[[utc_s,dry,second],...]``, rising in time: seconds since 1970-01-01 00:00 UTC without
            leap seconds, then two numbers with the decimals the logger wrote, ``null`` where it wrote none.
    """

    day: date
    text: str

    @classmethod
    def from_rows(cls, day: date, rows: Iterable[tuple[int, str | None, str | None]]) -> LoggerDay:
        """The day's text from (seconds UTC, dry bulb, wet bulb or RH), numbers with a decimal point."""
        listed = ",".join(
            f"[{at_s},{number_literal(dry)},{number_literal(second)}]" for at_s, dry, second in rows
        )
        return cls(day, f"[{listed}]")


def number_literal(text: str | None) -> str:
    """A number as JSON writes it, with all the decimals of the text; ``null`` for None.

    Raises ``decimal.InvalidOperation`` where the text is no number.

    >>> number_literal("+71.50"), number_literal(".5"), number_literal("-0.10"), number_literal("007")
    ('71.50', '0.5', '-0.10', '7')
    """
    return "null" if text is None else f"{Decimal(text):f}"
