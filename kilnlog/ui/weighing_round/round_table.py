"""The ruled lines of the round, with the entry field and the slip lying on them."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QMouseEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QHeaderView, QTableView

from kilnlog.logbook import figures
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.weighing_round.column_widths import ColumnWidths
from kilnlog.ui.weighing_round.entry_field import EntryField
from kilnlog.ui.weighing_round.headings import Headings
from kilnlog.ui.weighing_round.keeper import RoundKeeper
from kilnlog.ui.weighing_round.line_painter import LinePainter
from kilnlog.ui.weighing_round.model import Column, RoundModel
from kilnlog.ui.weighing_round.page_painter import paint_page
from kilnlog.ui.weighing_round.slip import Slip
from kilnlog.ui.weighing_round.typed import Typed, TypedState


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
        self._board = ""  # whose line is in hand, also while the lines are laid out anew
        self._stayed = ""  # whose line stayed in hand once its weight was on its way, for nothing else waited
        self._shown = ""  # what the field held before anybody typed in it
        self._painter = LinePainter(appearance, self._model)
        self.setModel(self._model)
        self._columns = ColumnWidths(self, self._model, appearance)
        self.setHorizontalHeader(Headings(appearance, self))
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setShowGrid(False)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)  # Tab leaves the lines; the arrows go through them
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
        self.field.barred.connect(self._tell_why_not)
        self._appearance.changed.connect(self._measure)
        self.field.entered.connect(self._enter)
        self.field.moved.connect(self._move)
        self.field.escaped.connect(self._escape)
        self.field.textEdited.connect(self._edited)
        self.field.take_likely.connect(self.slip.take_likely)
        self.field.insist.connect(self.slip.ask_reason)
        self.field.choose.connect(self.slip.choose)
        self.slip.again.connect(self._again)
        self.slip.likely.connect(lambda: self._go_on_if(self._keeper.take_likely(self._entity())))
        self.slip.reading.connect(
            lambda text: self._go_on_if(self._keeper.take_reading(self._entity(), text))
        )
        self.slip.way.connect(lambda number: self._go_on_if(self._keeper.take_way(self._entity(), number)))
        self.slip.insisted.connect(lambda text: self._go_on_if(self._keeper.insist(self._entity(), text)))
        self.slip.answering.connect(self._answering)
        self.slip.resized.connect(self._open_slip)
        self.verticalScrollBar().valueChanged.connect(self._place)

    @property
    def row(self) -> int:
        """The row in hand, or -1."""
        return self._painter.in_hand

    def go_to(self, row: int) -> None:
        """Take a row in hand: its weight, kept or half typed, stands in the field.

        Digits typed on the row left behind, and not entered, stay standing there.
        """
        if not 0 <= row < self._model.rowCount():
            return
        self.hold()
        self._stayed = ""
        left, self._painter.in_hand = self.row, row
        line = self._model.line(row)
        self._board = line.entity
        self._show_standing()
        self.field.setAccessibleName(f"Weight of board {line.board} now, {line.unit}")
        self._follow_sealing()
        self._let_go_of_slip()  # it speaks of the line just left
        self._open_slip()
        # One line ahead stays visible, so that the next board is known before this one is put back.
        self.scrollTo(self._model.index(min(row + 1, self._model.rowCount() - 1), Column.BOARD))
        self.scrollTo(self._model.index(row, Column.BOARD))
        self._place()
        self._repaint_row(left)
        self._repaint_row(row)
        self.line_changed.emit(line.entity)

    def go_to_first_waiting(self) -> None:
        """The first line that waits for a weight, where there is one."""
        waiting = self._model.next_waiting(-1)
        if waiting is not None:
            self.go_to(waiting)

    def drop_typed(self) -> bool:
        """Drop what stands typed on the line in hand; whether there was any."""
        if self.row < 0 or self.field.isReadOnly():
            return False
        typed = self._model.typed(self.row)
        stands = typed is not None and typed.state is not TypedState.SAVING
        if not stands and self.field.text() == self._shown:
            return False
        self._escape()
        return True

    def hold(self) -> None:
        """Let digits that were not entered stand on their line."""
        if self._board and self.field.text() != self._shown:
            self._shown = self.field.text()
            self._keeper.hold(self._board, self._shown)

    def _standing(self) -> str:
        """What the file or the keeper holds of the line in hand."""
        typed, kept = self._model.typed(self.row), self._model.line(self.row).kept
        if typed is not None:
            return typed.text
        return kept.fact.weight.text if kept is not None else ""

    def _show_standing(self) -> None:
        self._shown = self._standing()
        self.field.setText(self._shown)
        self.field.selectAll()

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
            self._keeper.look_elsewhere()
            self.go_to(row)

    def _entity(self) -> str:
        return self._model.line(self.row).entity if self.row >= 0 else ""

    def _start_over(self) -> None:
        """Other lines: the board in hand stays in hand where it is among them, digits and all."""
        self._let_go_of_slip()
        self._painter.in_hand = -1
        self._measure()
        same = self._model.row_of(self._board)
        if same is not None:
            self._painter.in_hand = same
            self._follow()
            self._place()
            return
        self.hold()  # digits of a charge that just went out of hand wait there
        self._board = self._shown = ""
        self.field.clear()
        if self._model.rowCount() == 0:
            self.field.hide()
            return
        self.go_to(0)
        self.go_to_first_waiting()

    def _enter(self) -> None:
        if self.row < 0:
            return
        typed = self._model.typed(self.row)
        text = self.field.text()
        if typed is not None and typed.text == text and typed.state in (TypedState.ASKED, TypedState.REFUSED):
            self._again()
        elif not text.strip() and typed is None:
            self._move(1)  # an empty line is left for later
        else:
            self._offer(text)

    def _offer(self, text: str) -> None:
        if self._keeper.is_saving(self._entity()):
            return  # another Enter, once the file holds the first, overrules it
        edited = self.field.isModified()
        self._shown = text  # from here on the keeper has it
        stayed = self._stayed == self._entity()
        self._go_on_if(self._keeper.offer(self._entity(), text, edited=edited, stayed=stayed))

    def _go_on_if(self, kept: bool) -> None:
        if not kept:
            self._open_slip()
            self.field.selectAll()
            return
        following = self._model.next_waiting(self.row)
        self.go_to(self.row if following is None else following)
        self._stayed = self._entity() if following is None else ""
        self.field.setFocus()

    def _again(self) -> None:
        typed = self._model.typed(self.row) if self.row >= 0 else None
        if typed is not None and typed.can_retry:
            self._go_on_if(self._keeper.retry(self._entity()))
            return
        self._keeper.leave(self._entity())
        self.field.setFocus()
        self.field.selectAll()

    def _escape(self) -> None:
        self._keeper.leave(self._entity())
        self._shown = self.field.text()  # dropped, not held
        self.go_to(self.row)

    def _edited(self) -> None:
        """What stood typed on the line is typed over; from here on the field alone has the digits."""
        self._keeper.leave(self._entity())
        self._shown = self._standing() if self.row >= 0 else ""

    def _move(self, lines: int) -> None:
        last = self._model.rowCount() - 1
        self._keeper.look_elsewhere()
        self.go_to(max(0, min(last, self.row + lines)))

    def _tell_why_not(self) -> None:
        desk = self._keeper.desk
        if desk.why_no_row is not None:
            desk.refused.emit(desk.why_no_row)

    def _follow(self) -> None:
        """A line was kept, asked about or refused; or the round is another, or the charge closed."""
        self._follow_sealing()
        if 0 <= self.row < self._model.rowCount():
            untouched = self.field.text() == self._shown
            if untouched and self._standing() != self._shown:
                self._show_standing()
        self._open_slip()

    def _open_slip(self) -> None:
        """Give the line in hand the room its slip needs, and put every other line back to its height."""
        line_h = self._appearance.sizes.line_h
        typed = self._model.typed(self.row) if 0 <= self.row < self._model.rowCount() else None
        asks = typed is not None and typed.state in (TypedState.ASKED, TypedState.REFUSED)
        open_row = self.row if asks else -1
        if asks and typed is not None and (self.slip.isHidden() or self.slip.typed is not typed):
            self.slip.show_typed(typed, self._read_earlier(typed))
        for row in range(self._model.rowCount()):
            height = line_h
            if row == open_row:
                height += self.slip.height_for(self._slip_width())
            if self.rowHeight(row) != height:
                self.setRowHeight(row, height)
        if open_row >= 0:
            self.slip.show()
        else:
            self._let_go_of_slip()
        self._place()

    def _answering(self, is_answering: bool) -> None:
        self._keeper.is_answering = is_answering

    def _let_go_of_slip(self) -> None:
        """Hidden with the keys in it, it would hand them to whatever stands next in the window."""
        focus = QApplication.focusWidget()
        if focus is not None and self.slip.isAncestorOf(focus):
            self.field.setFocus()
        self.slip.close_reason()
        self.slip.hide()

    def _read_earlier(self, typed: Typed) -> str:
        """When an asked weight was read, where that is no longer the round being weighed."""
        if typed.read_at is None or abs(self._keeper.at.hours_since(typed.read_at)) < 1:
            return ""
        return f"Typed on {figures.weekday_date_and_time(typed.read_at)}, and kept for then."

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
        self._columns.measure()
        self._open_slip()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The columns follow the page."""
        super().resizeEvent(event)
        self._columns.share_the_rest()
        self._open_slip()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click takes a line in hand."""
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and index.row() != self.row:
            self._keeper.look_elsewhere()
            self.go_to(index.row())
        self.field.setFocus()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The lines, and the spare ones below them."""
        paint_page(self, self._painter, self._appearance, event)
