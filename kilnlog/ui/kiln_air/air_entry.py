"""Air now, at the foot of what to do: two figures, Tab between them, Enter behind them, and they are kept."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import QLineF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen, QShowEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.logbook.typed_air import DRY, Second
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.air_keeper import TIME, AirKeeper, Told
from kilnlog.ui.kiln_air.fields import FigureField, NowField, SecondChoice, second_title
from kilnlog.ui.kiln_air.figures_row import FiguresRow
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint
from kilnlog.ui.look.fields import ChoiceField, is_wrong, set_wrong
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import section_title
from kilnlog.ui.look.painting import Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_2, GAP_4, GAP_8, GAP_12, GAP_16, Role

HEADING = "Air now"
KEY = "Ctrl R"
HOW = "Dry bulb, Tab, the other figure, Enter."
_COLOURS = {Told.WRONG: "act", Told.ASKED: "look", Told.SAVING: "ink2", Told.NOTE: "ink2"}
_MARKS = {Told.WRONG: Mark.ACT, Told.ASKED: Mark.LOOK, Told.NOTE: Mark.NOTE}


class AirEntry(QWidget):
    """Lies across the page's margin, where what is wrong is marked. Not there where nothing can be written.

    left(): Esc with nothing typed; the keyboard is wanted elsewhere.
    """

    left = Signal()

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self._desk, self._appearance = desk, appearance
        self.keeper = AirKeeper(desk, self)
        self.time = NowField(appearance, desk.now)
        self.sensor = ChoiceField(appearance, ())
        self.sensor.setAccessibleName("Sensor")
        self.dry = FigureField(appearance)
        self.second = FigureField(appearance)
        self.choice = SecondChoice(appearance)
        self.row = FiguresRow(appearance)
        self._dry_title = Text("", appearance, Role.LABEL, "ink2")
        self._dry_title.setBuddy(self.dry)
        self._last = Wrapped("", appearance, Role.SAID, "ink2")
        self._said = Wrapped("", appearance, Role.BODY, "ink2")
        self._mark: Mark | None = None
        self._stale = True
        self._column = QVBoxLayout(self)
        self._column.setSpacing(GAP_4)
        self._lay_out()
        self._connect()
        self._indent()
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._keys_went)
        # As they stand; Ctrl R goes to the dry bulb, and Tab from there to the other figure.
        stops: list[QWidget] = [self.time, self.sensor, self.dry, self.second, self.choice, *self.row.figures]
        for before, after in pairwise(stops):
            QWidget.setTabOrder(before, after)
        self._refresh()
        if not desk.can_write:
            self.hide()  # where it can be seen it is the page that shows it

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(GAP_8)
        head.addWidget(section_title(HEADING, self._appearance))
        head.addWidget(KeyHint(KEY, self._appearance))
        head.addStretch(1)
        head.addWidget(self.time)
        self._column.addLayout(head)
        self._column.addWidget(self.sensor)
        fields = QHBoxLayout()
        fields.setSpacing(GAP_16)
        for title, field in ((self._dry_title, self.dry), (self.choice, self.second)):
            one = QVBoxLayout()
            one.setSpacing(GAP_2)
            one.addWidget(title)
            one.addWidget(field)
            fields.addLayout(one)
        fields.addStretch(1)
        self._column.addLayout(fields)
        self._column.addWidget(self.row)
        self._column.addWidget(self._last)
        self._column.addWidget(self._said)

    def _connect(self) -> None:
        self.keeper.changed.connect(self._follow)
        self.keeper.kept.connect(self._kept)
        for field in (self.dry, self.second):
            field.textEdited.connect(lambda _: self.keeper.type_in(self.dry.text(), self.second.text()))
            field.escaped.connect(self._escape)
            field.moved.connect(self.choice.move_on)
            field.working_asked.connect(self.row.show_working)
        self.dry.entered.connect(self._go_on)
        self.second.entered.connect(self._offer)
        self.choice.chosen.connect(self.keeper.choose_second)
        self.sensor.currentIndexChanged.connect(lambda _: self.keeper.choose_sensor(self.sensor.value))
        self.time.chosen.connect(self.keeper.choose_time)
        self.time.refused.connect(self._time_unread)
        self.time.dropped.connect(lambda: self._time_unread(None))
        self.time.left.connect(self.take_keys)
        self._appearance.changed.connect(self._indent)
        self.setFocusProxy(self.dry)

    @property
    def told(self) -> str:
        """What is said under the fields."""
        return self._said.text()

    def take_keys(self) -> None:
        """The keyboard goes to the first figure."""
        self.dry.setFocus()
        self.dry.selectAll()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that work here."""
        return (
            ("Tab", "the other figure"),
            ("Enter", "keep"),
            ("↑ ↓", "wet bulb, depression, RH"),
            ("F2", "show working"),
            ("Esc", "drop"),
        )

    def unkept(self) -> tuple[str, ...]:
        """What stands typed that nobody kept."""
        return self.keeper.unkept()

    def _offer(self) -> None:
        self.keeper.offer()
        said = self.keeper.here.said
        if said is None or said.kind is not Told.WRONG:
            return
        field = {DRY: self.dry, TIME: self.time}.get(said.column, self.second)
        field.setFocus()
        field.selectAll()

    def _go_on(self) -> None:
        """Enter behind the first figure: to the second, or, where it was asked about, the answer."""
        if self.keeper.here.asked is not None:
            self._offer()
            return
        self.second.setFocus()
        self.second.selectAll()

    def _escape(self) -> None:
        if not self.keeper.drop() and not self.keeper.forget_time():
            self.left.emit()
        elif self.second.hasFocus():
            self.dry.setFocus()

    def _time_unread(self, error: KilnlogError | None) -> None:
        self.keeper.time_unread(error)

    def _keys_went(self, _: QWidget | None, to: QWidget | None) -> None:
        """Left with no figure typed, it is of the present again; another window in front changes nothing."""
        if to is not None and to.window() is self.window() and not self.isAncestorOf(to):
            self.keeper.forget_time()

    def _kept(self) -> None:
        if self.keeper.here.is_empty and self.second.hasFocus():
            self.dry.setFocus()

    def _follow(self) -> None:
        """Hidden, it waits; but whether it is to be seen at all is told at once."""
        self._stale = True
        self.setHidden(not self._desk.can_write)
        if self.isVisible():
            self._refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Show what came meanwhile."""
        super().showEvent(event)
        if self._stale:
            self._refresh()

    def _refresh(self) -> None:
        keeper, here = self.keeper, self.keeper.here
        self._stale = False
        self._show_time()
        sensors = keeper.sensors
        self.sensor.setVisible(bool(sensors))
        self.sensor.blockSignals(True)
        self.sensor.set_choices([(sensor, sensor) for sensor in sensors])
        self.sensor.set_value(keeper.sensor or "")
        self.sensor.blockSignals(False)
        self._dry_title.setText(f"Dry bulb, °{keeper.unit.value}")
        self.dry.setAccessibleName(self._dry_title.text())
        self.choice.show_choice(keeper.which, keeper.unit)
        self.second.setAccessibleName(second_title(keeper.which, keeper.unit))
        self.second.setAccessibleDescription("the arrows up and down take wet bulb, depression or RH")
        for field, text in ((self.dry, here.dry), (self.second, here.second)):
            if field.text() != text:
                field.setText(text)
        self._tell_figures()
        self._tell()

    def _show_time(self) -> None:
        time = self.keeper.time
        if time.unread is None and is_wrong(self.time):
            self.time.drop()  # it was for the charge that was in hand
        self.time.follows = time.chosen is None
        self.time.show_time(self.keeper.at if self._desk.record is not None else None)

    def _tell_figures(self) -> None:
        """What follows from the two figures, or, while nothing is typed, what was read last."""
        empty = self.keeper.here.is_empty
        self.row.show_air(self.keeper.typed)
        self.row.setVisible(not empty)
        self._last.setText((self.keeper.last_words or HOW) if empty else "")
        self._last.setVisible(empty)

    def _tell(self) -> None:
        said = self.keeper.said
        self._mark = _MARKS.get(said.kind) if said is not None else None
        wrong = said.column if said is not None and said.kind is Told.WRONG else None
        self._said.set_colour(_COLOURS[said.kind] if said is not None else "ink2")
        self._said.setText(said.text if said is not None else "")
        self._said.setVisible(said is not None)
        for field, is_it in (
            (self.dry, wrong == DRY),
            (self.second, wrong in list(Second)),
        ):
            set_wrong(field, is_it)
            if said is not None and is_it:
                field.setAccessibleDescription(said.text)
        self.update()

    def _indent(self) -> None:
        sizes = self._appearance.sizes
        self._column.setContentsMargins(sizes.margin_w + GAP_12, GAP_8, GAP_16, GAP_8)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc, wherever in here the keyboard is."""
        if event.key() == Qt.Key.Key_Escape:
            self._escape()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rule above it, and the mark beside what is said."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        painter.setPen(QPen(tokens.colour("edge"), 1))
        painter.drawLine(QLineF(sizes.margin_w + 1, 0.5, self.width(), 0.5))
        if self._mark is not None and not self._said.isHidden():
            first_line = self._said.fontMetrics().height()
            box = QRectF((sizes.margin_w - sizes.mark) / 2, 0, sizes.mark, sizes.mark)
            box.moveTop(self._said.y() + (first_line - sizes.mark) / 2)
            draw_mark(painter, box, self._mark, tokens)
