"""The page of the board in hand, beside the weighing round."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLayout, QScrollArea, QVBoxLayout, QWidget

from kilnlog.logbook.board_sheet import BoardSheet, board_sheet
from kilnlog.ui.chosen_board import lines
from kilnlog.ui.chosen_board.actions import Actions
from kilnlog.ui.chosen_board.big_figures import BigFigures
from kilnlog.ui.chosen_board.lines import RowKey
from kilnlog.ui.chosen_board.whole_lines import WholeLines
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Computed, Text, Wrapped
from kilnlog.ui.look.lines_table import LinesTable
from kilnlog.ui.look.page import Page, page_title, section_title
from kilnlog.ui.look.painting import Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_2, GAP_4, GAP_8, GAP_12, GAP_16, Role
from kilnlog.ui.weighing_round.keeper import RoundKeeper
from kilnlog.ui.weighing_round.typed import TypedState

#: Beside the round the page is this wide at regular size [px].
PAGE_W = 456
_RIGHT_PAD = 14
#: Its texts take no more than so many times the height of a letter.
_TEXT_EMS = 46
_WIDEST = 16_777_215  # Qt's own largest size


#: The round answers first; this page follows once the burst of a kept weight is over.
FOLLOWS_MS = 40


class _Scrolled(QScrollArea):
    """Leaves the keys to the page: arrows go from thing to thing, and what they reach comes into view."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Not for the scroll bar."""
        event.ignore()


class ChosenBoardPage(Page):
    """One sample board.

    working_asked(str, str): how a figure came about; its name, and the entity of the weight, or nothing.
    opened(RowKey), take_back_asked(RowKey): Enter or Delete on a line.
    action_asked(str): a button at the foot.
    """

    working_asked = Signal(str, str)
    opened = Signal(object)
    take_back_asked = Signal(object)
    action_asked = Signal(str)

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self._desk = desk
        self._keeper: RoundKeeper | None = None
        self._sheet: BoardSheet | None = None
        self._title = page_title("", appearance)
        self._standing = Text("", appearance, Role.SAID, "ink2")
        self._about = Wrapped("", appearance, Role.TINY, "ink2")
        self._why = Wrapped("", appearance, Role.SAID, "ink2")
        self.figures = BigFigures(appearance)
        self.oven_dry = Computed(appearance, Role.STRONG, "Oven-dry weight")
        self._provisional = Text("", appearance, Role.SAID, "look")
        self.sections = LinesTable(appearance, lines.SECTION_COLUMNS, "Moisture sections")
        self._sums = Wrapped("", appearance, Role.SAID, "pencil")
        self.bases = LinesTable(appearance, (), "Oven-dry weights, oldest first")
        self.weighings = LinesTable(appearance, (), "Weighings, newest first")
        self.foot = Actions(appearance)
        self._rows: list[tuple[QLayout, int, bool]] = []
        self._content: QWidget | None = None
        self._lay_content(appearance)
        self._connect()
        # One refresh for a burst of signals, and the round's own line is painted before it.
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self.refresh)
        self.setFocusProxy(self.figures.mc)
        appearance.changed.connect(self._indent)
        self._indent()
        self.set_alone(False)
        self.refresh()

    def _lay_content(self, appearance: Appearance) -> None:
        self.body.addLayout(self._row(GAP_8 + 2, self._title, None, self._standing))
        self.body.addLayout(self._row(0, self._about))
        self.body.addLayout(self._row(0, self._why))
        self.body.addLayout(self._row(GAP_8, self.figures))
        self.body.addSpacing(GAP_12)
        content = self._content = QWidget()
        column = QVBoxLayout(content)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(
            self._row(
                GAP_4, section_title("Oven-dry weight", appearance), self._provisional, None, self.oven_dry
            )
        )
        column.addWidget(self.sections)
        column.addLayout(self._row(GAP_4, self._sums))
        column.addSpacing(GAP_4)
        column.addWidget(self.bases)
        newest = Text("newest first", appearance, Role.SAID, "ink2")
        column.addLayout(self._row(GAP_16, section_title("Weighings", appearance), None, newest))
        column.addWidget(self.weighings)
        column.addStretch(1)
        self._area = _Scrolled()
        self._area.setWidgetResizable(True)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.viewport().setAutoFillBackground(False)
        self._area.setWidget(content)
        content.setAutoFillBackground(False)  # setWidget turns it on, and would hide the margin line
        self._area.verticalScrollBar().rangeChanged.connect(lambda *_: self._indent())
        self._whole_lines = WholeLines(self, self._area, appearance)
        self.body.addWidget(self._area, 1)
        self._foot_row = self._row(GAP_12, self.foot)
        self.body.addLayout(self._foot_row)

    def _row(self, above: int, *widgets: QWidget | None) -> QHBoxLayout:
        """A row on the page's text edge; None is where its room is."""
        row = QHBoxLayout()
        row.setSpacing(GAP_8)
        for widget in widgets:
            if widget is None:
                row.addStretch(1)
            else:
                row.addWidget(widget, 1 if len(widgets) == 1 else 0)
        self._rows.append((row, above, self._content is not None))
        return row

    def _indent(self) -> None:
        """Every text ends on one edge, whether the scroll bar stands beside it or not.

        With the whole room to itself the page keeps its texts near enough to be read as one line.
        """
        bar = self._area.verticalScrollBar()
        taken = bar.sizeHint().width() if bar.maximum() > 0 else 0
        widest = _TEXT_EMS * self._appearance.sizes.px(Role.BODY)
        pad = max(_RIGHT_PAD, round(self.width() - self.margin_x - GAP_12 - widest))
        for row, above, scrolls in self._rows:
            right = _RIGHT_PAD if row is self._foot_row else pad - (taken if scrolls else 0)
            row.setContentsMargins(self.margin_x + GAP_12, above, right, GAP_2)
        for table in (self.sections, self.bases, self.weighings):
            table.set_right_pad(pad + GAP_2 - taken)
        self.update()

    def _connect(self) -> None:
        self._desk.board_changed.connect(self._refresh_soon)
        self._desk.record_changed.connect(lambda _: self._refresh_soon())
        self.figures.asked.connect(lambda figure: self.working_asked.emit(figure, ""))
        self.oven_dry.asked.connect(lambda: self.working_asked.emit("oven_dry_weight", ""))
        self.sections.asked.connect(lambda _: self.working_asked.emit("start_mc", ""))
        self.weighings.asked.connect(lambda key: self.working_asked.emit("mc", key.entity))
        for table in (self.sections, self.weighings):
            table.opened.connect(self.opened)
            table.take_back.connect(self.take_back_asked)
        for table in (self.sections, self.bases, self.weighings):
            table.moved.connect(lambda place, table=table: self._keep_in_view(table, place))
        self.foot.asked.connect(self.action_asked)

    @property
    def sheet(self) -> BoardSheet | None:
        """What is shown; asked for in the moment before it follows, it follows at once."""
        if self._soon.isActive():
            self._soon.stop()
            self.refresh()
        return self._sheet

    def follow_keeper(self, keeper: RoundKeeper) -> None:
        """Show what is typed in the round and not kept."""
        self._keeper = keeper
        keeper.changed.connect(self._refresh_soon)

    def set_alone(self, alone: bool) -> None:
        """Take the whole room, or stand beside the round."""
        if alone:
            self.setMinimumWidth(0)
            self.setMaximumWidth(_WIDEST)
        else:
            self.setFixedWidth(PAGE_W if self._appearance.size_name == "regular" else PAGE_W + 64)

    def set_sealed(self, sealed: bool) -> None:
        """A sealed page has no actions."""
        super().set_sealed(sealed)
        self.foot.setVisible(not sealed and self._sheet is not None)

    def ask_working(self) -> None:
        """F2: how the figure in hand came about; where none is, all that is known of the board."""
        if self.sheet is None:
            return
        figure, weight = self.figures.in_hand or "", ""
        if self.oven_dry.hasFocus():
            figure = "oven_dry_weight"
        elif self.sections.hasFocus():
            figure = "start_mc"
        elif self.weighings.hasFocus() and isinstance(self.weighings.key, RowKey):
            figure, weight = "mc", self.weighings.key.entity
        self.working_asked.emit(figure, weight)

    @property
    def newest_weighing(self) -> RowKey | None:
        """The weighing in hand, else the newest that counts."""
        in_hand = [self.weighings.key] if self.weighings.hasFocus() else []
        keys = [*in_hand, *(line.key for line in self.weighings.lines)]
        return next((key for key in keys if isinstance(key, RowKey) and key.table == "weighing"), None)

    def ask_take_back(self) -> None:
        """The weighing in hand, else the newest that counts."""
        if self.newest_weighing is not None:
            self.take_back_asked.emit(self.newest_weighing)

    def _refresh_soon(self) -> None:
        if self.isVisible():
            self._soon.start(FOLLOWS_MS)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go on from where they mean nothing."""
        if event.key() == Qt.Key.Key_Down:
            self.focusNextChild()
        elif event.key() == Qt.Key.Key_Up:
            self.focusPreviousChild()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The texts' right edge follows the page."""
        super().resizeEvent(event)
        self._indent()

    def showEvent(self, event: QShowEvent) -> None:
        """Nothing is followed while hidden."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Take the page anew from the record."""
        desk = self._desk
        self._sheet = None
        if desk.record is not None and desk.assessment is not None and desk.board_in_hand is not None:
            self._sheet = board_sheet(desk.record, desk.assessment, desk.board_in_hand, desk.now())
        sheet = self._sheet
        for widget in (self.figures, self._area):
            widget.setVisible(sheet is not None)
        self.foot.setVisible(sheet is not None and not self._sealed)
        if sheet is None:
            for text in (self._title, self._standing, self._about, self._why):
                text.setText("")
            return
        self._title.setText(f"Board {sheet.board}")
        self._standing.setText(sheet.standing)
        self._about.setText(sheet.about)
        self._why.setText(sheet.standing_why)
        self._why.setVisible(bool(sheet.standing_why))
        self.figures.show_sheet(sheet)
        self._show_basis(sheet)
        self._show_weighings(sheet)
        self.foot.offer(in_use=sheet.can_be_cut)
        self._whole_lines.fit()
        self.update()

    def _show_basis(self, sheet: BoardSheet) -> None:
        self.oven_dry.set_value(sheet.oven_dry)
        self._provisional.setText("provisional" if sheet.provisional else "")
        self.sections.set_lines(lines.section_lines(sheet.sections))
        self.sections.setVisible(bool(sheet.sections))
        self._sums.setText("\n".join(sheet.sums))
        self._sums.setVisible(bool(sheet.sums))
        columns = lines.basis_columns(sheet)
        corrected = len(columns) > 3
        self.bases.set_lines([lines.basis_line(line, corrected) for line in sheet.bases], columns)
        self.bases.setVisible(bool(sheet.bases))

    def _show_weighings(self, sheet: BoardSheet) -> None:
        shown = lines.ledger_lines(sheet.ledger)
        typed = self._keeper.stands(sheet.entity) if self._keeper is not None else None
        if self._keeper is not None and typed is not None and typed.state is not TypedState.SAVING:
            shown.insert(0, lines.typed_line(typed, typed.read_at or self._keeper.at, self._desk.now()))
        self.weighings.set_lines(shown, lines.ledger_columns(sheet))

    def _keep_in_view(self, table: LinesTable, place: QRect) -> None:
        if self._content is None:
            return
        top = table.mapTo(self._content, place.topLeft()).y()
        self._area.ensureVisible(0, top + place.height() // 2, 0, place.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """The sheet; beside the title a mark where the board no longer counts or the page is sealed."""
        super().paintEvent(event)
        if self._sheet is None:
            return
        mark = Mark.SEALED if self._sealed else None
        mark = mark or (None if self._sheet.can_be_cut else Mark.STRUCK_RING)
        if mark is not None:
            size = self._appearance.sizes.mark
            box = QRectF(0, 0, size, size)
            box.moveCenter(QRectF(0, self._title.y(), self.margin_x, self._title.height()).center())
            draw_mark(QPainter(self), box, mark, self._appearance.tokens)
