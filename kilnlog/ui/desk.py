"""The state of the window: the charge in hand, what follows from it, and the way to write more."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.logbook.changes import Changes, charge_of
from kilnlog.logbook.register import RegisterLine, register
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.shared_particulars import SharedParticulars
from kilnlog.logbook.writing import take_back_last
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations

Verb = Callable[..., Changes]


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
        self.lines: tuple[RegisterLine, ...] = ()
        self.shared = SharedParticulars()
        self.path: Path | None = None
        self.read_only: KilnlogError | None = None
        self.board_in_hand: str | None = None
        self._clock = clock
        self._zone = zone
        self._done: list[Changes] = []
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
        return self.read_only is None and self.record is not None and not self.record.is_closed

    def opened(self, book: Logbook) -> None:
        """Take over a logbook that the worker has just opened."""
        self.path = book.file.path
        self._clock = book.clock  # the sample's stands at its own morning
        self.read_only = book.file.why_read_only
        self.record = self.assessment = self.board_in_hand = self._wanted = None
        self._done.clear()
        self.record_changed.emit(None)
        self.refresh_register()

    def take_in_hand(self, entity: str) -> None:
        """Read a charge and make it the one the views show."""
        self._wanted = entity
        self.operations.submit(lambda book: book.file.charge_record(entity), self._taken)

    def _taken(self, record: ChargeRecord) -> None:
        if record.entity != self._wanted:
            return  # another charge was chosen while this one was read
        self.record = record
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
            self.assessment = assess(self.record, self.reference, self.now())

    def refresh_register(self) -> None:
        """Read the register anew on the worker."""
        at = self.now()

        def read(book: Logbook) -> tuple[tuple[RegisterLine, ...], SharedParticulars]:
            return register(book, self.reference, at), SharedParticulars.read(book)

        self.operations.submit(read, self._register_read)

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

        Args:
            verb: A verb of the logbook: one transaction.
            saying: What the foot says once it is kept.
            done: Called after the record, the assessment and the views have followed.
            failed: Called instead of the ``refused`` signal when nothing was written.
        """

        def follow(changes: Changes) -> None:
            self._done.append(changes)
            self._follow(changes, saying)
            if done is not None:
                done(changes)

        self.operations.submit(lambda book: verb(book, *arguments, **named), follow, failed)

    def _follow(self, changes: Changes, saying: str | None) -> None:
        if self.record is not None:
            here = (None, self.record.entity)
            concerned = [entry for entry in changes.entries if charge_of(entry) in here]
            if concerned:  # a row of another charge does not belong into this record
                self.record = self.record.with_entries(concerned)
                self.reassess()
                self.record_changed.emit(changes)
        if saying is not None:
            self.saved.emit(saying)
        self._register_timer.start()

    @property
    def can_undo(self) -> bool:
        """Whether something written since the logbook was opened can be taken back."""
        return bool(self._done) and self.read_only is None

    def undo(self, saying: str) -> None:
        """Take back what was written last: a new version each, nothing is erased."""
        if not self.can_undo:
            return
        last = self._done.pop()

        def restore(error: KilnlogError) -> None:
            self._done.append(last)
            self.refused.emit(error)

        self.operations.submit(
            lambda book: take_back_last(book, last), lambda changes: self._follow(changes, saying), restore
        )
