"""Lines that are kept, and under them a line in hand to type the next one into: the close-out's own table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QEvent, QLineF, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField, set_wrong
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.lines import Cell, Column, Line
from kilnlog.ui.look.lines_table import LinesTable
from kilnlog.ui.look.painting import Mark, draw_dotted_underline, draw_mark
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_MODIFIED = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
#: What the style sheet keeps between a field's edge and its text, and a column before its text [px].
_PAD, _BETWEEN = 14, 18
#: So many stay in sight however little room there is: the one just kept.
_LEAST_LINES = 1


@dataclass(frozen=True, slots=True)
class EntryColumn:
    """One column. ``key`` names what is typed into it, empty where it is only shown.

    ``carried``: proposed from the line before, so that it is mostly passed by. ``keeps``: Enter in it keeps
    the line; elsewhere Enter goes on to the next field. One column may take the room that is left.
    """

    heading: str
    width: int  # [px] at the regular size
    key: str = ""
    figures: bool = True
    carried: bool = False
    keeps: bool = False
    fills: bool = False
    name: str = ""  # what the field is called where the heading is short


class EntryField(TextField):
    """entered(): Enter. moved_up(): the arrow up leaves for the lines above. escaped(): Esc."""

    entered = Signal()
    moved_up = Signal()
    escaped = Signal()

    def __init__(self, appearance: Appearance, column: EntryColumn) -> None:
        super().__init__(appearance, role=Role.FIGURE_TYPED if column.figures else Role.BODY)
        if column.figures:
            self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setMaxLength(60)
        self.setAccessibleName(column.name or column.heading)
        self.setProperty("carried", column.carried)

    def event(self, event: QEvent) -> bool:
        """Ctrl Z takes back what was kept last, as everywhere something is kept line by line."""
        undo = isinstance(event, QKeyEvent) and event.matches(QKeySequence.StandardKey.Undo)
        if event.type() == QEvent.Type.ShortcutOverride and undo:
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter, up and Esc are the line's; a key held down is pressed once."""
        key = event.key()
        if event.modifiers() & _MODIFIED:
            super().keyPressEvent(event)
        elif key in _ENTER:
            if not event.isAutoRepeat():
                self.entered.emit()
        elif key == Qt.Key.Key_Up:
            self.moved_up.emit()
        elif key == Qt.Key.Key_Escape:
            self.escaped.emit()
        else:
            super().keyPressEvent(event)


class _Lines(LinesTable):
    """Columns as wide as they are told: what is typed under them must not make them jump."""

    def __init__(self, appearance: Appearance, columns: Sequence[EntryColumn], name: str) -> None:
        self.given = tuple(columns)
        super().__init__(appearance, [Column(one.heading, one.figures, one.fills) for one in columns], name)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)

    def set_heading(self, key: str, heading: str) -> None:
        """Another heading over the column of that key."""
        named = [replace(one, heading=heading) if one.key == key else one for one in self.given]
        if tuple(named) != self.given:
            self.given = tuple(named)
            columns = [Column(one.heading, one.figures, one.fills) for one in named]
            self.set_lines(self.lines, columns)

    def _measure(self) -> None:
        """It rolls under its headings where the page is too low for all lines."""
        super()._measure()
        line_h, head_h = self._appearance.sizes.small_line_h, self.horizontalHeader().height()
        self.setMinimumHeight(head_h + min(len(self.lines), _LEAST_LINES) * line_h)
        self.setMaximumHeight(head_h + len(self.lines) * line_h)
        self.updateGeometry()

    def fit_into(self, height: int) -> None:
        """As many whole lines as find room."""
        line_h, head_h = self._appearance.sizes.small_line_h, self.horizontalHeader().height()
        shown = min(len(self.lines), max(_LEAST_LINES, (height - head_h) // line_h))
        self.setMaximumHeight(head_h + shown * line_h)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """All its lines."""
        return QSize(200, self.maximumHeight())

    def _share(self) -> None:
        factor = self._appearance.sizes.px(Role.BODY) / 15
        fills = next((number for number, one in enumerate(self.given, 1) if one.fills), None)
        taken = self.columnWidth(0) + self.right_pad
        for number, one in enumerate(self.given, 1):
            if number != fills:
                self.setColumnWidth(number, round(one.width * factor))
                taken += round(one.width * factor)
        if fills is not None:
            self.setColumnWidth(fills, max(24, self.viewport().width() - taken))


class _EntryLine(QWidget):
    """The line in hand: its fields under the columns, a remark at the right."""

    def __init__(self, appearance: Appearance, table: _Lines) -> None:
        super().__init__()
        self._appearance, self._table = appearance, table
        self.mark: Mark | None = None
        self.fields: dict[str, EntryField] = {}
        for column in table.given:
            if column.key:
                field = EntryField(appearance, column)
                field.setParent(self)
                self.fields[column.key] = field
        self.remark = Text("", appearance, Role.SAID, "ink2")
        self.remark.setParent(self)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        appearance.changed.connect(self.lay_out)
        self.lay_out()

    def lay_out(self) -> None:
        """Put the fields under their columns."""
        sizes = self._appearance.sizes
        self.setFixedHeight(sizes.field_h + 5)
        for number, column in enumerate(self._table.given, 1):
            if not column.key:
                continue
            left = self._table.columnViewportPosition(number)
            right = left + self._table.columnWidth(number)
            if number > 1:
                left += _BETWEEN - (0 if column.figures else _PAD)
            else:
                left -= _PAD
            if column.figures:
                right += _PAD
            field = self.fields[column.key]
            field.setGeometry(left, 2, max(40, right - left), sizes.field_h)
        width = self.remark.sizeHint().width()
        self.remark.setGeometry(self.width() - width - GAP_12 - 2, 0, width, self.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The fields follow the columns."""
        super().resizeEvent(event)
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ground of the line in hand, its mark, a dotted line under what is carried."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        left = sizes.margin_w + 1
        ground = {Mark.ACT: "act_bg", Mark.LOOK: "look_bg"}.get(self.mark or Mark.HERE, "chosen")
        painter.fillRect(QRectF(left, 0, self.width() - left - 1, self.height() - 1), tokens.colour(ground))
        square = QRectF(0, 0, sizes.mark, sizes.mark)
        square.moveCenter(QRectF(0, 0, sizes.margin_w, self.height()).center())
        draw_mark(painter, square, self.mark or Mark.HERE, tokens)
        for field in self.fields.values():
            if field.property("carried") and not field.hasFocus() and not field.isHidden():
                box = field.geometry()
                draw_dotted_underline(
                    painter, box.left() + 6, box.right() - 6, box.bottom() - 8, tokens, "edge"
                )
        painter.setPen(QPen(tokens.colour("rule"), 1))
        painter.drawLine(QLineF(left, self.height() - 0.5, self.width(), self.height() - 0.5))


class EntryTable(QWidget):
    """What is typed stays until ``set_texts`` says otherwise; the page reads it, keeps it, or refuses it.

    entered(): the line is to be kept. edited(): something was typed.
    opened(object), take_back(object): Enter and Delete on a kept line, with its key.
    escaped(): Esc in a field.
    """

    entered = Signal()
    edited = Signal()
    opened = Signal(object)
    take_back = Signal(object)
    escaped = Signal()

    def __init__(self, appearance: Appearance, columns: Sequence[EntryColumn], name: str) -> None:
        super().__init__()
        self._appearance = appearance
        self._room: int | None = None
        self.table = _Lines(appearance, columns, name)
        self.line = _EntryLine(appearance, self.table)
        self.fields = self.line.fields
        self._keeps = {column.key for column in columns if column.keeps}
        self.said = Wrapped("", appearance, Role.BODY, "act")
        self.said.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addWidget(self.line)
        column.addWidget(self.said)
        column.addStretch(0)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        for key, field in self.fields.items():
            field.entered.connect(lambda key=key: self._entered(key))
            field.moved_up.connect(self._to_lines)
            field.escaped.connect(self.escaped)
            field.textEdited.connect(lambda _: self._edited())
        self.table.opened.connect(self.opened)
        self.table.take_back.connect(self.take_back)
        self.table.horizontalHeader().sectionResized.connect(lambda *_: self.line.lay_out())
        appearance.changed.connect(self._fit)
        self._fit()

    def _fit(self) -> None:
        self.said.setContentsMargins(self._appearance.sizes.margin_w + GAP_12, GAP_4, GAP_12, GAP_4)
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
        """Show these kept lines; the newest stays in sight."""
        before = len(self.table.lines)
        self.table.set_lines(lines)
        self._fit()
        self._fit_lines()
        if len(lines) > before:
            QTimer.singleShot(0, self.table, self.table.scrollToBottom)

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

    def set_remark(self, text: str) -> None:
        """What stands at the right end of the line in hand."""
        self.line.remark.setText(text)
        self.line.lay_out()

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

    def clear_said(self) -> None:
        """Forget what was said of the line."""
        self.line.mark = None
        self.said.hide()
        self.said.setText("")
        for field in self.fields.values():
            set_wrong(field, False)
            field.setAccessibleDescription("")
        self.line.update()

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
            self.table.setCurrentIndex(self.table.model().index(len(self.table.lines) - 1, 1))
            self.table.setFocus()


def cells(*texts: str | Cell) -> tuple[Cell, ...]:
    """Cells of a line, plain ones in ink."""
    return tuple(Cell(text) if isinstance(text, str) else text for text in texts)


def typed_words(texts: Iterable[str]) -> str:
    """What stands typed, for a warning."""
    return " ".join(text for text in texts if text)
