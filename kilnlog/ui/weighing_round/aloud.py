"""The aloud line: the board last dealt with, so large that it is read from two steps away."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, GAP_24, Role


@dataclass(frozen=True)
class Said:
    """What the aloud line shows: up to two figures with their units, and a remark with its mark."""

    board: str = ""
    figures: tuple[tuple[str, str, str], ...] = ()  # figure, its unit, the token of its colour
    mark: Mark | None = None
    remark: str = ""


class Aloud(QWidget):
    """Painted in one line; the remark is shortened before the figures are."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._said = Said()
        appearance.changed.connect(self._measure)
        self._measure()

    def _measure(self) -> None:
        self.setFixedHeight(round(self._appearance.sizes.px(Role.ALOUD) * 1.2) + GAP_24)
        self.update()

    def say(self, said: Said) -> None:
        """Show this."""
        if said != self._said:
            self._said = said
            shown = [f"Board {said.board}"] if said.board else []
            shown += [f"{figure} {unit}" for figure, unit, _ in said.figures]
            self.setAccessibleName(", ".join([*shown, said.remark]))
            self.update()

    @property
    def said(self) -> Said:
        """What is shown."""
        return self._said

    def paintEvent(self, event: QPaintEvent) -> None:
        """A line above, then board, figures, remark."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        painter.setPen(tokens.colour("ink2"))
        painter.drawLine(self._appearance.sizes.margin_w + 1, 0, self.width(), 0)
        large = QFontMetricsF(sizes.font(Role.ALOUD))
        baseline = (self.height() + large.capHeight()) / 2
        x = float(sizes.margin_w + GAP_12)
        x = self._write(painter, x, baseline, Role.ALOUD_SERIF, "ink", f"Board {self._said.board}".strip())
        for figure, unit, colour in self._said.figures:
            x = self._write(painter, x + GAP_24, baseline, Role.ALOUD, colour, figure)
            x = self._write(painter, x + GAP_8, baseline, Role.BODY, "ink2", unit)
        self._remark(painter, x + GAP_24, baseline)

    def _write(
        self, painter: QPainter, x: float, baseline: float, role: Role, colour: str, text: str
    ) -> float:
        if not self._said.board and role is Role.ALOUD_SERIF:
            return x
        font = self._appearance.sizes.font(role)
        painter.setFont(font)
        painter.setPen(self._appearance.tokens.colour(colour))
        painter.drawText(round(x), round(baseline), text)
        return x + QFontMetricsF(font).horizontalAdvance(text)

    def _remark(self, painter: QPainter, left: float, baseline: float) -> None:
        """The remark in one large line; one too long for it in two smaller ones."""
        text = self._said.remark
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.ALOUD_SAID))
        mark_w = metrics.height() if self._said.mark is not None else 0.0
        right = float(self.width() - GAP_16)
        room = right - left - mark_w - GAP_8
        painter.setPen(self._appearance.tokens.colour("ink"))
        width = metrics.horizontalAdvance(text)
        if width <= room:
            painter.setFont(self._appearance.sizes.font(Role.ALOUD_SAID))
            painter.drawText(round(right - width), round(baseline), text)
        else:
            width = self._in_two_lines(painter, right, room, text)
        if self._said.mark is not None and text:
            size = mark_w * 0.8
            middle = baseline - metrics.xHeight() / 2
            box = QRectF(right - width - size - GAP_12, middle - size / 2, size, size)
            draw_mark(painter, box, self._said.mark, self._appearance.tokens)

    def _in_two_lines(self, painter: QPainter, right: float, room: float, text: str) -> float:
        """Returns how wide they came out [px]."""
        font = self._appearance.sizes.font(Role.BODY)
        metrics = QFontMetricsF(font)
        painter.setFont(font)
        most = round(metrics.lineSpacing()) * 2
        box = QRectF(right - room, (self.height() - most) / 2, room, most)
        flags = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap)
        if metrics.boundingRect(box, flags, text).height() > most + 1:
            text = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room * 1.8)
        painter.drawText(box, flags, text)
        return metrics.boundingRect(box, flags, text).width()
