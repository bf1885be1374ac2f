"""Marks and lines that Qt does not have, drawn by hand: in shape before colour, each with its words."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from kilnlog.ui.look.tokens import Tokens


class Mark(StrEnum):
    """A mark in the margin."""

    ACT = "act"  # page tab pointing right
    LOOK = "look"  # diamond, half filled
    NOTE = "note"  # open ring
    HERE = "here"  # triangle: the line in hand
    LATE = "late"  # ring with clock hands
    SEALED = "sealed"  # double ring
    STRUCK_RING = "struck ring"  # withdrawn, acknowledged
    TICK = "tick"  # kept, settled
    DASH = "dash"  # nothing yet


#: What a mark says to who cannot see it.
WORDS: dict[Mark, str] = {
    Mark.ACT: "act now",
    Mark.LOOK: "look at it",
    Mark.NOTE: "worth knowing",
    Mark.HERE: "the line in hand",
    Mark.LATE: "entered late",
    Mark.SEALED: "closed and sealed",
    Mark.STRUCK_RING: "withdrawn",
    Mark.TICK: "done",
    Mark.DASH: "nothing yet",
}

_COLOUR: dict[Mark, str] = {
    Mark.ACT: "act",
    Mark.LOOK: "look",
    Mark.NOTE: "note",
    Mark.HERE: "focus",
    Mark.LATE: "ink2",
    Mark.SEALED: "ink2",
    Mark.STRUCK_RING: "ink2",
    Mark.TICK: "done",
    Mark.DASH: "ink2",
}
_ON_CLOTH: dict[Mark, str] = {Mark.ACT: "act_on", Mark.LOOK: "look_on", Mark.NOTE: "note_on"}

MARGIN_BAR = 4  # px
GRID = 16.0  # marks are drawn on a square of this size and scaled to their box


def draw_mark(painter: QPainter, rect: QRectF, mark: Mark, tokens: Tokens, *, on_cloth: bool = False) -> None:
    """Draw ``mark`` in the middle of ``rect``, as large as its smaller side allows."""
    name = _ON_CLOTH.get(mark, "on_cloth2") if on_cloth else _COLOUR[mark]
    colour = tokens.colour(name)
    scale = min(rect.width(), rect.height()) / GRID
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(rect.center())
    painter.scale(scale, scale)
    painter.setPen(_stroke(colour))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    _SHAPES[mark](painter, colour)
    painter.restore()


def _stroke(colour: QColor, width: float = 1.6) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return pen


def _filled(painter: QPainter, colour: QColor, points: list[tuple[float, float]]) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(colour))
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in points]))


def _act(painter: QPainter, colour: QColor) -> None:
    _filled(painter, colour, [(-6, -5), (2, -5), (6.2, 0), (2, 5), (-6, 5)])


def _look(painter: QPainter, colour: QColor) -> None:
    painter.drawPolygon(QPolygonF([QPointF(0, -6), QPointF(6, 0), QPointF(0, 6), QPointF(-6, 0)]))
    _filled(painter, colour, [(0, -6), (0, 6), (-6, 0)])


def _note(painter: QPainter, colour: QColor) -> None:
    painter.drawEllipse(QPointF(0, 0), 4.8, 4.8)


def _here(painter: QPainter, colour: QColor) -> None:
    _filled(painter, colour, [(-3, -5), (4, 0), (-3, 5)])


def _late(painter: QPainter, colour: QColor) -> None:
    painter.drawEllipse(QPointF(0, 0), 5, 5)
    painter.setPen(_stroke(colour, 1.3))
    painter.drawPolyline(QPolygonF([QPointF(0, -3.4), QPointF(0, 0.2), QPointF(2.6, 0.2)]))


def _sealed(painter: QPainter, colour: QColor) -> None:
    painter.drawEllipse(QPointF(0, 0), 5.2, 5.2)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(colour))
    painter.drawEllipse(QPointF(0, 0), 2.6, 2.6)


def _struck_ring(painter: QPainter, colour: QColor) -> None:
    painter.drawEllipse(QPointF(0, 0), 4.4, 4.4)
    painter.drawLine(QLineF(-5, 5, 5, -5))


def _tick(painter: QPainter, colour: QColor) -> None:
    painter.setPen(_stroke(colour, 2))
    painter.drawPolyline(QPolygonF([QPointF(-5, 0.4), QPointF(-1.6, 3.8), QPointF(5, -3.6)]))


def _dash(painter: QPainter, colour: QColor) -> None:
    painter.drawLine(QLineF(-3.4, 0, 3.4, 0))


_SHAPES = {
    Mark.ACT: _act,
    Mark.LOOK: _look,
    Mark.NOTE: _note,
    Mark.HERE: _here,
    Mark.LATE: _late,
    Mark.SEALED: _sealed,
    Mark.STRUCK_RING: _struck_ring,
    Mark.TICK: _tick,
    Mark.DASH: _dash,
}


def draw_dotted_underline(
    painter: QPainter, left: float, right: float, baseline: float, tokens: Tokens, colour: str = "pencil"
) -> None:
    """The dotted line under a figure that can be asked how it came about."""
    pen = QPen(tokens.colour(colour), 1.4)
    pen.setDashPattern([1.6, 1.4])
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.save()
    painter.setPen(pen)
    y = baseline + 4.5
    painter.drawLine(QLineF(left, y, right, y))
    painter.restore()


def draw_waiting_line(painter: QPainter, left: float, right: float, y: float, tokens: Tokens) -> None:
    """The dashed line where a figure will stand."""
    pen = QPen(tokens.colour("edge"), 1)
    pen.setDashPattern([2, 2])
    painter.save()
    painter.setPen(pen)
    painter.drawLine(QLineF(left, y, right, y))
    painter.restore()


def draw_struck(
    painter: QPainter, rect: QRectF, text: str, font: QFont, tokens: Tokens, align: Qt.AlignmentFlag
) -> None:
    """``text`` in ``rect`` with one slightly slanted line through it: superseded, not erased."""
    metrics = QFontMetricsF(font)
    width = metrics.horizontalAdvance(text)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(font)
    painter.setPen(tokens.colour("ink2"))
    painter.drawText(rect, int(align | Qt.AlignmentFlag.AlignVCenter), text)
    left = rect.right() - width if align & Qt.AlignmentFlag.AlignRight else rect.left()
    middle = rect.center().y() + metrics.xHeight() * 0.1
    painter.setPen(_stroke(tokens.colour("ink2"), 1.4))
    painter.drawLine(QLineF(left - 4, middle + 1.5, left + width + 2, middle - 1.5))
    painter.restore()


def draw_margin_bar(painter: QPainter, margin_x: float, top: float, height: float, colour: QColor) -> None:
    """The bar on the margin line: a board that feeds the control (pencil), a finding to act on (act)."""
    painter.fillRect(QRectF(margin_x - MARGIN_BAR / 2, top, MARGIN_BAR, height), colour)


def draw_way(painter: QPainter, rect: QRectF, share: float, tokens: Tokens) -> None:
    """The way to the target as a line with a dot at ``share`` (0 to 1) of it."""
    share = min(1.0, max(0.0, share))
    y = rect.center().y()
    dot = rect.left() + share * rect.width()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    edge = tokens.colour("edge")
    painter.setPen(QPen(edge, 1.2))
    painter.drawLine(QLineF(dot, y, rect.right(), y))
    painter.drawLine(QLineF(rect.right(), y - 5, rect.right(), y + 5))
    pencil = tokens.colour("pencil")
    painter.setPen(_stroke(pencil, 3))
    painter.drawLine(QLineF(rect.left(), y, dot, y))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(pencil))
    painter.drawEllipse(QPointF(dot, y), 4.2, 4.2)
    painter.restore()


def draw_focus_ring(
    painter: QPainter, rect: QRectF, tokens: Tokens, radius: float = 4, colour: str = "focus"
) -> None:
    """The focus ring, drawn inside ``rect`` so that nothing changes its size; ``on_cloth`` on cloth."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(tokens.colour(colour), 2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(rect.adjusted(1, 1, -1, -1), radius, radius)
    painter.restore()
