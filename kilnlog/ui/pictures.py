"""Pictures made without anybody at the window: the curve of a charge, and the views of the sample logbook."""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import QMessageLogContext, Qt, QtMsgType, qInstallMessageHandler
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.drying.assessment import assess
from kilnlog.logbook.charge_in_hand import LoggedAir
from kilnlog.logbook.clock import machine_clock, machine_zone
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.demo import clock_from, sample_now
from kilnlog.logbook.session import open_logbook
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_text
from kilnlog.reference.tables import load
from kilnlog.ui.chosen_board.page import FOLLOWS_MS
from kilnlog.ui.collecting import Collecting
from kilnlog.ui.desk import Desk
from kilnlog.ui.drying_curve.both_plots import BothPlots
from kilnlog.ui.drying_curve.key_column import KeyColumn
from kilnlog.ui.drying_curve.saving import save_plots
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations
from kilnlog.ui.views import BOARDS, CURVE, REGISTER
from kilnlog.ui.weighing_round.boards_view import BoardsView
from kilnlog.ui.window import MainWindow

CURVE_SIZE = (960, 560)  # px
WINDOW_SIZE = (1366, 768)
_OF_NO_USE = "This plugin does not support propagateSizeHints()"
#: The running charges of the sample that are shown: eight boards, and twelve.
EIGHT_BOARDS, TWELVE_BOARDS = "2026-14", "2026-15"
#: The one that is out of its kiln and being closed out.
UNLOADED = "2026-12"


def save_curve(record: ChargeRecord, air: LoggedAir, now: Moment, to: Path) -> None:
    """Save the drying curve of a charge as it stands at ``now``, as PNG or SVG by the file's ending.

    The air its loggers recorded is drawn beneath, with what was read by hand.

    Raises ``PictureNotSaved`` where the file cannot be written.
    """
    app = _application()
    appearance = Appearance()
    appearance.apply(app)
    reference = load()
    assessment = assess(record, reference, now, air.digest)
    plots, key = BothPlots(appearance), KeyColumn(appearance)
    for widget in (plots, key):
        widget.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
        widget.resize(CURVE_SIZE[0] if widget is plots else key.width(), CURVE_SIZE[1])
        widget.show()
    plots.show_charge(record, assessment, air.lines, reference, anew=True)
    key.show_round(assessment, plots.curve.reading, plots.curve.hidden, plots.read_air())
    app.processEvents()
    try:
        save_plots(plots, key, to)
    finally:
        for widget in (plots, key):
            widget.close()


def save_pictures(folder: Path, sample: Path) -> Iterator[Path]:
    """Save the pictures of the window into ``folder``, one after another, and tell each.

    The sample is copied first: the weights typed for the pictures reach the copy alone.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name, mode, size, take in _PICTURES:
        with tempfile.TemporaryDirectory() as kept, _window(Path(kept), sample, mode, size) as sitter:
            take(sitter)
            sitter.settle()
            QTest.qWait(2 * FOLLOWS_MS)
            to = folder / f"{name}.png"
            sitter.window.grab().save(str(to))
        yield to


class _Sitter:
    """A window on a copy of the sample, typed into as by hand."""

    def __init__(self, app: QApplication, desk: Desk, window: MainWindow) -> None:
        self.app = app
        self.desk = desk
        self.window = window

    def settle(self) -> None:
        """Until nothing is being written or read, and all of it is painted."""
        while self.desk.operations.waiting:
            self.app.processEvents()
        for _ in range(4):
            self.app.processEvents()

    def take_in_hand(self, number: str, view: int) -> None:
        """Choose a charge and a view."""
        self.desk.take_in_hand(next(line.entity for line in self.desk.lines if line.number == number))
        self.settle()
        self.window.show_view(view)
        self.settle()

    def keys(self, text: str, *, enter: bool = True) -> None:
        """Type where the keys go."""
        target = self.app.focusWidget()
        if target is not None:
            QTest.keyClicks(target, text)
            if enter:
                QTest.keyClick(target, Qt.Key.Key_Return)
        self.settle()

    def weigh(self, boards: int) -> None:
        """Type about what the next boards are expected to weigh."""
        for number in range(boards):
            self.keys(self.expected(off_steps=(number * 5) % 7 - 3))

    def expected(self, off_steps: int = 0) -> str:
        """What the line in hand is expected to weigh, in its unit."""
        view = self.boards
        sheet = view.keeper.sheet
        if sheet is None:
            return ""
        line = sheet.lines[view.round_page.table.row]
        if line.last is None or line.expected_low_g is None or line.expected_high_g is None:
            return ""
        step_g = float(line.last.step_g)
        middle_g = (line.expected_low_g + line.expected_high_g) / 2
        return weight_text(round(middle_g / step_g + off_steps) * step_g, line.unit, line.last.step_g)

    @property
    def boards(self) -> BoardsView:
        """The sample-board view."""
        view: QWidget = self.window.views[BOARDS]
        if not isinstance(view, BoardsView):
            raise TypeError(type(view).__name__)
        return view


@contextmanager
def _window(kept: Path, sample: Path, mode: str, size: str) -> Iterator[_Sitter]:
    """A window on a copy of the sample, on the morning it waits for."""
    copy = kept / sample.name
    shutil.copyfile(sample, copy)
    app = _application()
    appearance = Appearance(mode, size)
    appearance.apply(app)
    book = open_logbook(copy, read_only=True)
    now = sample_now(book)
    book.close()
    clock = clock_from(now, machine_clock)
    operations = Operations()
    collecting = Collecting()
    try:
        desk = Desk(operations, appearance, load(), clock, machine_zone())
        window = MainWindow(desk, appearance)
        window.resize(*WINDOW_SIZE)
        window.show()
        window.activateWindow()
        built = [False]
        window.ready.connect(lambda: built.__setitem__(0, True))
        operations.open(lambda: open_logbook(copy, clock=clock), desk.opened)
        sitter = _Sitter(app, desk, window)
        while not built[0]:
            app.processEvents()
        sitter.settle()
        yield sitter
        window.close()
        window.deleteLater()
        app.processEvents()
    finally:
        operations.close()
        collecting.stop()


def _register(sitter: _Sitter) -> None:
    sitter.take_in_hand(EIGHT_BOARDS, REGISTER)


def _slip(sitter: _Sitter) -> None:
    """Four weights, then one whose first digits are turned."""
    sitter.take_in_hand(EIGHT_BOARDS, BOARDS)
    sitter.weigh(4)
    typed = sitter.expected()
    sitter.keys(typed[1] + typed[0] + typed[2:])


def _mid_round(sitter: _Sitter) -> None:
    sitter.take_in_hand(TWELVE_BOARDS, BOARDS)
    sitter.weigh(8)
    sitter.keys(sitter.expected()[:2], enter=False)


def _from_afar(sitter: _Sitter) -> None:
    sitter.take_in_hand(EIGHT_BOARDS, BOARDS)
    sitter.weigh(3)


def _final_moisture(sitter: _Sitter) -> None:
    """The first lot's readings, and what still stands before the seal."""
    sitter.take_in_hand(UNLOADED, REGISTER)
    sitter.window.register.close_out()
    closing = sitter.window.register.closing
    if closing is None:
        raise LookupError(UNLOADED)
    closing.show_step(Step.FINAL_MOISTURE)


def _curve(number: str, boards: int) -> Callable[[_Sitter], None]:
    def take(sitter: _Sitter) -> None:
        sitter.take_in_hand(number, BOARDS)
        sitter.weigh(boards)
        sitter.window.show_view(CURVE)

    return take


_PICTURES: tuple[tuple[str, str, str, Callable[[_Sitter], None]], ...] = (
    ("register_light", "light", "regular", _register),
    ("boards_light", "light", "regular", _slip),
    ("boards_dark", "dark", "regular", _mid_round),
    ("boards_largest", "light", "largest", _from_afar),
    ("curve_light", "light", "regular", _curve(EIGHT_BOARDS, 8)),
    ("curve_dark", "dark", "regular", _curve(TWELVE_BOARDS, 12)),
    ("closeout_light", "light", "regular", _final_moisture),
)


def _application() -> QApplication:
    app = QApplication.instance()
    if isinstance(app, QApplication):
        return app
    qInstallMessageHandler(_pass_on)
    return QApplication(sys.argv[:1])


def _pass_on(kind: QtMsgType, context: QMessageLogContext, message: str) -> None:
    """Qt's messages, but for what its drawing in memory says of every window it lays out."""
    if message != _OF_NO_USE:
        print(message, file=sys.stderr)
