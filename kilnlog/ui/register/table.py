"""The register's table: two-line rows for open charges, a stronger rule, one-line rows for past ones."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFont,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from kilnlog.drying.figures import ChargeState
from kilnlog.logbook.figures import EMPTY
from kilnlog.logbook.register import RegisterLine
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import Mark, draw_mark, draw_way
from kilnlog.ui.look.sizes import GAP_12, Role
from kilnlog.ui.register.headings import LEFT, RIGHT, Headings
from kilnlog.ui.register.model import LINE_ROLE, RIGHT_ALIGNED, Column, Index, RegisterModel, mark_of

_SEVERITY_COLOUR = {"act": "act", "look": "look", "note": "note"}


#: With less than this share of what kiln, what and whose would take, the way to the target gives way.
LEAST_SHARE = 0.65
#: A charge's number longer than so many digits is cut: strip and particulars show it whole.
MOST_OF_NUMBER = 14


class RegisterTable(QTableView):
    """Moving along the rows takes charges in hand; Enter opens one.

    chosen: sent with the entity of the charge the operator moved to. opened: Enter or a double click.
    narrow_asked, widen_asked: F and Shift F.
    """

    chosen = Signal(str)
    opened = Signal(str)
    narrow_asked = Signal()
    widen_asked = Signal()

    def __init__(self, model: RegisterModel, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._model = model
        self._quiet = False
        self.setModel(model)
        self.setItemDelegate(_LinePainter(appearance, self))
        self.setAccessibleName("Charges")
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        self.viewport().setAutoFillBackground(False)
        palette = self.palette()  # the line in hand is painted here, not by the style
        palette.setColor(QPalette.ColorRole.Highlight, Qt.GlobalColor.transparent)
        self.setPalette(palette)
        self.verticalHeader().hide()
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.verticalHeader().setMinimumSectionSize(8)
        header = Headings(appearance, model, self)
        self.setHorizontalHeader(header)
        header.sectionClicked.connect(self._sort)
        model.modelReset.connect(self._lay_out)
        appearance.changed.connect(self._lay_out)
        self._lay_out()

    def show_in_hand(self, entity: str | None) -> None:
        """Put the cursor on the charge in hand without choosing it once more."""
        row = self._model.row_of(entity)
        self._quiet = True
        if row is None:
            self.clearSelection()
        else:
            self.setCurrentIndex(self._model.index(row, Column.NUMBER))
        self._quiet = False

    @property
    def line(self) -> RegisterLine | None:
        """The line under the cursor."""
        line = self.currentIndex().data(LINE_ROLE)
        return line if isinstance(line, RegisterLine) else None

    def currentChanged(self, current: Index, previous: Index) -> None:
        """A charge comes in hand by moving to it."""
        super().currentChanged(current, previous)
        line = current.data(LINE_ROLE)
        if isinstance(line, RegisterLine) and not self._quiet:
            self.chosen.emit(line.entity)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter opens; S sorts by the next column, Shift S turns the order; F narrows, Shift F widens."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.line is not None:
                self.opened.emit(self.line.entity)
            return
        if event.key() == Qt.Key.Key_F and not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            shifted = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            (self.widen_asked if shifted else self.narrow_asked).emit()
            return
        if event.key() == Qt.Key.Key_S and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
                self._model.sort_by(self._model.sorted_by, not self._model.downwards)
            else:
                after = (self._model.sorted_by or Column.MARK) + 1
                self._model.sort_by(Column(after) if after < len(Column) else None)
            return
        super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:
        """Letters are keys here; searching has its own field."""

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """As Enter."""
        if self.line is not None:
            self.opened.emit(self.line.entity)

    def _sort(self, section: int) -> None:
        column = Column(section)
        turned_twice = self._model.sorted_by is column and self._model.downwards
        if column is Column.MARK or turned_twice:
            self._model.sort_by(None)
        else:
            self._model.sort_by(column, downwards=self._model.sorted_by is column)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Where nothing fits, say so and what to do."""
        super().paintEvent(event)
        if self._model.lines:
            return
        painter = QPainter(self.viewport())
        painter.setFont(self._appearance.sizes.font(Role.SAID))
        painter.setPen(self._appearance.tokens.colour("ink2"))
        left = self._appearance.sizes.margin_w + GAP_12
        box = QRectF(self.viewport().rect()).adjusted(left, GAP_12, -GAP_12, 0)
        painter.drawText(
            box, int(Qt.AlignmentFlag.AlignLeft) | int(Qt.TextFlag.TextWordWrap), self._model.why_nothing
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The columns share the new width."""
        super().resizeEvent(event)
        self._share_width()

    def _lay_out(self) -> None:
        sizes = self._appearance.sizes
        for row, line in enumerate(self._model.lines):
            self.setRowHeight(row, sizes.open_line_h if line.is_open else sizes.line_h)
        self._share_width()
        self.viewport().update()

    def _share_width(self) -> None:
        """Figures get what they need; kiln, what and whose share the rest. The way gives way first."""
        sizes = self._appearance.sizes

        def wide(role: Role, text: str) -> int:
            return round(QFontMetricsF(sizes.font(role)).horizontalAdvance(text))

        volumes = [str(self._model.index(row, Column.VOLUME).data()) for row in range(len(self._model.lines))]
        number = max([wide(Role.STRONG, line.number) for line in self._model.lines] + [54])
        fixed = {
            Column.MARK: sizes.margin_w,
            Column.NUMBER: min(number, wide(Role.STRONG, "0" * MOST_OF_NUMBER)) + 28,
            Column.VOLUME: max([wide(Role.BODY, text) for text in volumes] + [wide(Role.LABEL, "Vol., bf")])
            + 22,
            Column.DAY: max(wide(Role.BODY, "123"), wide(Role.LABEL, "Day")) + 22,
            Column.MC: max(wide(Role.FIGURE, "100.0"), wide(Role.LABEL, "MC, %")) + 20,
            Column.WAY: max(100, wide(Role.LABEL, "Way to target") + 22),
            Column.STATE: wide(Role.BODY, "unloaded, not closed") + GAP_12 + 14,
        }
        widest = max([wide(Role.TINY, line.due) for line in self._model.lines if line.due] + [0])
        fixed[Column.STATE] = max(fixed[Column.STATE], min(widest + GAP_12 + 14, 240))
        texts: dict[Column, list[str]] = {
            Column.KILN: [line.kiln or "" for line in self._model.lines],
            Column.WHAT: [line.what for line in self._model.lines],
            Column.WHOSE: [line.whose for line in self._model.lines],
        }
        most = wide(Role.BODY, "n" * 24)
        needs = {
            column: min(max([wide(Role.BODY, text) for text in told] + [40]), most) + GAP_12 + 12
            for column, told in texts.items()
        }
        room = self.viewport().width() - sum(fixed.values())
        squeezed = room < LEAST_SHARE * sum(needs.values())
        self.setColumnHidden(Column.WAY, squeezed)
        if squeezed:
            room += fixed.pop(Column.WAY)
        for column, width in fixed.items():
            self.setColumnWidth(column, width)
        spare = room - sum(needs.values())
        kiln = needs[Column.KILN] + max(
            0, round(spare * 0.2)
        )  # names are short and few: never cut before the rest
        rest = max(80, room - kiln)
        what = round(rest * needs[Column.WHAT] / (needs[Column.WHAT] + needs[Column.WHOSE]))
        for column, width in ((Column.KILN, kiln), (Column.WHAT, what), (Column.WHOSE, rest - what)):
            self.setColumnWidth(column, width)


class _LinePainter(QStyledItemDelegate):
    """Draws one cell of the register."""

    def __init__(self, appearance: Appearance, table: RegisterTable) -> None:
        super().__init__(table)
        self._appearance = appearance
        self._table = table

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Rows and columns are laid out by the table."""
        return QSize(10, 10)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Ground, rule, then what stands in the cell."""
        line: RegisterLine = index.data(LINE_ROLE)
        column = Column(index.column())
        rect: QRect = option.rect
        tokens = self._appearance.tokens
        chosen = index.row() == self._table.currentIndex().row()
        if column is Column.MARK:
            self._paint_mark(painter, QRectF(rect), line, chosen)
            return
        if chosen:
            painter.fillRect(
                rect.adjusted(1 if column is Column.NUMBER else 0, 0, 0, -1), tokens.colour("chosen")
            )
        model = self._table.model()
        below = model.index(index.row() + 1, index.column()).data(LINE_ROLE)
        strong = below is not None and line.is_open and not below.is_open
        painter.setPen(QPen(tokens.colour("edge" if strong else "rule"), 1))
        y = rect.bottom() + 0.5
        painter.drawLine(QLineF(rect.left(), y, rect.right() + 1, y))
        if column is Column.WAY:
            if line.way_to_target is not None:
                way = QRectF(rect).adjusted(GAP_12 + 6, 0, -GAP_12 - 3, -1)
                draw_way(painter, way, line.way_to_target, tokens)
            return
        self._write(painter, QRectF(rect), line, column, index.data())

    def _paint_mark(self, painter: QPainter, rect: QRectF, line: RegisterLine, chosen: bool) -> None:
        mark = mark_of(line)
        if mark is None and chosen and self._table.hasFocus():
            mark = Mark.HERE
        if mark is None:
            return
        size = self._appearance.sizes.mark
        box = QRectF(0, 0, size, size)
        box.moveCenter(rect.center())
        draw_mark(painter, box, mark, self._appearance.tokens)

    def _write(self, painter: QPainter, rect: QRectF, line: RegisterLine, column: Column, text: str) -> None:
        role, colour = self._manner(line, column)
        font = self._appearance.sizes.font(role)
        if line.state is ChargeState.TAKEN_BACK and column is not Column.STATE and text != EMPTY:
            font = QFont(font)
            font.setStrikeOut(True)
            colour = "ink2"
        inner = rect.adjusted(GAP_12 - 1, 0, -10 if column in RIGHT_ALIGNED else -4, -1)
        painter.setFont(font)
        painter.setPen(self._appearance.tokens.colour(colour))
        if column is Column.STATE and line.is_open and line.due:
            self._write_state(painter, inner, line)
            return
        elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, inner.width())
        painter.drawText(inner, RIGHT if column in RIGHT_ALIGNED else LEFT, elided)

    def _write_state(self, painter: QPainter, inner: QRectF, line: RegisterLine) -> None:
        """The state, and under it what is due."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        upper, lower = sizes.font(Role.BODY), sizes.font(Role.TINY)
        first, second = QFontMetricsF(upper).height(), QFontMetricsF(lower).height()
        top = inner.center().y() - (first + second - 3) / 2
        self._line(painter, QRectF(inner.x(), top, inner.width(), first), line.state_words, upper)
        painter.setPen(tokens.colour(_SEVERITY_COLOUR.get(line.severity or "", "ink2")))
        self._line(painter, QRectF(inner.x(), top + first - 2, inner.width(), second), line.due or "", lower)

    @staticmethod
    def _line(painter: QPainter, rect: QRectF, text: str, font: QFont) -> None:
        painter.setFont(font)
        elided = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, rect.width())
        painter.drawText(rect, LEFT, elided)

    def _manner(self, line: RegisterLine, column: Column) -> tuple[Role, str]:
        """Role and colour: figures worked out in pencil, past lines in ink2."""
        if column is Column.MC:
            known = line.control_mc_pct is not None
            role = Role.FIGURE if line.is_open else Role.BODY
            return role, "pencil" if known else "ink2"
        if column is Column.NUMBER:
            return Role.STRONG, "ink"
        if column is Column.DAY or not line.is_open:
            return Role.BODY, "ink2" if column not in (Column.WHAT, Column.VOLUME) else "ink"
        return Role.BODY, "ink2" if column is Column.WHOSE else "ink"
