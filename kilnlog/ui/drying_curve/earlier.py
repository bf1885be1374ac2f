"""Which earlier charges lie behind the present curve: read by the worker one by one, kept, switched."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from kilnlog.drying.figures import Assessment
from kilnlog.logbook.earlier_curves import EarlierCurve, LaidOn, earlier_curve, earlier_lines, laid_on
from kilnlog.logbook.lot_kinds import kind_words, leading_kinds
from kilnlog.logbook.register import RegisterLine
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance


class EarlierCurves(QObject):
    """Reads what the charge in hand wants behind it, once asked by a view that shows it.

    One charge is read at a time, and the next only when that one came back: a weight typed meanwhile waits
    for one of them at most. What was read is kept for as long as its logbook is open and it stays closed.

    changed(): all there is to lay behind is known.
    """

    changed = Signal()

    def __init__(self, desk: Desk, appearance: Appearance, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._appearance = desk, appearance
        self._path = desk.path
        self._known: dict[tuple[str, str], EarlierCurve] = {}
        self._failed: set[tuple[str, str]] = set()
        self._reading = False

    @property
    def shown(self) -> bool:
        """Whether they are drawn at all."""
        return self._appearance.earlier_curves

    def switch(self) -> None:
        """Draw them, or draw the present curve alone; remembered."""
        self._appearance.set_earlier_curves(not self.shown)

    def laid(self, assessment: Assessment | None) -> tuple[LaidOn, ...]:
        """Those already read, where they stand behind the present charge; the rest is read now."""
        if assessment is None or not self.shown:
            return ()
        wanted = self._wanted()
        self._read_next(wanted)
        known = (self._known.get(_key(line)) for line in wanted)
        return laid_on(assessment, (curve for curve in known if curve is not None))

    def words(self, laid: Sequence[LaidOn]) -> str:
        """What lies behind, in words; empty where nothing is to be said."""
        line = self._line()
        if not self.shown or line is None or not leading_kinds(line.lots):
            return ""
        if laid:
            return f"thin lines: {', '.join(one.number for one in laid)}, at equal moisture"
        if not self._wanted():
            return f"no earlier charge of {kind_words(line.lots)} to lay behind"
        return ""

    def _line(self) -> RegisterLine | None:
        record = self._desk.record
        return next((one for one in self._desk.lines if record and one.entity == record.entity), None)

    def _wanted(self) -> tuple[RegisterLine, ...]:
        line = self._line()
        if line is None:
            return ()
        return earlier_lines(self._desk.lines, line.entity, line.lots, line.loaded_at)

    def _read_next(self, wanted: Sequence[RegisterLine]) -> None:
        if self._path != self._desk.path:
            self._path = self._desk.path
            self._known.clear()
            self._failed.clear()
        unread = [line for line in wanted if _key(line) not in self._known.keys() | self._failed]
        if self._reading or not unread:
            return
        self._reading = True
        line, reference, path = unread[0], self._desk.reference, self._path

        def read(curve: EarlierCurve) -> None:
            if path == self._desk.path:
                self._known[_key(line)] = curve
            self._go_on()

        def failed(_: KilnlogError) -> None:
            if path == self._desk.path:
                self._failed.add(_key(line))  # the curve in front needs none of it
            self._go_on()

        self._desk.run(lambda book: earlier_curve(book, line, reference), read, failed)

    def _go_on(self) -> None:
        """Read the next; once none is left, all of them are drawn at once."""
        self._reading = False
        self._read_next(self._wanted())
        if not self._reading:
            self.changed.emit()


def _key(line: RegisterLine) -> tuple[str, str]:
    """A charge reopened and closed again is another curve."""
    return line.entity, line.closed_at.iso() if line.closed_at is not None else ""
