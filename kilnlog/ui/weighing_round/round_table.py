"""The ruled lines of the round, with the entry field and the slip lying on them."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QTableView, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_12, Role
from kilnlog.ui.weighing_round.entry_field import EntryField
from kilnlog.ui.weighing_round.keeper import RoundKeeper, TypedState
from kilnlog.ui.weighing_round.line_painter import PAD, LinePainter, Lying
from kilnlog.ui.weighing_round.model import Column, RoundModel
from kilnlog.ui.weighing_round.slip import Slip

#: The widest texts a column is laid out for; a longer one widens it.
_SAMPLES: dict[Column, tuple[Role, str]] = {
    Column.BOARD: (Role.BOARD_NUMBER, "12"),
    Column.LAST: (Role.FIGURE_TYPED, "2,888"),
    Column.EXPECTED: (Role.FIGURE, "2,888 – 2,888"),
    Column.NOW: (Role.ENTRY, "28,888"),
    Column.MC: (Role.FIGURE, "188.8"),
    Column.LOSS: (Role.FIGURE, "18.88"),
}
#: The columns that share what the others leave.
_SPREAD = (Column.LAST, Column.EXPECTED, Column.NOW, Column.MC, Column.LOSS)
_LEAST_SAYS_W = 132  # px at regular size: "near its limit, 6.5"


class _Headings(QHeaderView):
    """Labels over the columns, a rule beneath; nothing to click."""

    def __init__(self, appearance: Appearance, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._appearance = appearance
        self.setSectionsClickable(False)
        self.setHighlightSections(False)

    def paintSection(self, painter: QPainter, rect: QRect, logical_index: int) -> None:
        """A heading, aligned as its column is."""
        column = Column(logical_index)
        tokens = self._appearance.tokens
        box = QRectF(rect)
        if column is not Column.MARGIN:
            painter.setPen(tokens.colour("rule"))
            painter.drawLine(rect.bottomLeft(), rect.bottomRight())
        left = column in (Column.BOARD, Column.PLACE, Column.SAYS)
        inner = box.adjusted(PAD if column in (Column.BOARD, Column.SAYS) else 0, 0, -PAD, 0)
        side = Qt.AlignmentFlag.AlignLeft if left else Qt.AlignmentFlag.AlignRight
        painter.setFont(self._appearance.sizes.font(Role.LABEL))
        painter.setPen(tokens.colour("ink2"))
        text = str(self.model().headerData(logical_index, Qt.Orientation.Horizontal) or "")
        painter.drawText(inner, int(side | Qt.AlignmentFlag.AlignVCenter), text)


class RoundTable(QTableView):
    """Typing goes to the line in hand; Enter keeps it and goes on.

    line_changed(str): the board whose line is now in hand.
    """

    line_changed = Signal(str)

    def __init__(self, keeper: RoundKeeper, appearance: Appearance) -> None:
        super().__init__()
        self._keeper = keeper
        self._appearance = appearance
        self._model = RoundModel(keeper)
        self._least: dict[Column, int] = {}  # px
        self._painter = LinePainter(appearance, self._model)
        self.setModel(self._model)
        self.setHorizontalHeader(_Headings(appearance, self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.setStyleSheet("QTableView, QHeaderView { background: transparent; border: none; }")
        self.viewport().setAutoFillBackground(False)
        self.setAccessibleName("Weighing round")
        self.field = EntryField(appearance, self.viewport())
        self.slip = Slip(appearance, self.viewport())
        self.slip.hide()
        self.field.hide()
        self.setFocusProxy(self.field)
        self._connect()
        self._start_over()

    def _connect(self) -> None:
        self._model.modelReset.connect(self._start_over)
        self._keeper.changed.connect(self._follow)
        self._appearance.changed.connect(self._measure)
        self.field.entered.connect(self._enter)
        self.field.moved.connect(self._move)
        self.field.escaped.connect(self._escape)
        self.field.textEdited.connect(self._edited)
        self.field.take_likely.connect(self.slip.choose_first)
        self.field.insist.connect(self.slip.choose_second)
        self.slip.again.connect(self._again)
        self.slip.likely.connect(lambda: self._go_on_if(self._keeper.take_likely(self._entity())))
        self.slip.reading.connect(
            lambda text: self._go_on_if(self._keeper.take_reading(self._entity(), text))
        )
        self.slip.insisted.connect(lambda text: self._go_on_if(self._keeper.insist(self._entity(), text)))
        self.slip.resized.connect(self._open_slip)
        self.verticalScrollBar().valueChanged.connect(self._place)

    @property
    def row(self) -> int:
        """The row in hand, or -1."""
        return self._painter.in_hand

    def go_to(self, row: int) -> None:
        """Take a row in hand: its weight, kept or half typed, stands in the field."""
        if not 0 <= row < self._model.rowCount():
            return
        left, self._painter.in_hand = self.row, row
        line, typed = self._model.line(row), self._model.typed(row)
        text = typed.text if typed is not None else ""
        if typed is None and line.kept is not None:
            text = line.kept.fact.weight.text
        self.field.setText(text)
        self.field.selectAll()
        self.field.setAccessibleName(f"Weight of board {line.board} now, {line.unit}")
        self._follow_sealing()
        self.slip.hide()  # it speaks of the line just left
        self._open_slip()
        # One line ahead stays visible, so that the next board is known before this one is put back.
        self.scrollTo(self._model.index(min(row + 1, self._model.rowCount() - 1), Column.BOARD))
        self.scrollTo(self._model.index(row, Column.BOARD))
        self._place()
        self._repaint_row(left)
        self._repaint_row(row)
        self.line_changed.emit(line.entity)

    def _follow_sealing(self) -> None:
        """Once nothing can be written there is no box, and the keys only move."""
        can_write = self._keeper.desk.can_write
        if self.field.isReadOnly() == can_write:
            self._painter.has_field = can_write
            self.field.setReadOnly(not can_write)
            self.viewport().update()

    def _repaint_row(self, row: int) -> None:
        if 0 <= row < self._model.rowCount():
            top = self.rowViewportPosition(row)
            self.viewport().update(0, top, self.viewport().width(), self.rowHeight(row))

    def go_to_board(self, entity: str) -> None:
        """Take the line of a board in hand."""
        row = self._model.row_of(entity)
        if row is not None and row != self.row:
            self.go_to(row)

    def _entity(self) -> str:
        return self._model.line(self.row).entity if self.row >= 0 else ""

    def _start_over(self) -> None:
        self._painter.in_hand = -1
        self.slip.hide()
        self._measure()
        if self._model.rowCount() == 0:
            self.field.hide()
            return
        waiting = self._model.next_waiting(-1)
        self.go_to(0 if waiting is None else waiting)

    def _enter(self) -> None:
        if self.row < 0:
            return
        typed = self._model.typed(self.row)
        if typed is not None and typed.state is not TypedState.SAVING and typed.text == self.field.text():
            self._again()
        elif not self.field.text().strip() and typed is None:
            self._move(1)  # an empty line is left for later
        else:
            self._go_on_if(self._keeper.offer(self._entity(), self.field.text()))

    def _go_on_if(self, kept: bool) -> None:
        if not kept:
            self._open_slip()
            self.field.selectAll()
            return
        following = self._model.next_waiting(self.row)
        self.go_to(self.row if following is None else following)
        self.field.setFocus()

    def _again(self) -> None:
        self._keeper.leave(self._entity())
        self.field.setFocus()
        self.field.selectAll()

    def _escape(self) -> None:
        self._keeper.leave(self._entity())
        self.go_to(self.row)

    def _edited(self) -> None:
        self._keeper.leave(self._entity())

    def _move(self, lines: int) -> None:
        last = self._model.rowCount() - 1
        self.go_to(max(0, min(last, self.row + lines)))

    def _follow(self) -> None:
        """A line was kept, asked about or refused; or the charge was closed."""
        self._follow_sealing()
        line = self._model.line(self.row) if 0 <= self.row < self._model.rowCount() else None
        untouched = not self.field.text() or not self.field.isModified()
        if line is not None and line.kept is not None and self._model.typed(self.row) is None and untouched:
            self.field.setText(line.kept.fact.weight.text)
            self.field.selectAll()
        self._open_slip()

    def _open_slip(self) -> None:
        """Give the line in hand the room its slip needs, and put every other line back to its height."""
        line_h = self._appearance.sizes.line_h
        typed = self._model.typed(self.row) if 0 <= self.row < self._model.rowCount() else None
        open_row = self.row if typed is not None and typed.state is not TypedState.SAVING else -1
        if open_row >= 0 and typed is not None and not self.slip.isVisibleTo(self):
            self.slip.show_typed(typed)
        for row in range(self._model.rowCount()):
            height = line_h
            if row == open_row:
                height += self.slip.height_for(self._slip_width())
            if self.rowHeight(row) != height:
                self.setRowHeight(row, height)
        self.slip.setVisible(open_row >= 0)
        self._place()

    def _slip_left(self) -> int:
        shown = Column.LAST if self.isColumnHidden(Column.PLACE) else Column.PLACE
        return self.columnViewportPosition(shown)

    def _slip_width(self) -> int:
        return self.viewport().width() - self._slip_left()

    def _place(self) -> None:
        """Lay the field and the slip over their line."""
        if not 0 <= self.row < self._model.rowCount():
            return
        cell = self.visualRect(self._model.index(self.row, Column.NOW))
        line_h = self._appearance.sizes.line_h
        # The field's text ends where the column's figures end, its box stands a little over both. Where
        # nothing can be written it only hears the keys.
        size = (cell.width(), line_h - 4) if self._painter.has_field else (0, 0)
        self.field.setGeometry(cell.left(), cell.top() + 2, *size)
        self.field.show()
        if self.slip.isVisibleTo(self):
            height = self.slip.height_for(self._slip_width())
            self.slip.setGeometry(self._slip_left(), cell.top() + line_h - 1, self._slip_width(), height)

    def _measure(self) -> None:
        """Lay the columns out by the fonts; the place gives way first where there is little room."""
        sizes = self._appearance.sizes
        header = self.horizontalHeader()
        header.setMinimumSectionSize(8)
        header.setFixedHeight(round(QFontMetricsF(sizes.font(Role.LABEL)).height() * 1.4))
        self.setColumnWidth(Column.MARGIN, sizes.margin_w + 1)
        for column, (role, sample) in _SAMPLES.items():
            metrics = QFontMetricsF(sizes.font(role))
            texts = [sample] + [self._model.text(row, column) for row in range(self._model.rowCount())]
            width = max(metrics.horizontalAdvance(text) for text in texts)
            heading = str(self._model.headerData(column, Qt.Orientation.Horizontal))
            width = max(width, QFontMetricsF(sizes.font(Role.LABEL)).horizontalAdvance(heading))
            extra = 3 * PAD if column in (Column.NOW, Column.LAST, Column.EXPECTED) else 2 * PAD
            self._least[column] = round(width) + extra
        self._share_the_rest()
        self._open_slip()

    def _share_the_rest(self) -> None:
        """Place and remark take what the figures leave."""
        sizes = self._appearance.sizes
        taken = self.columnWidth(Column.MARGIN) + sum(self._least.values())
        rest = max(0, self.viewport().width() - taken)
        least_says = round(_LEAST_SAYS_W * sizes.px(Role.BODY) / 15)
        self.setColumnHidden(Column.PLACE, sizes.name == "largest" or rest < least_says + 90)
        place = 0
        if not self.isColumnHidden(Column.PLACE):
            metrics = QFontMetricsF(sizes.font(Role.BODY))
            texts = [self._model.text(row, Column.PLACE) for row in range(self._model.rowCount())]
            natural = max((metrics.horizontalAdvance(text) for text in texts), default=0) + 2 * PAD
            place = min(max(round(natural), round(rest * 0.4)), rest - least_says)
            self.setColumnWidth(Column.PLACE, place)
        # With more room than the remark can use, the figures stand further apart.
        spare = max(0, rest - place - 2 * least_says) // len(_SPREAD)
        for column, width in self._least.items():
            self.setColumnWidth(column, width + (spare if column in _SPREAD else 0))
        self.setColumnWidth(Column.SAYS, max(least_says // 2, rest - place - spare * len(_SPREAD)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The columns follow the page."""
        super().resizeEvent(event)
        self._share_the_rest()
        self._open_slip()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click takes a line in hand."""
        index = self.indexAt(event.position().toPoint())
        if index.isValid():
            self.go_to(index.row())
        self.field.setFocus()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The lines that are to be painted, then the spare ones: ruled and empty.

        Qt's own way, a call for every cell, takes twice as long, and a weight's answer waits for it.
        """
        painter = QPainter(self.viewport())
        right = self.viewport().width()
        columns = [
            Lying(column, self.columnViewportPosition(column), self.columnWidth(column))
            for column in Column
            if not self.isColumnHidden(column)
        ]
        asked = event.region()
        bottom = 0
        for row in range(self._model.rowCount()):
            top, height = self.rowViewportPosition(row), self.rowHeight(row)
            bottom = top + height
            # For a changed line Qt asks for one pixel of the next: there are no words in that.
            has_words = asked.intersects(QRect(0, top + 1, right, height - 1))
            if has_words or asked.intersects(QRect(0, top, right, 1)):
                self._painter.paint_ground(painter, row, top, height, right)
            if has_words:
                self._painter.paint_words(painter, row, top, columns)
        if event.rect().bottom() >= bottom:
            self._rule_the_rest(painter, bottom, right)

    def _rule_the_rest(self, painter: QPainter, top: int, right: int) -> None:
        sizes = self._appearance.sizes
        painter.setPen(self._appearance.tokens.colour("rule"))
        for y in range(top + sizes.line_h - 1, self.viewport().height() - GAP_12, sizes.line_h):
            painter.drawLine(sizes.margin_w + 1, y, right, y)
