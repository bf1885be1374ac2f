"""Lines that are kept, and under them a line in hand to type the next one into: the close-out's own table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from kilnlog.ui.closing.entry_line import EntryColumn, EntryField, EntryLine, KeptLines
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import set_wrong
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.lines import Line
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role

__all__ = ["EntryColumn", "EntryField", "EntryTable"]


class EntryTable(QWidget):
    """What is typed stays until ``set_texts`` says otherwise; the page reads it, keeps it, or refuses it.

    entered(): the line is to be kept. edited(): something was typed.
    opened(object), take_back(object): Enter and Delete on a kept line, with its key.
    escaped(): Esc in a field. said_changed(): something is said of the line, or no longer.
    """

    entered = Signal()
    edited = Signal()
    opened = Signal(object)
    take_back = Signal(object)
    escaped = Signal()
    said_changed = Signal()

    def __init__(self, appearance: Appearance, columns: Sequence[EntryColumn], name: str) -> None:
        super().__init__()
        self._appearance = appearance
        self._room: int | None = None
        self.table = KeptLines(appearance, columns, name)
        self.line = EntryLine(appearance, self.table)
        self.fields = self.line.fields
        self._keeps = {column.key for column in columns if column.keeps}
        self.said = Wrapped("", appearance, Role.BODY, "act")
        self.said.hide()
        self._words: Mapping[str, Sequence[str]] = {}
        self.offered = Wrapped("", appearance, Role.TINY, "ink2")
        self.offered.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self.line)
        column.addWidget(self.said)
        column.addWidget(self.offered)
        column.addStretch(0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        for key, field in self.fields.items():
            field.entered.connect(lambda key=key: self._entered(key))
            field.moved_up.connect(self._to_lines)
            field.escaped.connect(self.escaped)
            field.textEdited.connect(lambda _: self._edited())
            field.keys_turned.connect(self._offer)
        self.table.opened.connect(self.opened)
        self.table.take_back.connect(self.take_back)
        self.table.typed.connect(self._type_on)
        self.table.left_below.connect(self._leave_lines)
        self.table.keys_turned.connect(self.line.update)
        self.table.horizontalHeader().sectionResized.connect(lambda *_: self.line.lay_out())
        appearance.changed.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        for label in (self.said, self.offered):
            label.setContentsMargins(self._appearance.sizes.margin_w + GAP_12, GAP_4, GAP_12, GAP_4)
        self.line.lay_out()

    @property
    def texts(self) -> dict[str, str]:
        """What stands in each field."""
        return {key: field.text().strip() for key, field in self.fields.items()}

    def set_texts(self, texts: Mapping[str, str]) -> None:
        """Put these texts into the fields; others keep theirs."""
        for key, text in texts.items():
            self.fields[key].setText(text)
        self.clear_said()

    def set_lines(self, lines: Sequence[Line]) -> None:
        """Show these kept lines; the newest stays in sight, or the one that is another now."""
        before = self.table.lines
        self.table.set_lines(lines)
        self._fit()
        self._fit_lines()
        if tuple(lines) == before:
            return
        if not lines and self.table.hasFocus():
            self.take_keys()
        row = _row_to_show(before, self.table.lines, self.table.currentIndex().row(), self.table.hasFocus())
        QTimer.singleShot(0, self.table, lambda: self._show_line(row))  # once the list has its height

    def _show_line(self, row: int) -> None:
        self.table.scrollTo(self.table.model().index(row, 1))

    def fit_into(self, height: int) -> None:
        """Show whole lines only, in so much room [px]; the page calls it as its own height changes."""
        self._room = height
        self._fit_lines()

    def _fit_lines(self) -> None:
        if self._room is None:
            return
        said = 0 if self.said.isHidden() else self.said.heightForWidth(max(60, self.width()))
        line = 0 if self.line.isHidden() else self.line.height()
        self.table.fit_into(self._room - said - line)

    def set_writable(self, writable: bool) -> None:
        """Without a line to type into where nothing can be written."""
        self.line.setVisible(writable)
        if not writable:
            self.clear_said()

    def offer_words(self, words: Mapping[str, Sequence[str]]) -> None:
        """The words a field takes, by its key: told while the keys are in it."""
        self._words = words

    def _offer(self) -> None:
        """What the field with the keys takes."""
        words = next((self._words.get(key, ()) for key, field in self.fields.items() if field.hasFocus()), ())
        self.offered.setText(f"{', '.join(words)}: the first letters will do." if words else "")
        self.offered.setVisible(bool(words))

    def set_heading(self, key: str, heading: str) -> None:
        """Another heading over what is typed, a unit say."""
        self.table.set_heading(key, heading)

    def show_field(self, key: str, shown: bool) -> None:
        """Type into a column, or only show it."""
        self.fields[key].setVisible(shown)

    def set_keeps(self, *keys: str) -> None:
        """In which fields Enter keeps the line."""
        self._keeps = set(keys)

    def refuse(self, text: str, key: str = "") -> None:
        """Say why the line was not kept; its texts stay."""
        self._say(text, Mark.ACT, "act")
        if key in self.fields:
            set_wrong(self.fields[key], True)
            self.fields[key].setAccessibleDescription(text)
            self.take_keys(key)

    def ask(self, text: str) -> None:
        """Ask whether it is meant as typed."""
        self._say(text, Mark.LOOK, "look")

    def _say(self, text: str, mark: Mark, colour: str) -> None:
        self.line.mark = mark
        self.said.set_colour(colour)
        self.said.setText(text)
        self.said.show()
        self.line.update()
        self.said_changed.emit()

    def clear_said(self) -> None:
        """Forget what was said of the line."""
        was_said = bool(self.told)
        self.line.mark = None
        self.said.hide()
        self.said.setText("")
        for field in self.fields.values():
            set_wrong(field, False)
            field.setAccessibleDescription("")
        self.line.update()
        if was_said:
            self.said_changed.emit()

    @property
    def told(self) -> str:
        """What is said of the line in hand."""
        return "" if self.said.isHidden() else self.said.text()

    def take_keys(self, key: str = "") -> None:
        """The keyboard goes to a field: to the one named, else to the first that is not carried."""
        if self.line.isHidden():
            self.table.setFocus()
            return
        carried = [name for name, field in self.fields.items() if not field.property("carried")]
        field = self.fields[key or (carried or list(self.fields))[0]]
        field.setFocus()
        field.selectAll()

    def _entered(self, key: str) -> None:
        if key in self._keeps:
            self.entered.emit()
            return
        names = [name for name, field in self.fields.items() if not field.isHidden()]
        after = names[names.index(key) + 1 :]
        if after:
            self.take_keys(after[0])
        else:
            self.entered.emit()

    def _edited(self) -> None:
        if self.told:
            self.clear_said()
        self.edited.emit()

    def _to_lines(self) -> None:
        if self.table.lines:
            row = len(self.table.lines) - 1
            self.table.setCurrentIndex(self.table.model().index(row, 1))
            self.table.setFocus()
            self._show_line(row)

    def _leave_lines(self) -> None:
        if self.line.isHidden():
            self.table.focusNextChild()
        else:
            self.take_keys()

    def _type_on(self, text: str) -> None:
        """Typed while the keys were in the list: it goes on where one types."""
        if self.line.isHidden():
            return
        self.take_keys()
        field = next((field for field in self.fields.values() if field.hasFocus()), None)
        if field is not None:
            field.end(False)
            field.insert(text)
            field.textEdited.emit(field.text())


def _row_to_show(before: Sequence[Line], now: Sequence[Line], in_hand: int, keys_in_list: bool) -> int:
    """The row that is to be in sight: the corrected one, the one in hand, else the newest."""
    same_lines = [line.key for line in before] == [line.key for line in now]
    corrected = (row for row, (old, new) in enumerate(zip(before, now, strict=False)) if old != new)
    if same_lines and (row := next(corrected, None)) is not None:
        return row
    return in_hand if keys_in_list else len(now) - 1
