"""The logbook file: the one door through which rows come in, and how they are read back."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import fields, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from kilnlog import __version__
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.errors import KilnlogError
from kilnlog.records.facts import TABLE_OF, TABLES, Fact
from kilnlog.records.logger_batch import LoggerBatch, LoggerDay
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History, current_entries, histories
from kilnlog.store.backing_up import back_up
from kilnlog.store.closing_rows import unfit_closings
from kilnlog.store.connection import connected, let_go
from kilnlog.store.errors import DamagedLogbook
from kilnlog.store.fact_tables import fact_table, utc_text
from kilnlog.store.ledger import LedgerHead, append, head_of
from kilnlog.store.migrations import migrate
from kilnlog.store.opening import Opened, opened
from kilnlog.store.placing import placed
from kilnlog.store.refusals import telling
from kilnlog.store.refused_rows import refusal
from kilnlog.store.verifying import Misfit, Progress, misfits

if TYPE_CHECKING:
    from kilnlog.store.logger_readings import LoggerSeries

#: The ending of a logbook file's name.
SUFFIX = ".kilnlog"

_RECORD_TABLES = tuple(field.name for field in fields(ChargeRecord))


class LogbookFile:
    """One open logbook. Made on one thread, it may be worked on by one other, one call at a time.

    Attributes:
        path: The file.
        uid: The logbook's own uid, given when it was created.
        why_read_only: None where rows may be written, else the reason why not.
    """

    def __init__(self, path: Path, found: Opened) -> None:
        self.path = path
        self.why_read_only: KilnlogError | None = found.why_read_only
        self._connection = found.connection
        self._lock = found.lock
        self._head: LedgerHead | None = None  # the ledger's while a transaction is open
        with telling(path):
            named = self._connection.execute("SELECT uid FROM logbook").fetchone()
        if named is None:
            raise DamagedLogbook(path=str(path), why="schema", detail="no uid")
        self.uid: str = named[0]

    @classmethod
    def create(cls, path: Path) -> LogbookFile:
        """Make a new, empty logbook file and open it; raises ``AlreadyExists`` rather than touch another."""
        path = Path(path)
        with placed(path) as making, telling(path):
            connection = connected(making, "rwc")
            try:
                connection.execute("BEGIN IMMEDIATE")
                migrate(connection)
                connection.execute(
                    "INSERT INTO logbook (uid, made_utc, program_version) VALUES (?, ?, ?)",
                    (uuid.uuid4().hex, utc_text(datetime.now(UTC)), __version__),
                )
                connection.execute("COMMIT")
            finally:
                connection.close()
        return cls.open(path)

    @classmethod
    def open(cls, path: Path, *, read_only: bool = False) -> LogbookFile:
        """Open a logbook file for writing; only for reading where asked, or where no more can be had."""
        path = Path(path)
        found = opened(path, read_only=read_only)
        try:
            return cls(path, found)
        except BaseException:
            let_go(found.connection)
            if found.lock is not None:
                found.lock.release()
            raise

    @property
    def read_only(self) -> bool:
        """Whether rows cannot be written; ``why_read_only`` says why."""
        return self.why_read_only is not None

    def close(self) -> None:
        """Close the file; what was not committed is gone. Closing twice does no harm."""
        if self._lock is None:
            self._connection.close()
        else:
            let_go(self._connection)
            self._lock.release()
            self._lock = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def immediate(self) -> Iterator[None]:
        """One transaction: the rows inserted inside are kept all or none; once it ends they are on disk."""
        if self.why_read_only is not None:
            raise self.why_read_only
        if self._head is not None:
            raise RuntimeError("a transaction is already open")
        with telling(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                self._head = head_of(self._connection, self.uid)
                yield
                if not self._connection.in_transaction:
                    raise RuntimeError("the transaction was given up after a refused row")
                self._connection.execute("COMMIT")
            finally:
                self._head = None
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")

    def insert(self, entry: Entry[Any]) -> Entry[Any]:
        """Write one row and its ledger line, inside ``immediate()``. Returns the entry as written.

        That is the entry given, except for a closing: the ledger's head before it is filled in here.
        A refusal gives the whole transaction up.
        """
        if self._head is None:
            raise RuntimeError("insert() outside immediate()")
        if isinstance(entry.fact, Closing):
            sealed = replace(entry.fact, ledger_number=self._head.number, ledger_head=self._head.hash_hex)
            entry = Entry(entry.version, sealed)
        mapping = fact_table(TABLE_OF[type(entry.fact)])
        try:
            row = mapping.row_of(entry)
            self._connection.execute(mapping.insert_sql, tuple(row.values()))
            self._head = append(self._connection, self.uid, self._head, mapping.table, row)
        except BaseException as error:
            if (told := self._given_up(error, entry)) is None:
                raise
            raise told from error
        return entry

    def _given_up(self, error: BaseException, entry: Entry[Any]) -> KilnlogError | None:
        """Give the transaction up; what the operator is told, or None where the error speaks for itself."""
        told = refusal(error, entry, self._connection, self.path)
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")
        return told

    def insert_logger_batch(self, entry: Entry[LoggerBatch], days: Iterable[LoggerDay]) -> Entry[LoggerBatch]:
        """Write a logger's batch with its readings, inside ``immediate()``. Returns the entry as written.

        Days come in ascending order and are taken one at a time; none of their instants may be among those
        ``logger_series`` or ``probe_series`` gives for the same sensor in the same place. Count, first and
        last instant and digest are filled in, and the entry is observed at the first. A refusal gives the
        whole transaction up.
        """
        if self._head is None:
            raise RuntimeError("insert_logger_batch() outside immediate()")
        from kilnlog.store import logger_readings  # noqa: PLC0415 - numpy is slow to load

        version = entry.version
        try:
            written = logger_readings.write_days(self._connection, version.uid, entry.fact, days)
        except BaseException as error:
            if (told := self._given_up(error, entry)) is None:
                raise
            raise told from error
        first_at, last_at = (
            Moment(datetime.fromtimestamp(at_s, UTC), version.observed_at.zone)
            for at_s in (written.first_s, written.last_s)
        )
        batch = replace(
            entry.fact, rows=written.rows, first_at=first_at, last_at=last_at, digest=written.digest
        )
        return self.insert(Entry(replace(version, observed_at=first_at), batch))

    def logger_series(self, charge: str, sensor: str | None = None) -> tuple[LoggerSeries, ...]:
        """The logger readings of the kiln's air that count, of one sensor where one is named, as arrays.

        One series for each sensor; two where it was read in two units or two ways. Probes placed in the wood
        or beside it while it is heated are no sensors of the air: see ``probe_series``.
        """
        from kilnlog.store import logger_readings  # noqa: PLC0415 - numpy is slow to load

        with telling(self.path):
            return logger_readings.series(self._connection, charge, sensor)

    def probe_series(self, charge: str, probe: str | None = None) -> tuple[LoggerSeries, ...]:
        """The logger readings of the probes that count, of one where one is named, as arrays.

        One series for each probe and place, as ``placed_in`` says; two where it was read in two units.
        """
        from kilnlog.store import logger_readings  # noqa: PLC0415 - numpy is slow to load

        with telling(self.path):
            return logger_readings.series(self._connection, charge, probe, probes=True)

    def logger_batches(self, charge: str) -> tuple[Entry[LoggerBatch], ...]:
        """The batches of a charge that count, in the order written, those of probes among them."""
        return tuple(current_entries(histories(self.entries("logger_batch", charge=charge))))

    def logger_days(self, batch: str) -> Iterator[LoggerDay]:
        """The readings of a batch (its entity) as they are kept, day by day."""
        from kilnlog.store import logger_readings  # noqa: PLC0415 - numpy is slow to load

        with telling(self.path):
            yield from logger_readings.days_of(self._connection, batch)

    def close_charge(self, entry: Entry[Closing]) -> Entry[Closing]:
        """Write a closing or a reopening, sealed with the ledger's head, inside ``immediate()``."""
        return self.insert(entry)

    @contextmanager
    def _one_view(self) -> Iterator[None]:
        """Let several reads see the file at one moment, though another program may be writing."""
        with telling(self.path):
            if self._connection.in_transaction:
                yield
                return
            self._connection.execute("BEGIN")
            try:
                yield
            finally:
                if self._connection.in_transaction:
                    self._connection.execute("COMMIT")

    def _rows(self, table: str, charge: str | None) -> list[Entry[Any]]:
        mapping = fact_table(table)
        asked: tuple[str, ...] = ()
        sql = mapping.select_sql
        if charge is not None and (mapping.names_a_charge or table == "charge"):
            sql += f" WHERE {'entity' if table == 'charge' else 'charge'} = ?"
            asked = (charge,)
        return list(map(mapping.entry_of, self._connection.execute(sql + " ORDER BY id", asked)))

    def entries(self, table: str, *, charge: str | None = None) -> list[Entry[Any]]:
        """Every row of a table in the order written, of one charge (its entity) where one is named.

        Tables that belong to no charge are given whole.
        """
        if table not in TABLES:
            raise KeyError(table)
        with self._one_view():
            return self._rows(table, charge)

    def history(self, table: str, entity: str) -> History[Any]:
        """Every version of one fact, oldest first; raises ``KeyError`` where there is none."""
        mapping = fact_table(table)
        with telling(self.path):
            rows = self._connection.execute(
                f"{mapping.select_sql} WHERE entity = ? ORDER BY id", (entity,)
            ).fetchall()
        if not rows:
            raise KeyError(entity)
        return History(tuple(map(mapping.entry_of, rows)))

    def charge_record(self, entity: str) -> ChargeRecord:
        """Everything about one charge; raises ``KeyError`` where there is no such charge."""
        with self._one_view():
            rows = {table: self._rows(table, entity) for table in _RECORD_TABLES}
        if not rows["charge"]:
            raise KeyError(entity)
        return ChargeRecord.from_entries(rows)

    def charges(self) -> tuple[History[Charge], ...]:
        """Every charge ever written, in the order of their first versions."""
        return histories(self.entries("charge"))

    def everything(self) -> dict[str, list[Entry[Fact]]]:
        """Every row of every table, each table in the order written."""
        with self._one_view():
            return {table: self._rows(table, None) for table in TABLES}

    def ledger_head(self) -> LedgerHead:
        """The ledger's last line."""
        if self._head is not None:
            return self._head
        with telling(self.path):
            return head_of(self._connection, self.uid)

    def verify(self, head: LedgerHead | None = None, progress: Progress | None = None) -> tuple[Misfit, ...]:
        """Check every row, the ledger and every page; empty where all is as it was written.

        Args:
            head: A ledger head noted earlier outside the file; it shows a file cut short or written anew.
            progress: Told now and then how many of how many ledger lines are checked; may raise to give up.
        """
        return misfits(self._connection, self.uid, head, progress)

    def unfit_closings(self) -> frozenset[str]:
        """The uids of closings that do not stand as they were written; ``verify`` looks at everything."""
        with telling(self.path):
            return unfit_closings(self._connection, self.uid)

    def backup(self, to: Path) -> Path:
        """Copy the logbook, checked, to a new file of that name, or into that folder; returns the file.

        In a folder the copy is named for the logbook and the number of rows in it, so that the same name
        always means the same content. Raises ``AlreadyExists`` rather than replace a file.
        """
        to = Path(to)
        if to.is_dir():
            to = to / f"{self.path.stem} {self.ledger_head().number}{SUFFIX}"
        back_up(self._connection, self.uid, to)
        return to
