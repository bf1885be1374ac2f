"""The state of the window: the charge in hand, what follows from it, and the way to write more."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.drying.finding import Finding
from kilnlog.logbook.changes import Changes, charge_of
from kilnlog.logbook.charge_in_hand import LoggedAir, charge_in_hand, logged_air
from kilnlog.logbook.errors import ChargeTakenBack, OtherLogbook
from kilnlog.logbook.kiln_stays import with_clashes
from kilnlog.logbook.register import RegisterLine, register
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.shared_particulars import SharedParticulars
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.kiln import Kiln
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference
from kilnlog.store.errors import ChargeClosed
from kilnlog.ui.entering import Entering, Verb
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations, Progress

if TYPE_CHECKING:
    from kilnlog.drying.air.lines import AirLine

CLOCK_EVERY_MS = 60_000
#: What follows from time alone changes by the day; nobody misses it for so long.
ANEW_AFTER_H = 0.25


class Desk(QObject):
    """What the views share. Views never call one another: they call the desk and hear its signals.

    ``record_changed(Changes | None)``: sent once the file holds what ``Changes`` names; ``record`` and
        ``assessment`` are already new. None: another charge was taken in hand. A receiver redraws.
    ``register_changed()``: ``lines`` is new.
    ``air_grew()``: a followed file brought readings that are not kept yet; ``air`` has them to be drawn.
    ``board_changed()``: another board was taken in hand.
    ``saved(str)``: what was kept, in words; sent after the commit and at no other time.
    ``refused(KilnlogError)``: nothing was written, and this is why.
    ``over(KilnlogError)``: what was told as refused is so no longer.
    """

    record_changed = Signal(object)
    register_changed = Signal()
    air_grew = Signal()
    board_changed = Signal()
    saved = Signal(str)
    refused = Signal(object)
    over = Signal(object)

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
        self._entering = Entering(self, self._follow)
        self._wanted: str | None = None
        operations.refused.connect(self.refused)
        self._clock_timer = QTimer(self)
        self._clock_timer.setInterval(CLOCK_EVERY_MS)
        self._clock_timer.timeout.connect(self.follow_clock)
        self._clock_timer.start()
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
        self._entering.forget()
        self.record_changed.emit(None)
        self.refresh_register(quickly=True)

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
            alone = assess(self.record, self.reference, self.now(), self.air.digest)
            self.assessment = with_clashes(self.record, alone, self._clashes())

    def follow_clock(self) -> None:
        """Work out anew what follows from time alone: a board not weighed, a round overdue, a day gone by."""
        if self.assessment is None or self.assessment.at == self.now():
            return
        if abs(self.now().hours_since(self.assessment.at)) >= ANEW_AFTER_H:
            self.reassess()
            self.record_changed.emit(Changes.of(()))
            self.refresh_register()

    def _reread_air(self) -> None:
        """The loggers' readings came to more, or the kiln they hang in was described anew."""
        record, at = self.record, self.now()
        if record is None:
            return

        def read(air: LoggedAir) -> None:
            if self.record is None or self.record.entity != record.entity:
                return
            self.air = replace(air, waiting=self.air.waiting)
            self.reassess()
            self.record_changed.emit(Changes.of(()))

        self.run(lambda book: logged_air(book, record, self.reference, at), read, _untold)

    def show_waiting(self, waiting: AirLine | None) -> None:
        """Let readings be drawn that the file does not hold yet."""
        self.air = replace(self.air, waiting=waiting)
        self.air_grew.emit()

    def refresh_register(self, *, quickly: bool = False) -> None:
        """Read the register anew on the worker; ``quickly``: the charges first, what the air says after."""
        at = self.now()

        def read(book: Logbook) -> tuple[tuple[RegisterLine, ...], SharedParticulars]:
            lines = register(book, self.reference, at, without_air=quickly)
            return lines, SharedParticulars.read(book)

        self.run(read, self._register_read, _untold)
        if quickly:
            self._register_timer.start()

    def _register_read(self, outcome: tuple[tuple[RegisterLine, ...], SharedParticulars]) -> None:
        before = self._clashes()
        self.lines, self.shared = outcome
        self.register_changed.emit()
        if self._clashes() != before:
            self.reassess()
            self.record_changed.emit(Changes.of(()))

    def _clashes(self) -> tuple[Finding, ...]:
        """What the register knows of other charges in the kiln of the one in hand."""
        entity = self.record.entity if self.record is not None else None
        return next((line.clashes for line in self.lines if line.entity == entity), ())

    @property
    def is_open(self) -> bool:
        """Whether a logbook is open."""
        return self.path is not None

    def reread(self) -> None:
        """Read everything anew, after rows came in by another door than ``do``; undo does not know them."""
        self._entering.forget()
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
        self._entering.do(verb, *arguments, saying=saying, done=done, failed=failed, **named)

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
            self._entering.add(changes, saying)
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
        """Whether something entered here since the logbook was opened can be taken back."""
        return self.read_only is None and self._entering.can_undo

    def undo(self, saying: str) -> None:
        """Take back what was entered last in the charge in hand: a new version each, nothing is erased."""
        if self.read_only is None:
            self._entering.undo(saying)


def _untold(_: KilnlogError) -> None:
    """Reading for a logbook that is no longer in hand: nobody waits for it."""
