"""One charge with all that its views need: the record, and the air its loggers showed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.kiln_now import altitude_m, kiln_of
from kilnlog.logbook.air_in_hand import digest_of, logger_series
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference

if TYPE_CHECKING:
    from kilnlog.drying.air.digest import AirDigest
    from kilnlog.drying.air.lines import AirLine
    from kilnlog.store.logger_readings import LoggerSeries


@dataclass(frozen=True)
class LoggedAir:
    """The readings of a charge's loggers: reduced for the assessment, and laid out to be drawn.

    Attributes:
        digest: Of what is kept.
        kept: What is kept, a line for each sensor.
        waiting: Read from a followed file and not kept yet.
    """

    digest: AirDigest | None = None
    kept: tuple[AirLine, ...] = ()
    waiting: AirLine | None = field(default=None, compare=False)

    @cached_property
    def lines(self) -> tuple[AirLine, ...]:
        """All that is to be drawn."""
        if self.waiting is None:
            return self.kept
        from kilnlog.drying.air.continued import continued_lines  # noqa: PLC0415  # as below

        return continued_lines(self.kept, self.waiting)


def charge_in_hand(
    book: Logbook, entity: str, reference: Reference, at: Moment
) -> tuple[ChargeRecord, LoggedAir]:
    """Read a charge and the air of its loggers until ``at``; raises ``KeyError`` where there is no such."""
    record = book.file.charge_record(entity)
    return record, logged_air(book, record, reference, at)


def logged_air(book: Logbook, record: ChargeRecord, reference: Reference, at: Moment) -> LoggedAir:
    """The air of its loggers; it stays true until a file is read in, or the kiln is described anew."""
    series = logger_series(book, record)
    if not series:
        return LoggedAir()
    return LoggedAir(digest_of(series, record, reference, at), _lines(series, record, at))


def waiting_line(series: LoggerSeries | None, record: ChargeRecord, at: Moment) -> AirLine | None:
    """What a followed file brought and nobody kept yet, laid out to be drawn; a probe's is no kiln air."""
    if series is None or series.placed_in is not None:
        return None
    return next(iter(_lines((series,), record, at)))


def _lines(series: Sequence[LoggerSeries], record: ChargeRecord, at: Moment) -> tuple[AirLine, ...]:
    from kilnlog.drying.air.lines import logger_lines  # noqa: PLC0415  # loads numpy, wanted by few charges
    from kilnlog.drying.air.moist_air import pressure_pa  # noqa: PLC0415  # as above

    return logger_lines(series, pressure_pa(altitude_m(kiln_of(facts_at(record, at)))))
