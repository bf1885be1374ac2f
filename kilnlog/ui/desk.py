"""The state of the window: the charge in hand, what follows from it, and the way to write more."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.logbook.changes import Changes, charge_of
from kilnlog.logbook.charge_in_hand import LoggedAir, charge_in_hand, logged_air
from kilnlog.logbook.errors import ChargeTakenBack, NothingToTakeBack, OtherLogbook
from kilnlog.logbook.register import RegisterLine, register
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.shared_particulars import SharedParticulars
from kilnlog.logbook.writing import take_back_last
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.kiln import Kiln
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference
from kilnlog.store.errors import ChargeClosed
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations, Progress

Verb = Callable[..., Changes]


@dataclass(frozen=True)
class _Done:
    """One transaction that can be undone, and what was said of it."""

    changes: Changes
    said: str | None


class Desk(QObject):
    """What the views share. Views never call one another: they call the desk and hear its signals.

    ``record_changed(Changes | None)``: sent once the file holds what ``Changes`` names; ``record`` and
        ``assessment`` are already new. None: another charge was taken in hand. A receiver redraws.
    ``register_changed()``: ``lines`` is new.
    ``board_changed()``: another board was taken in hand.
    ``saved(str)``: what was kept, in words; sent after the commit and at no other time.
    ``refused(KilnlogError)``: nothing was written, and this is why.
    """

    record_changed = Signal(object)
    register_changed = Signal()
    board_changed = Signal()
    saved = Signal(str)
    refused = Signal(object)

    def __init__(
        self,
        operations: Operations,
        appearance: Appearance,
        reference: Reference,
        clock: Callable[[], datetime],
        zone: str,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.operations = operations
        self.appearance = appearance
        self.reference = reference
        self.record: ChargeRecord | None = None
        self.assessment: Assessment | None = None
        self.air = LoggedAir()
        self.lines: tuple[RegisterLine, ...] = ()
        self.shared = SharedParticulars()
        self.path: Path | None = None
        self.read_only: KilnlogError | None = None
        self.board_in_hand: str | None = None
        self._clock = clock
        self._zone = zone
        self._done: list[_Done] = []
        self._writing = 0
        self._undo_next: str | None = None
        self._wanted: str | None = None
        operations.refused.connect(self.refused)
        # The register assesses every running charge; a burst of weights needs that once, after it.
        self._register_timer = QTimer(self)
        self._register_timer.setSingleShot(True)
        self._register_timer.setInterval(400)
        self._register_timer.timeout.connect(self.refresh_register)

    @property
    def zone(self) -> str:
        """The zone of the charge in hand, else the machine's."""
        return self.record.particulars.zone if self.record is not None else self._zone

    def now(self) -> Moment:
        """The present, in the zone of the charge in hand."""
        return Moment(self._clock(), self.zone)

    @property
    def can_write(self) -> bool:
        """Whether the charge in hand takes further rows."""
        return self.record is not None and self.why_no_row is None

    @property
    def is_taken_back(self) -> bool:
        """Whether the charge in hand was taken back: nothing may follow that."""
        return self.record is not None and self.record.charge[0].is_void

    @property
    def why_no_row(self) -> KilnlogError | None:
        """Why the charge in hand takes no further row, or None."""
        if self.read_only is not None or self.record is None:
            return self.read_only
        number = self.record.particulars.charge
        if self.is_taken_back:
            return ChargeTakenBack(charge=number)
        return ChargeClosed(charge=number) if self.record.is_closed else None

    def opened(self, book: Logbook) -> None:
        """Take over a logbook that the worker has just opened."""
        self.path = book.file.path
        self._clock = book.clock  # the sample's stands at its own morning
        self.read_only = book.file.why_read_only
        self.record = self.assessment = self.board_in_hand = self._wanted = None
        self.air = LoggedAir()
        self._done.clear()
        self._undo_next = None
        self.record_changed.emit(None)
        self.refresh_register()

    def take_in_hand(self, entity: str) -> None:
        """Read a charge and make it the one the views show."""
        self._wanted = entity
        at = self.now()
        self.run(lambda book: charge_in_hand(book, entity, self.reference, at), self._taken, _untold)

    def _taken(self, taken: tuple[ChargeRecord, LoggedAir]) -> None:
        record, air = taken
        if record.entity != self._wanted:
            return  # another charge was chosen while this one was read
        self.record, self.air = record, air
        self.board_in_hand = None
        self.reassess()
        self.record_changed.emit(None)

    def set_board_in_hand(self, entity: str | None) -> None:
        """Choose the board that the page beside the round shows."""
        if entity != self.board_in_hand:
            self.board_in_hand = entity
            self.board_changed.emit()

    def reassess(self) -> None:
        """Work out anew what follows from the record at the present moment."""
        if self.record is not None:
            self.assessment = assess(self.record, self.reference, self.now(), self.air.digest)

    def _reread_air(self) -> None:
        """The loggers' readings came to more, or the kiln they hang in was described anew."""
        record, at = self.record, self.now()
        if record is None:
            return

        def read(air: LoggedAir) -> None:
            if self.record is None or self.record.entity != record.entity:
                return
            self.air = air
            self.reassess()
            self.record_changed.emit(Changes.of(()))

        self.run(lambda book: logged_air(book, record, self.reference, at), read, _untold)

    def refresh_register(self) -> None:
        """Read the register anew on the worker."""
        at = self.now()

        def read(book: Logbook) -> tuple[tuple[RegisterLine, ...], SharedParticulars]:
            return register(book, self.reference, at), SharedParticulars.read(book)

        self.run(read, self._register_read, _untold)

    def _register_read(self, outcome: tuple[tuple[RegisterLine, ...], SharedParticulars]) -> None:
        self.lines, self.shared = outcome
        self.register_changed.emit()

    @property
    def is_open(self) -> bool:
        """Whether a logbook is open."""
        return self.path is not None

    def reread(self) -> None:
        """Read everything anew, after rows came in by another door than ``do``; undo does not know them."""
        self._done.clear()
        if self.record is not None:
            self.take_in_hand(self.record.entity)
        self.refresh_register()

    def do(
        self,
        verb: Verb,
        *arguments: Any,
        saying: str | None = None,
        done: Callable[[Changes], None] | None = None,
        failed: Callable[[KilnlogError], None] | None = None,
        **named: Any,
    ) -> None:
        """Run ``verb(logbook, *arguments, **named)`` on the worker and follow its commit.

        It is meant for the logbook open now, and refused where another was opened before its turn came.

        Args:
            verb: A verb of the logbook: one transaction.
            saying: What the foot says once it is kept.
            done: Called after the record, the assessment and the views have followed.
            failed: Called instead of the ``refused`` signal when nothing was written.
        """

        def follow(changes: Changes) -> None:
            self._writing -= 1
            self._done.append(_Done(changes, saying))
            self._follow(changes, saying)
            if done is not None:
                done(changes)
            self._undo_if_wanted()

        def not_written(error: KilnlogError) -> None:
            self._writing -= 1
            self._undo_next = None  # what was to be undone was never kept; the one before it is to stay
            (failed or self.refused.emit)(error)

        self._writing += 1
        self.run(lambda book: verb(book, *arguments, **named), follow, not_written)

    def run(
        self,
        work: Callable[[Logbook], Any],
        done: Callable[[Any], None],
        failed: Callable[[KilnlogError], None] | None = None,
    ) -> None:
        """Run ``work`` on the worker, on the logbook that is open now and on no other.

        Rows it writes are handed to ``follow`` by ``done``; what the operator enters goes by ``do``.
        """
        self.operations.submit(self._there(work), done, failed)

    def run_long(
        self,
        work: Callable[[Logbook, Progress], Any],
        told: Callable[[float], None],
        done: Callable[[Any], None],
        failed: Callable[[KilnlogError], None],
    ) -> Progress:
        """As ``run``, for work over half a second: ``told(fraction)`` follows it, the answer stops it."""
        return self.operations.submit_long(self._there(work), told, done, failed)

    def _there(self, work: Callable[..., Any]) -> Callable[..., Any]:
        """The work, refusing any logbook but the one that is open now."""
        meant = self.path

        def work_there(book: Logbook, *more: Any) -> Any:
            if meant is not None and book.file.path != meant:
                raise OtherLogbook(name=meant.name)
            return work(book, *more)

        return work_there

    def follow(self, changes: Changes, saying: str | None = None, *, can_undo: bool = False) -> None:
        """Take up rows that ``run`` or ``run_long`` wrote: record, assessment and views come after them.

        Without ``can_undo``, undo passes them by: they are not what the operator entered last.
        """
        if can_undo:
            self._done.append(_Done(changes, saying))
        self._follow(changes, saying)

    def _follow(self, changes: Changes, saying: str | None) -> None:
        if self.record is not None:
            here = (None, self.record.entity)
            concerned = [entry for entry in changes.entries if charge_of(entry) in here]
            if concerned:  # a row of another charge does not belong into this record
                self.record = self.record.with_entries(concerned)
                self.reassess()
                self.record_changed.emit(changes)
                if any(isinstance(entry.fact, LoggerBatch | Kiln) for entry in concerned):
                    self._reread_air()
        if saying is not None:
            self.saved.emit(saying)
        self._register_timer.start()

    @property
    def can_undo(self) -> bool:
        """Whether something written here since the logbook was opened can be taken back."""
        return self.read_only is None and (self._writing > 0 or self._last_here() is not None)

    def undo(self, saying: str) -> None:
        """Take back what was written last in the charge in hand: a new version each, nothing is erased.

        While something is still being written, that is meant, and it is undone once it is kept.
        """
        if self._writing:
            self._undo_next = saying
            return
        number = self._last_here()
        if number is None or self.read_only is not None:
            return
        last = self._done.pop(number)
        said = f"{saying}: {last.said}" if last.said else saying

        def restore(error: KilnlogError) -> None:
            # What can never be taken back would bar the way to those before it.
            if not isinstance(error, NothingToTakeBack | OtherLogbook):
                self._done.insert(number, last)
            self.refused.emit(error)

        self.run(
            lambda book: take_back_last(book, last.changes),
            lambda changes: self._follow(changes, said),
            restore,
        )

    def _undo_if_wanted(self) -> None:
        if self._undo_next is not None and not self._writing:
            saying, self._undo_next = self._undo_next, None
            self.undo(saying)

    def _last_here(self) -> int | None:
        """Which of ``_done`` is the newest that the charge in hand, or no charge at all, has a part in."""
        here = self.record.entity if self.record is not None else None
        for number in range(len(self._done) - 1, -1, -1):
            charges = self._done[number].changes.charges
            if not charges or here in charges:
                return number
        return None


def _untold(_: KilnlogError) -> None:
    """Reading for a logbook that is no longer in hand: nobody waits for it."""
