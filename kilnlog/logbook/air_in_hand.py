"""The loggers' readings of a charge, reduced to what an assessment of it needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.kiln_now import altitude_m, kiln_of
from kilnlog.logbook.logger_cache import air_batches, kept_series
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference
from kilnlog.store.logbook_file import LogbookFile

if TYPE_CHECKING:
    from kilnlog.drying.air.digest import AirDigest
    from kilnlog.store.logger_readings import LoggerSeries


@dataclass(frozen=True, slots=True)
class _Kept:
    """The digest of all that a charge's loggers showed."""

    key: tuple[tuple[str, ...], float, str]
    last_s: float  # when the last reading was [s since 1970-01-01 00:00 UTC]
    digest: AirDigest


#: By file and charge. A file is used by the one thread that opened it, and so is what is kept of it.
_known: WeakKeyDictionary[LogbookFile, dict[str, _Kept]] = WeakKeyDictionary()


def logger_series(book: Logbook, record: ChargeRecord) -> tuple[LoggerSeries, ...]:
    """Every sensor's readings that count; read from the file only where a logger's file was imported."""
    if not air_batches(record):
        return ()
    return kept_series(book, record)


def air_digest(book: Logbook, record: ChargeRecord, reference: Reference, at: Moment) -> AirDigest | None:
    """What the loggers showed until ``at``, for ``assess``; None where none was imported.

    A million readings take most of a second to come out of the file, and the register asks for those of
    every open charge after each weight. So a digest is kept beside its file while the same batches count,
    the kiln's altitude is the same and ``at`` lies past its last reading.
    """
    batches = tuple(entry.version.uid for entry in air_batches(record))
    if not batches:
        return None
    known = _known.setdefault(book.file, {})
    key = (batches, altitude_m(kiln_of(facts_at(record, at))), record.particulars.zone)
    kept = known.get(record.entity)
    if kept is None or kept.key != key or at.utc.timestamp() < kept.last_s:
        series = logger_series(book, record)
        digest = digest_of(series, record, reference, at)
        last_s = max((float(one.at_s[-1]) for one in series), default=0.0)
        if digest is None or at.utc.timestamp() < last_s:
            return digest  # of a moment gone by: nobody asks twice
        kept = known[record.entity] = _Kept(key, last_s, digest)
    return kept.digest


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
