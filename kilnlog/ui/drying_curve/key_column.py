"""Legend and readout in one: line, marker, board and its moisture at the hairline, wettest first."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QTransform
from PySide6.QtWidgets import QWidget

from kilnlog.drying.figures import Assessment
from kilnlog.logbook import figures
from kilnlog.records.moment import Moment
from kilnlog.ui.drying_curve.styles import CONTROL_W, FEEDS_W, MARKER_PX, OTHERS_W, style_of
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.sizes import GAP_4, GAP_8, Role

_LINE_W = 38  # px of the drawn sample of a line
_AIR_GAP_ROWS = 0.5  # between the boards and the air
CARRIED = "c: as last weighed"  # nobody weighed it at the hairline's own moment


@dataclass(frozen=True)
class KeyLine:
    """One board in the key."""

    label: str
    number: int  # in walking order, from 0
    mc_text: str
    feeds_control: bool
    carried: bool
    shown: bool


@dataclass(frozen=True)
class AirKeyLine:
    """One figure of the air in the key, and the tokens of its name's and its figure's colours."""

    name: str
    text: str
    name_colour: str
    colour: str


class KeyColumn(QWidget):
    """Up and down choose a board, space or a click shows or hides it, as do the figures of its number.

    toggled(str): a board's label.
    """

    toggled = Signal(str)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._when = self._event = ""
        self._control = figures.EMPTY
        self._lines: list[KeyLine] = []
        self._air: tuple[AirKeyLine, ...] = ()
        self._chosen = 0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Key and readings at the hairline")
        appearance.changed.connect(self._measure)
        self._measure()

    def _measure(self) -> None:
        sizes = self._appearance.sizes
        label_w = QFontMetricsF(sizes.font(Role.STRONG)).horizontalAdvance("control")
        figure_w = QFontMetricsF(sizes.font(Role.FIGURE)).horizontalAdvance("188.8 c")
        self.setFixedWidth(round(_LINE_W + label_w + figure_w + 3 * GAP_8))
        self.update()

    def show_round(
        self,
        assessment: Assessment | None,
        number: int,
        hidden: frozenset[str],
        air: tuple[AirKeyLine, ...] = (),
        event: tuple[str, Moment] | None = None,
    ) -> None:
        """Read a round off: every board's moisture there, the control's, and the air.

        ``event``: something that happened after it, and when: that is where the hairline stands.
        """
        self._air, self._event = air, event[0] if event is not None else ""
        self._lines = []
        self._when, self._control = "", figures.EMPTY
        if assessment is not None and assessment.rounds and number >= 0:
            is_now = number >= len(assessment.rounds)
            one = assessment.rounds[-1 if is_now else number]
            at = event[1] if event is not None else assessment.at if is_now else one.at
            self._when = figures.day_and_time(at, assessment.at)
            self._control = figures.mc(one.control.mc_pct)
            self._lines = [
                KeyLine(
                    board.board,
                    place,
                    figures.mc(one.mc_pct.get(board.board)),
                    board.board in one.control.boards,
                    is_now or event is not None or board.board in one.carried,
                    board.board not in hidden,
                )
                for place, board in enumerate(assessment.boards)
            ]
            self._lines.sort(key=lambda line: (not line.feeds_control, -one.mc_pct.get(line.label, -1.0)))
        self._chosen = min(self._chosen, max(0, len(self._lines) - 1))
        self.setAccessibleDescription(self._in_words())
        self.update()

    @property
    def lines(self) -> tuple[KeyLine, ...]:
        """The boards as shown, wettest first, those of the control before the others."""
        return tuple(self._lines)

    def _in_words(self) -> str:
        boards = ", ".join(
            f"board {line.label} {line.mc_text} %{' c' if line.carried else ''}"
            f"{'' if line.shown else ', not drawn'}"
            for line in self._lines
        )
        air = "".join(f", {line.name} {line.text}" for line in self._air)
        event = f", {self._event}" if self._event else ""
        carried = f" ({CARRIED})" if self.explains_carried else ""
        return f"{self._when}{event}: control {self._control} %, {boards}{carried}{air}"

    @property
    def _row_h(self) -> float:
        """A row's height: closer together where many boards at a large size would run out of the page."""
        natural = self._appearance.sizes.px(Role.FIGURE) * 1.78
        return round(max(min(natural, self._room_h), self._appearance.sizes.px(self._figure_role) * 1.05))

    @property
    def _figure_role(self) -> Role:
        """Smaller figures where not all of them would fit at their own size."""
        least = self._appearance.sizes.px(Role.FIGURE) * 1.05
        return Role.FIGURE if self._room_h >= least else Role.BODY

    @property
    def _room_h(self) -> float:
        """The height there is for each row."""
        rows = len(self._lines) + 1 + (len(self._air) + _AIR_GAP_ROWS if self._air else 0)
        return (self.height() - self._head_h - self._parting_h - self._carried_h) / rows

    def _top_of(self, index: int) -> float:
        """Where the ``index``-th board's row begins."""
        head = self._head_h + self._row_h
        feeding = sum(line.feeds_control for line in self._lines)
        return head + index * self._row_h + (self._parting_h if index >= feeding > 0 else 0.0)

    @property
    def _head_h(self) -> float:
        sizes = self._appearance.sizes
        return (
            QFontMetricsF(sizes.font(Role.STRONG)).height()
            + QFontMetricsF(sizes.font(Role.LABEL)).height()
            + 10
        )

    @property
    def _parting_h(self) -> float:
        return QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).height() + 6

    @property
    def _carried_h(self) -> float:
        """What the line takes that says what the c behind a figure is; none where there is no c."""
        font = self._appearance.sizes.font(Role.LABEL)
        return QFontMetricsF(font).height() + 2 if self.explains_carried else 0.0

    @property
    def explains_carried(self) -> bool:
        """Whether a board is told as it was weighed before."""
        return any(line.carried for line in self._lines)

    def paintEvent(self, event: QPaintEvent) -> None:
        """When, the control, the boards that feed it, the others."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_head(painter)
        feeding = sum(line.feeds_control for line in self._lines)
        for index, line in enumerate(self._lines):
            if index == feeding and feeding:
                self._paint_parting(painter, self._top_of(index) - self._parting_h)
            self._paint_line(painter, self._top_of(index), line)
        self._paint_carried(painter)
        top = self._top_of(len(self._lines)) + self._carried_h + _AIR_GAP_ROWS * self._row_h
        for number, air in enumerate(self._air):
            box = QRectF(0, top + number * self._row_h, self.width() - GAP_8, self._row_h)
            self._paint_air(painter, box, air)
        if self.hasFocus() and self._lines:
            box = QRectF(0, self._top_of(self._chosen), self.width(), self._row_h)
            draw_focus_ring(painter, box, self._appearance.tokens)

    def _paint_head(self, painter: QPainter) -> None:
        sizes, tokens = self._appearance.sizes, self._appearance.tokens
        strong = QFontMetricsF(sizes.font(Role.STRONG))
        painter.setFont(sizes.font(Role.STRONG))
        painter.setPen(tokens.colour("ink"))
        painter.drawText(QPointF(0, strong.ascent()), self._when or "no reading yet")
        painter.setFont(sizes.font(Role.LABEL))
        painter.setPen(tokens.colour("ink2"))
        painter.drawText(
            QPointF(0, strong.height() + QFontMetricsF(sizes.font(Role.LABEL)).ascent()),
            self._event or "at the hairline",
        )
        if not self._lines:
            return
        top = self._head_h
        middle = top + self._row_h / 2
        pen = QPen(tokens.colour("ink"), CONTROL_W)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(0, middle), QPointF(_LINE_W - 4, middle))
        self._paint_texts(painter, top, "control", self._control, "ink", "pencil")

    def _paint_parting(self, painter: QPainter, top: float) -> None:
        sizes, tokens = self._appearance.sizes, self._appearance.tokens
        painter.setPen(QPen(tokens.colour("edge"), 1))
        painter.drawLine(QPointF(0, top + 2.5), QPointF(self.width() - GAP_8, top + 2.5))
        painter.setFont(sizes.font(Role.LABEL))
        painter.setPen(tokens.colour("ink2"))
        painter.drawText(
            QPointF(0, top + 4 + QFontMetricsF(sizes.font(Role.LABEL)).ascent()), "not in the control"
        )

    def _paint_carried(self, painter: QPainter) -> None:
        if not self.explains_carried:
            return
        font = self._appearance.sizes.font(Role.LABEL)
        painter.setFont(font)
        painter.setPen(self._appearance.tokens.colour("ink2"))
        baseline = self._top_of(len(self._lines)) + QFontMetricsF(font).ascent()
        painter.drawText(QPointF(0, baseline), CARRIED)

    def _paint_line(self, painter: QPainter, top: float, line: KeyLine) -> None:
        tokens = self._appearance.tokens
        style = style_of(line.number, tokens)
        middle = top + self._row_h / 2
        if line.shown:
            painter.setPen(style.pen(FEEDS_W if line.feeds_control else OTHERS_W))
            painter.drawLine(QPointF(0, middle), QPointF(_LINE_W - 4, middle))
            painter.setPen(style.marker_pen())
            painter.setBrush(style.marker_brush(tokens))
            place = QTransform().translate((_LINE_W - 4) / 2, middle).scale(MARKER_PX + 1, MARKER_PX + 1)
            painter.drawPath(place.map(style.marker))
        carried = " c" if line.carried else ""
        colours = ("ink", "pencil") if line.shown else ("ink2", "ink2")
        self._paint_texts(painter, top, line.label, line.mc_text + carried, *colours)

    def _paint_air(self, painter: QPainter, box: QRectF, line: AirKeyLine) -> None:
        sizes, tokens = self._appearance.sizes, self._appearance.tokens
        painter.setFont(sizes.font(Role.BODY))
        painter.setPen(tokens.colour(line.name_colour))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), line.name)
        painter.setFont(sizes.font(self._figure_role))
        painter.setPen(tokens.colour(line.colour))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), line.text)

    def _paint_texts(
        self, painter: QPainter, top: float, label: str, figure: str, label_colour: str, colour: str
    ) -> None:
        sizes, tokens = self._appearance.sizes, self._appearance.tokens
        box = QRectF(_LINE_W + GAP_4, top, self.width() - _LINE_W - GAP_4 - GAP_8, self._row_h)
        painter.setFont(sizes.font(Role.STRONG))
        painter.setPen(tokens.colour(label_colour))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter), label)
        painter.setFont(sizes.font(self._figure_role))
        painter.setPen(tokens.colour(colour))
        painter.drawText(box, int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter), figure)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click shows or hides a board."""
        for index, line in enumerate(self._lines):
            top = self._top_of(index)
            if top <= event.position().y() < top + self._row_h:
                self._chosen = index
                self.toggled.emit(line.label)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up and down choose, space and Enter show or hide."""
        if event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and self._lines:
            step = 1 if event.key() == Qt.Key.Key_Down else -1
            self._chosen = max(0, min(len(self._lines) - 1, self._chosen + step))
            self.update()
        elif event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._lines:
            self.toggled.emit(self._lines[self._chosen].label)
        else:
            super().keyPressEvent(event)
