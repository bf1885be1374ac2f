"""The readings of the loggers in hand, kept beside their file: what a followed file adds is all that is read.

A million readings take most of a second to come out of the file; a logger that is followed adds one, and the
curve is to show it within that second.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from kilnlog.logbook.session import Logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.version import Entry, current_entries
from kilnlog.store.logbook_file import LogbookFile

if TYPE_CHECKING:
    from kilnlog.store.logger_readings import LoggerSeries


@dataclass(frozen=True, slots=True)
class _Kept:
    """All that the loggers of one charge showed."""

    charge: str
    batches: tuple[str, ...]  # the versions that count, in the order they were written
    series: tuple[LoggerSeries, ...]


#: One charge a file: the readings of every open one would fill the memory. A file is used by the one thread
#: that opened it, and so is what is kept of it.
_known: WeakKeyDictionary[LogbookFile, _Kept] = WeakKeyDictionary()


def kept_series(book: Logbook, record: ChargeRecord) -> tuple[LoggerSeries, ...]:
    """Every sensor's readings that count, as the file gives them; the arrays are not to be changed."""
    batches = air_batches(record)
    uids = tuple(entry.version.uid for entry in batches)
    kept, series = _known.get(book.file), None
    if kept is not None and kept.charge == record.entity and uids[: len(kept.batches)] == kept.batches:
        series = _grown(book, kept.series, batches[len(kept.batches) :])
    if series is None:
        series = book.file.logger_series(record.entity)
    _known[book.file] = _Kept(record.entity, uids, series)
    return series


def air_batches(record: ChargeRecord) -> tuple[Entry[LoggerBatch], ...]:
    """The batches that count and are of the kiln's air, in the order written; probes in the wood are not."""
    return tuple(entry for entry in current_entries(record.logger_batch) if entry.fact.placed_in is None)


def _grown(
    book: Logbook, series: tuple[LoggerSeries, ...], batches: tuple[Entry[LoggerBatch], ...]
) -> tuple[LoggerSeries, ...] | None:
    """The series with these batches at their ends; None where one does not belong at the end of any."""
    if not batches:
        return series
    import numpy as np  # noqa: PLC0415  # slow to load, and most charges have no logger's readings

    from kilnlog.store.logger_readings import readings_of  # noqa: PLC0415  # as above

    grown = {(one.sensor, one.temperature_unit, one.second_is): one for one in series}
    for entry in batches:
        fact = entry.fact
        key = (fact.sensor, fact.temperature_unit, fact.second)
        one = grown.get(key)
        values = np.concatenate([readings_of(day.text) for day in book.file.logger_days(entry.entity)])
        if one is None or values[0, 0] <= one.at_s[-1]:
            return None
        at_s, dry, second = (
            np.concatenate((before, more))
            for before, more in zip((one.at_s, one.dry, one.second), values.T, strict=True)
        )
        grown[key] = replace(one, at_s=at_s, dry=dry, second=second)
    return tuple(grown.values())
