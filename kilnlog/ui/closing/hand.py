"""What is being closed out: the charge in hand or one lot of it, how far that is, and the lot in front."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from kilnlog.drying.closing.figures import FinalMoisture
from kilnlog.drying.figures import Assessment
from kilnlog.logbook.close_out import close_out
from kilnlog.logbook.close_out_steps import CloseOut
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry
from kilnlog.ui.closing.line_keeper import Within
from kilnlog.ui.desk import Desk


class ClosingHand(QObject):
    """Shared by the pages of a close-out, which ask it for what they show.

    changed(): the record, what follows from it, or the lot in front is new. Nothing is sent while nothing is
        being closed out.
    ended(): another charge was taken in hand, or this one is gone.
    """

    changed = Signal()
    ended = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._charge: str | None = None
        self._path = desk.path
        self._scope: str | None = None
        self._in_front: str | None = None
        self._close_out: CloseOut | None = None
        desk.record_changed.connect(lambda _: self._follow())

    @property
    def is_going(self) -> bool:
        """Whether something is being closed out."""
        return self._charge is not None

    def begin(self, lot: str | None) -> None:
        """Close out the charge in hand, or one lot of it (its entity)."""
        record = self.desk.record
        if record is None:
            return
        if (record.entity, lot) != (self._charge, self._scope):
            self._in_front = None
        self._charge, self._scope, self._path = record.entity, lot, self.desk.path
        self._renew()

    def leave(self) -> None:
        """It is no longer looked at; what was kept stays."""
        self._charge, self._close_out = None, None

    def _follow(self) -> None:
        if self._charge is None:
            return
        record = self.desk.record
        if record is None or record.entity != self._charge or self.desk.path != self._path:
            self.leave()
            self.ended.emit()
            return
        self._renew()

    def _renew(self) -> None:
        record, assessment = self.desk.record, self.desk.assessment
        if record is None or assessment is None:
            return
        made = close_out(record, assessment, self.desk.reference, self.desk.now(), self._scope)
        self._close_out = made
        if self._in_front not in {entry.entity for entry in made.lots}:
            self._in_front = made.lots[0].entity if made.lots else None
        self.changed.emit()

    @property
    def close_out(self) -> CloseOut:
        """How far it is; only while something is being closed out."""
        if self._close_out is None:
            raise RuntimeError("nothing is being closed out")
        return self._close_out

    @property
    def record(self) -> ChargeRecord:
        """The record of the charge."""
        if self.desk.record is None:
            raise RuntimeError("no charge is in hand")
        return self.desk.record

    @property
    def assessment(self) -> Assessment:
        """What follows from it."""
        if self.desk.assessment is None:
            raise RuntimeError("no charge is in hand")
        return self.desk.assessment

    @property
    def scope(self) -> str | None:
        """The entity of the lot that is closed by itself; None: the whole charge."""
        return self._scope

    @property
    def place(self) -> Within:
        """Where what is typed for it stands: logbook, charge, and the lot that is closed by itself."""
        return (str(self.desk.path), self.record.entity, *((self._scope,) if self._scope else ()))

    @property
    def lot(self) -> Entry[Lot] | None:
        """The lot in front; None where there is none."""
        lots = self._close_out.lots if self._close_out is not None else ()
        return next((entry for entry in lots if entry.entity == self._in_front), None)

    @property
    def final(self) -> FinalMoisture | None:
        """The final moisture of the lot in front."""
        lot = self.lot
        return None if lot is None else self.close_out.finals.get(lot.entity)

    @property
    def can_write(self) -> bool:
        """Whether what is being closed out takes further rows."""
        if not self.desk.can_write:
            return False
        return self._scope is None or self.record.closing_of(self._scope) is None

    @property
    def is_sealed(self) -> bool:
        """Whether it was closed already."""
        return self.record.closing_of(self._scope) is not None

    @property
    def name(self) -> str:
        """What is closed out, for the middle of a sentence: ``charge 2026-12``, ``lot A``."""
        if self._scope is not None and (lot := self.lot) is not None:
            return f"lot {lot.fact.lot}"
        return f"charge {self.record.particulars.charge}"

    def show_lot(self, entity: str) -> None:
        """Bring another lot to the front."""
        if entity != self._in_front and entity in {entry.entity for entry in self.close_out.lots}:
            self._in_front = entity
            self.changed.emit()

    def move_lot(self, by: int) -> None:
        """Bring the next lot to the front, or the one before."""
        lots = [entry.entity for entry in self.close_out.lots]
        if self._in_front in lots:
            place = lots.index(self._in_front) + by
            self.show_lot(lots[min(len(lots) - 1, max(0, place))])
