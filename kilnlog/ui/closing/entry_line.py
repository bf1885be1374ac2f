"""What a table to type into is made of: its columns, its kept lines, the line in hand with its fields."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QEvent, QLineF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.lines import Column
from kilnlog.ui.look.lines_table import LinesTable
from kilnlog.ui.look.painting import Mark, draw_dotted_underline, draw_mark
from kilnlog.ui.look.sizes import Role

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
    """entered(): Enter. moved_up(): the arrow up leaves for the lines above. escaped(): Esc.

    keys_turned(): the keys came here, or went.
    """

    entered = Signal()
    moved_up = Signal()
    escaped = Signal()
    keys_turned = Signal()

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

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the keys are here."""
        super().focusInEvent(event)
        self.keys_turned.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell that they went."""
        super().focusOutEvent(event)
        self.keys_turned.emit()

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


class KeptLines(LinesTable):
    """Columns as wide as they are told: what is typed under them must not make them jump.

    typed(str): a letter or a figure, which is for the line in hand. left_below(): the arrow down on the
        last line. keys_turned(): the keys came here, or went.
    """

    typed = Signal(str)
    left_below = Signal()
    keys_turned = Signal()

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

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What is typed here is meant for the line in hand: it must not vanish."""
        text = event.text()
        if event.key() == Qt.Key.Key_Down and self.currentIndex().row() >= len(self.lines) - 1:
            self.left_below.emit()
        elif text and text.isprintable() and not text.isspace() and not event.modifiers() & _MODIFIED:
            self.typed.emit(text)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The mark of what is in hand goes along."""
        super().focusInEvent(event)
        self.keys_turned.emit()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """And goes back."""
        super().focusOutEvent(event)
        self.keys_turned.emit()

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


class EntryLine(QWidget):
    """The line in hand: its fields under the columns."""

    def __init__(self, appearance: Appearance, table: KeptLines) -> None:
        super().__init__()
        self._appearance, self._table = appearance, table
        self.mark: Mark | None = None
        self.fields: dict[str, EntryField] = {}
        for column in table.given:
            if column.key:
                field = EntryField(appearance, column)
                field.setParent(self)
                self.fields[column.key] = field
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

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The fields follow the columns."""
        super().resizeEvent(event)
        self.lay_out()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ground of the line in hand, its mark, a dotted line under what is carried."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        left = sizes.margin_w + 1
        # What is in hand is marked once: here, or up in the list while the keys are there.
        mark = self.mark or (None if self._table.hasFocus() else Mark.HERE)
        if mark is not None:
            ground = {Mark.ACT: "act_bg", Mark.LOOK: "look_bg"}.get(mark, "chosen")
            room = QRectF(left, 0, self.width() - left - 1, self.height() - 1)
            painter.fillRect(room, tokens.colour(ground))
        square = QRectF(0, 0, sizes.mark, sizes.mark)
        square.moveCenter(QRectF(0, 0, sizes.margin_w, self.height()).center())
        if mark is not None:
            draw_mark(painter, square, mark, tokens)
        for field in self.fields.values():
            if field.property("carried") and not field.hasFocus() and not field.isHidden():
                box = field.geometry()
                draw_dotted_underline(
                    painter, box.left() + 6, box.right() - 6, box.bottom() - 8, tokens, "edge"
                )
        painter.setPen(QPen(tokens.colour("rule"), 1))
        painter.drawLine(QLineF(left, self.height() - 0.5, self.width(), self.height() - 0.5))
