"""Paints the lines of the round: ink for typed, pencil for computed, marks in the margin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter

from kilnlog.logbook.round_sheet import LineState
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import draw_margin_bar, draw_mark, draw_struck, draw_waiting_line
from kilnlog.ui.look.sizes import GAP_12, Role
from kilnlog.ui.look.tokens import Tokens
from kilnlog.ui.weighing_round.model import Column, RoundModel
from kilnlog.ui.weighing_round.typed import TypedState

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter

_ROLES: dict[Column, Role] = {
    Column.BOARD: Role.BOARD_NUMBER,
    Column.PLACE: Role.BODY,
    Column.LAST: Role.FIGURE_TYPED,
    Column.EXPECTED: Role.FIGURE,
    Column.NOW: Role.ENTRY,
    Column.MC: Role.FIGURE,
    Column.LOSS: Role.FIGURE,
    Column.SAYS: Role.BODY,
}
_COLOURS: dict[Column, str] = {
    Column.BOARD: "ink",
    Column.PLACE: "ink2",
    Column.LAST: "ink2",
    Column.EXPECTED: "pencil",
    Column.NOW: "ink",
    Column.MC: "pencil",
    Column.LOSS: "pencil",
}
_FIGURES = frozenset({Column.LAST, Column.EXPECTED, Column.NOW, Column.MC, Column.LOSS})
#: Columns keep this much to their right; a figure ends there, the next column's text begins after it.
PAD = GAP_12


@dataclass(frozen=True, slots=True)
class Lying:
    """Where a column lies across the page [px]."""

    column: Column
    left: int
    width: int


class LinePainter:
    """One whole line at a time; the slip and the entry field lie over it as widgets of their own."""

    def __init__(self, appearance: Appearance, model: RoundModel) -> None:
        self._appearance = appearance
        self._model = model
        self.in_hand = -1  # the row the entry field lies on
        self.has_field = True  # weights can be typed

    def paint_ground(self, painter: QPainter, row: int, top: int, height: int, right: int) -> None:
        """The ground of a line from the margin to the page's edge, its rule, and the bar of the control.

        Args:
            painter: On the page.
            row: Which line.
            top: Where it begins [px].
            height: With the slip under it, where one is open [px].
            right: The page's edge [px].
        """
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        left = sizes.margin_w + 1
        if (ground := self._ground(row)) is not None:
            painter.fillRect(left, top, right - left, height, tokens.colour(ground))
        painter.setPen(tokens.colour("rule"))
        painter.drawLine(left, top + height - 1, right, top + height - 1)
        if self._model.line(row).feeds_control:
            draw_margin_bar(painter, left - 2, top, sizes.line_h, tokens.colour("pencil"))

    def paint_words(self, painter: QPainter, row: int, top: int, columns: Sequence[Lying]) -> None:
        """What stands on a line, and its mark in the margin."""
        tokens, line_h = self._appearance.tokens, self._appearance.sizes.line_h
        for lying in columns:
            cell = QRectF(lying.left, top, lying.width, line_h)
            if lying.column is Column.MARGIN:
                self._mark(painter, cell, row, tokens)
            else:
                self._text(painter, cell, row, lying.column, tokens)

    def _ground(self, row: int) -> str | None:
        typed = self._model.typed(row)
        if typed is not None and typed.state is TypedState.ASKED:
            return "look_bg"
        if typed is not None and typed.state is TypedState.REFUSED:
            return "act_bg"
        return "chosen" if row == self.in_hand else None

    def _mark(self, painter: QPainter, line: QRectF, row: int, tokens: Tokens) -> None:
        mark = self._model.mark(row, row == self.in_hand)
        if mark is not None:
            size = self._appearance.sizes.mark
            box = QRectF(0, 0, size, size)
            box.moveCenter(line.center())
            draw_mark(painter, box, mark, tokens)

    def _text(self, painter: QPainter, line: QRectF, row: int, column: Column, tokens: Tokens) -> None:
        if column is Column.NOW and row == self.in_hand and self.has_field:
            return  # the entry field lies here
        text = self._model.text(row, column)
        box = line.adjusted(PAD if column is Column.BOARD or column is Column.SAYS else 0, 0, -PAD, 0)
        font = self._appearance.sizes.font(_ROLES[column])
        align = _RIGHT if column in _FIGURES else _LEFT
        round_line = self._model.line(row)
        if column is Column.NOW and not text:
            if round_line.state is LineState.WAITING and self.has_field:
                draw_waiting_line(painter, box.left() + PAD, box.right(), line.bottom() - 4, tokens)
            return
        if column is Column.BOARD and round_line.state in (LineState.WITHDRAWN, LineState.OUT):
            draw_struck(painter, box, text, font, tokens, Qt.AlignmentFlag.AlignLeft)
            return
        painter.setFont(font)
        painter.setPen(tokens.colour(self._colour(row, column)))
        if column in (Column.PLACE, Column.SAYS):
            text = painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, int(box.width()))
        painter.drawText(box, int(align), text)

    def _colour(self, row: int, column: Column) -> str:
        if column is Column.SAYS:
            return self._model.says(row)[1]
        if column is Column.NOW:
            typed = self._model.typed(row)
            if typed is not None:
                return "act" if typed.state is TypedState.REFUSED else "ink2"
        return _COLOURS[column]
