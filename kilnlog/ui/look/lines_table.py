"""A small ruled table as high as its lines, gone through by arrow keys; marks stand in the page's margin."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFontMetricsF, QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QStyledItemDelegate, QStyleOptionViewItem, QTableView, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.lines import Column, Index, Line, LinesModel
from kilnlog.ui.look.painting import Mark, draw_mark, draw_struck
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role

_LEFT = Qt.AlignmentFlag.AlignLeft
_RIGHT = Qt.AlignmentFlag.AlignRight
_MIDDLE = Qt.AlignmentFlag.AlignVCenter
#: Before every column but the first.
_BETWEEN = 18


class _Headings(QHeaderView):
    """Labels over the columns with a rule beneath."""

    def __init__(self, appearance: Appearance, model: LinesModel, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._appearance, self._lines = appearance, model
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(4)

    def paintSection(self, painter: QPainter, rect: QRect, logical_index: int) -> None:
        """A heading, aligned as its column is; the rule runs from the margin line to the page's edge."""
        left = self._appearance.sizes.margin_w + 1 if logical_index == 0 else rect.left()
        right = self.width() if logical_index == len(self._lines.columns) else rect.right()
        painter.setPen(self._appearance.tokens.colour("rule"))
        painter.drawLine(left, rect.bottom(), right, rect.bottom())
        if logical_index == 0:
            return
        column = self._lines.columns[logical_index - 1]
        painter.setFont(self._appearance.sizes.font(Role.LABEL))
        painter.setPen(self._appearance.tokens.colour("ink2"))
        align = (_RIGHT if column.figures else _LEFT) | _MIDDLE
        before = _BETWEEN if logical_index > 1 and not column.figures else 0
        painter.drawText(QRectF(rect).adjusted(before, 0, 0, -GAP_4), int(align), column.heading)


class _Painter(QStyledItemDelegate):
    """Paints a cell: ground, rule, text; the margin's mark in column 0."""

    def __init__(self, appearance: Appearance, model: LinesModel, table: LinesTable) -> None:
        super().__init__(table)
        self._appearance, self._lines, self._table = appearance, model, table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One cell."""
        line = self._lines.lines[index.row()]
        box = QRectF(option.rect)
        tokens = self._appearance.tokens
        in_hand = self._table.hasFocus() and index.row() == self._table.currentIndex().row()
        if index.column() == 0:
            self._margin(painter, box, line, in_hand)
            return
        first = index.column() == 1
        last = index.column() == len(self._lines.columns)
        before = self._table.text_inset if first else 0
        room = box.adjusted(-before, 0, self._table.right_pad if last else 0, 0)
        ground = "chosen" if in_hand else line.ground
        if ground is not None:
            painter.fillRect(room, tokens.colour(ground))
        if line.ruled:
            painter.setPen(tokens.colour("rule"))
            painter.drawLine(room.bottomLeft(), room.bottomRight())
        self._text(painter, box, index)

    def _margin(self, painter: QPainter, box: QRectF, line: Line, in_hand: bool) -> None:
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        square = QRectF(0, 0, sizes.mark, sizes.mark)
        square.moveCenter(QRectF(box.left(), box.top(), sizes.margin_w, box.height()).center())
        left_of_text = QRectF(box.left() + sizes.margin_w + 1, box.top(), GAP_12, box.height())
        ground = "chosen" if in_hand else line.ground
        if ground is not None:
            painter.fillRect(left_of_text, tokens.colour(ground))
        if line.ruled:
            painter.setPen(tokens.colour("rule"))
            painter.drawLine(left_of_text.bottomLeft(), left_of_text.bottomRight())
        mark = Mark.HERE if in_hand and line.mark not in (Mark.ACT, Mark.LOOK) else line.mark
        if mark is not None:
            draw_mark(painter, square, mark, tokens)

    def _text(self, painter: QPainter, box: QRectF, index: Index) -> None:
        cell = self._lines.cell(index.row(), index.column())
        if not cell.text:
            return
        column = self._lines.columns[index.column() - 1]
        font = self._appearance.sizes.font(cell.role)
        align = _RIGHT if column.figures else _LEFT
        before = index.column() - 1
        # A remark may reach over empty cells before it.
        while column.figures and before > 1 and not self._lines.cell(index.row(), before).text:
            box.setLeft(box.left() - self._table.columnWidth(before))
            before -= 1
        if index.column() > 1 and not column.figures:
            box.setLeft(box.left() + _BETWEEN)
        if cell.struck:
            draw_struck(painter, box, cell.text, font, self._appearance.tokens, align)
            return
        painter.setFont(font)
        painter.setPen(self._appearance.tokens.colour(cell.colour))
        room = box.width() - (GAP_4 if column.figures else 0)
        text = QFontMetricsF(font).elidedText(cell.text, Qt.TextElideMode.ElideRight, room)
        painter.drawText(box, int(align | _MIDDLE), text)


class LinesTable(QTableView):
    """Arrows go through the lines; the page that holds it scrolls.

    opened(object), take_back(object), asked(object): Enter, Delete and F2 on a line that has a key.
    moved(QRect): another line is in hand; the rectangle is its place in the table.
    """

    opened = Signal(object)
    take_back = Signal(object)
    asked = Signal(object)
    moved = Signal(QRect)

    def __init__(
        self, appearance: Appearance, columns: Sequence[Column], name: str, *, margin: bool = True
    ) -> None:
        """Without ``margin`` it stands inside a form and has no marks."""
        super().__init__()
        self._appearance = appearance
        self._lines = LinesModel(columns, self)
        self.right_pad = GAP_12 if margin else 0
        self.text_inset = GAP_12 if margin else 0  # from the margin line to the texts
        self.setModel(self._lines)
        self.setItemDelegate(_Painter(appearance, self._lines, self))
        self.setHorizontalHeader(_Headings(appearance, self._lines, self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setMinimumSectionSize(8)
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setStyleSheet("QTableView, QHeaderView { background: transparent; border: none; }")
        self.viewport().setAutoFillBackground(False)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        appearance.changed.connect(self._measure)
        self.doubleClicked.connect(lambda index: self._tell(self.opened, index.row()))
        self._measure()

    def set_right_pad(self, pad: int) -> None:
        """Keep this much to the right of the last column [px]."""
        if pad != self.right_pad:
            self.right_pad = pad
            self._share()

    @property
    def lines(self) -> tuple[Line, ...]:
        """The lines shown."""
        return self._lines.lines

    @property
    def key(self) -> object:
        """What the line in hand stands for; None where there is none."""
        row = self.currentIndex().row()
        return self.lines[row].key if 0 <= row < len(self.lines) else None

    def set_lines(self, lines: Sequence[Line], columns: Sequence[Column] | None = None) -> None:
        """Show these lines; the line in hand stays in hand where it is still there."""
        if tuple(lines) == self.lines and (columns is None or tuple(columns) == self._lines.columns):
            return
        key, row = self.key, self.currentIndex().row()
        self._lines.set_lines(lines, columns)
        kept = next((n for n, line in enumerate(lines) if key is not None and line.key == key), None)
        if lines:
            self._go_to(kept if kept is not None else min(max(row, 0), len(lines) - 1))
        self._measure()

    def _go_to(self, row: int) -> None:
        self.setCurrentIndex(self._lines.index(row, 1))

    def _measure(self) -> None:
        sizes = self._appearance.sizes
        label = QFontMetricsF(sizes.font(Role.LABEL))
        header_h = round(label.height() + 6)
        self.horizontalHeader().setFixedHeight(header_h)
        for row in range(len(self.lines)):
            self.setRowHeight(row, sizes.small_line_h)
        self.setColumnHidden(0, not self.text_inset)
        if self.text_inset:
            self.setColumnWidth(0, sizes.margin_w + 1 + GAP_12)
        self.setFixedHeight(header_h + len(self.lines) * sizes.small_line_h)
        self._share()

    def _share(self) -> None:
        """Each column as wide as its widest text; the one that fills takes what is left."""
        sizes = self._appearance.sizes
        label = QFontMetricsF(sizes.font(Role.LABEL))
        taken, fills = float(self.columnWidth(0) + self.right_pad), None
        for number, column in enumerate(self._lines.columns, start=1):
            if column.fills:
                fills = number
                continue
            texts = [label.horizontalAdvance(column.heading)]
            for row in range(len(self.lines)):
                cell = self._lines.cell(row, number)
                texts.append(QFontMetricsF(sizes.font(cell.role)).horizontalAdvance(cell.text))
            width = ceil(max(texts)) + (_BETWEEN if number > 1 else 2)
            self.setColumnWidth(number, width)
            taken += width
        if fills is not None:
            self.setColumnWidth(fills, max(24, round(self.viewport().width() - taken)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The columns follow the page."""
        super().resizeEvent(event)
        self._share()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens, Delete takes back, F2 asks; at either end the arrows leave the table."""
        row = self.currentIndex().row()
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._tell(self.opened, row)
        elif key == Qt.Key.Key_Delete:
            self._tell(self.take_back, row)
        elif key == Qt.Key.Key_F2:
            self._tell(self.asked, row)
        elif key == Qt.Key.Key_Up and row <= 0:
            self.focusPreviousChild()
        elif key == Qt.Key.Key_Down and row >= len(self.lines) - 1:
            self.focusNextChild()
        elif key == Qt.Key.Key_Escape:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tell where the line in hand lies."""
        super().currentChanged(current, previous)
        self.viewport().update()
        if current.isValid() and self.hasFocus():
            self.moved.emit(self._place_of(current.row()))

    def focusInEvent(self, event: QFocusEvent) -> None:
        """A line is in hand as soon as the keys are here."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.lines:
            self._go_to(0)
        self.viewport().update()
        if self.lines:
            self.moved.emit(self._place_of(max(0, self.currentIndex().row())))

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """No line is in hand once the keys are elsewhere."""
        super().focusOutEvent(event)
        self.viewport().update()

    def _place_of(self, row: int) -> QRect:
        top = self.horizontalHeader().height() + self.rowViewportPosition(row)
        return QRect(0, top, self.width(), self.rowHeight(row))

    def _tell(self, signal: object, row: int) -> None:
        if 0 <= row < len(self.lines) and self.lines[row].key is not None:
            signal.emit(self.lines[row].key)  # type: ignore[attr-defined]  # a bound signal has no public type
