"""The loggers' readings of a charge, reduced to what an assessment of it needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.kiln_now import altitude_m, kiln_of
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.reference.tables import Reference

if TYPE_CHECKING:
    from kilnlog.drying.air.digest import AirDigest
    from kilnlog.store.logger_readings import LoggerSeries


def logger_series(book: Logbook, record: ChargeRecord) -> tuple[LoggerSeries, ...]:
    """Every sensor's readings that count; read from the file only where a logger's file was imported."""
    if next(current_entries(record.logger_batch), None) is None:
        return ()
    return book.file.logger_series(record.entity)


def air_digest(book: Logbook, record: ChargeRecord, reference: Reference, at: Moment) -> AirDigest | None:
    """What the loggers showed until ``at``, for ``assess``; None where none was imported.

    It stays true until another file is imported, or the kiln's altitude changes.
    """
    return digest_of(logger_series(book, record), record, reference, at)


def digest_of(
    series: tuple[LoggerSeries, ...], record: ChargeRecord, reference: Reference, at: Moment
) -> AirDigest | None:
    """As ``air_digest``, of readings at hand."""
    if not series:
        return None
    # numpy is slow to load, and most charges that are only looked at have no logger's readings.
    from kilnlog.drying.air.digest import logger_digest  # noqa: PLC0415  # as above
    from kilnlog.drying.air.moist_air import pressure_pa  # noqa: PLC0415  # as above

    kiln = kiln_of(facts_at(record, at))
    return logger_digest(series, at, pressure_pa(altitude_m(kiln)), reference)
