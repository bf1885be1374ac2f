"""Ruled lines on a side page: a mark in the margin, words at the left, a remark at the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import WORDS, Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_12, Role

_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)


class RuledLine(QWidget):
    """One line as wide as the page, margin included; grows where its words need two rows."""

    def __init__(
        self,
        appearance: Appearance,
        text: str,
        remark: str = "",
        mark: Mark | None = None,
        *,
        strong: bool = False,
    ) -> None:
        super().__init__()
        self._appearance = appearance
        self._text, self._remark, self._mark, self._strong = text, remark, mark, strong
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        said = (WORDS[mark] if mark else "", text, remark)
        self.setAccessibleName(", ".join(part for part in said if part))
        self.setToolTip(text)
        appearance.changed.connect(self._measure)

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def _font_role(self) -> Role:
        return Role.STRONG if self._strong else Role.BODY

    def _words_width(self, width: float) -> float:
        remark = QFontMetricsF(self._appearance.sizes.font(Role.BODY)).horizontalAdvance(self._remark)
        return width - self._appearance.sizes.margin_w - 2 * GAP_12 - (remark + GAP_12 if remark else 0)

    def hasHeightForWidth(self) -> bool:
        """Long words take more rows."""
        return True

    def heightForWidth(self, width: int) -> int:
        """One line of the list, or as many rows as the words need."""
        sizes = self._appearance.sizes
        metrics = QFontMetricsF(sizes.font(self._font_role()))
        box = QRectF(0, 0, max(40.0, self._words_width(width)), 1000)
        needed = metrics.boundingRect(box, int(Qt.TextFlag.TextWordWrap), self._text).height()
        return max(sizes.list_line_h, round(needed + sizes.list_line_h - metrics.height()))

    def sizeHint(self) -> QSize:
        """As high as the present width asks."""
        return QSize(200, self.heightForWidth(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Nested layouts ask for the height once; another width asks again."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Mark, words, remark, rule."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        if self._mark is not None:
            box = QRectF(0, 0, sizes.mark, sizes.mark)
            box.moveCenter(QRectF(0, 0, sizes.margin_w, min(self.height(), sizes.list_line_h)).center())
            draw_mark(painter, box, self._mark, tokens)
        left = sizes.margin_w + GAP_12
        painter.setFont(sizes.font(self._font_role()))
        painter.setPen(tokens.colour("ink"))
        words = QRectF(left, 0, self._words_width(self.width()), self.height() - 1)
        painter.drawText(words, _LEFT | int(Qt.TextFlag.TextWordWrap), self._text)
        painter.setFont(sizes.font(Role.BODY))
        painter.setPen(tokens.colour("ink2"))
        painter.drawText(
            QRectF(left, 0, self.width() - left - GAP_12, self.height() - 1), _RIGHT, self._remark
        )
        painter.setPen(QPen(tokens.colour("rule"), 1))
        y = self.height() - 0.5
        painter.drawLine(QLineF(sizes.margin_w + 1, y, self.width(), y))


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a small table, in a colour by token."""

    text: str
    colour: str = "ink"
    role: Role = Role.BODY
    under: str = ""  # a second, smaller line


class RuledTable(QWidget):
    """A small table of a side page: headings, then ruled lines. The first column takes the room."""

    def __init__(
        self, appearance: Appearance, headings: Sequence[str], name: str, *, in_margin: bool = True
    ) -> None:
        """``in_margin``: as wide as the page; otherwise it stands among the fields of a form."""
        super().__init__()
        self._in_margin = in_margin
        self._appearance = appearance
        self._headings = tuple(headings)
        self._rows: tuple[tuple[Cell, ...], ...] = ()
        self._name = name
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        appearance.changed.connect(self._measure)

    def set_rows(self, rows: Sequence[Sequence[Cell]], headings: Sequence[str] | None = None) -> None:
        """Show these lines."""
        self._rows = tuple(tuple(row) for row in rows)
        if headings is not None:
            self._headings = tuple(headings)
        told = [
            ", ".join(
                f"{head} {cell.text} {cell.under}".strip()
                for head, cell in zip(self._headings, row, strict=True)
            )
            for row in self._rows
        ]
        self.setAccessibleName(self._name)
        self.setAccessibleDescription("; ".join(told))
        self._measure()

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def _head_h(self) -> float:
        return QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).height() + 5

    def sizeHint(self) -> QSize:
        """Headings and lines."""
        return QSize(200, round(self._head_h() + len(self._rows) * self._line_h()))

    def _line_h(self) -> int:
        sizes = self._appearance.sizes
        two = any(cell.under for row in self._rows for cell in row)
        return sizes.open_line_h if two else sizes.list_line_h

    def _edges(self) -> list[float]:
        """The right edge of each column after the first."""
        sizes = self._appearance.sizes
        label = QFontMetricsF(sizes.font(Role.LABEL))
        edges: list[float] = []
        x = float(self.width() - (GAP_12 if self._in_margin else 0))
        for column in range(len(self._headings) - 1, 0, -1):
            edges.insert(0, x)
            cells = [
                QFontMetricsF(sizes.font(row[column].role)).horizontalAdvance(row[column].text)
                for row in self._rows
            ]
            x -= max([label.horizontalAdvance(self._headings[column]), *cells]) + 18
        return [x, *edges]

    def paintEvent(self, event: QPaintEvent) -> None:
        """All of it."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        left = sizes.margin_w + GAP_12 if self._in_margin else 0
        edges = self._edges()
        head = self._head_h()
        painter.setFont(sizes.font(Role.LABEL))
        painter.setPen(tokens.colour("ink2"))
        for column, heading in enumerate(self._headings):
            box = QRectF(left, 0, edges[column] - left, head - 5)
            painter.drawText(box, _RIGHT if column else _LEFT, heading)
        self._rule(painter, head - 0.5)
        top, line_h = head, self._line_h()
        for row in self._rows:
            for column, cell in enumerate(row):
                box = QRectF(left, top, edges[column] - left, line_h - 1)
                self._write(painter, box, cell, _RIGHT if column else _LEFT)
            top += line_h
            self._rule(painter, top - 0.5)

    def _write(self, painter: QPainter, box: QRectF, cell: Cell, align: int) -> None:
        """The text in the middle, or over the second line."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        upper, lower = sizes.font(cell.role), sizes.font(Role.TINY)
        if not cell.under:
            lines = [(box, cell.text, upper, cell.colour)]
        else:
            first, second = QFontMetricsF(upper).height(), QFontMetricsF(lower).height()
            top = box.center().y() - (first + second - 3) / 2
            lines = [
                (QRectF(box.x(), top, box.width(), first), cell.text, upper, cell.colour),
                (QRectF(box.x(), top + first - 3, box.width(), second), cell.under, lower, "ink2"),
            ]
        for rect, text, font, colour in lines:
            painter.setFont(font)
            painter.setPen(tokens.colour(colour))
            elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, rect.width())
            painter.drawText(rect, align, elided)

    def _rule(self, painter: QPainter, y: float) -> None:
        painter.setPen(QPen(self._appearance.tokens.colour("rule"), 1))
        left = self._appearance.sizes.margin_w + 1 if self._in_margin else 0
        painter.drawLine(QLineF(left, y, self.width(), y))
