"""The window: strip, menu row, three views on the desk, foot."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QPainter, QPaintEvent, QPalette, QShowEvent
from PySide6.QtWidgets import QLabel, QStackedWidget, QVBoxLayout, QWidget

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import AirLeftTyped, TypedNotKept
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.commands import Command, HasCommands, HasKeys, HoldsTyped
from kilnlog.ui.desk import Desk
from kilnlog.ui.file_commands import FileCommands
from kilnlog.ui.foot import Foot
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.page import Page
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.look.sizes import GAP_4, GAP_12, Role
from kilnlog.ui.menus import MenuRow
from kilnlog.ui.notice import Notice
from kilnlog.ui.papers.paper_commands import PaperCommands
from kilnlog.ui.register.register_view import RegisterView
from kilnlog.ui.strip import Strip
from kilnlog.ui.views import BOARDS, BOARDS_VIEW, CURVE, CURVE_VIEW, NAMES, REGISTER, LateView
from kilnlog.ui.window_commands import window_commands

MakeCommands = Callable[["MainWindow"], tuple[Command, ...]]
LATE_VIEWS = (BOARDS_VIEW, CURVE_VIEW)
#: Building the other views would hold up the register: they wait until it is filled, but no longer than this.
FILLED_BY_MS = 1000
#: A filled register is painted within this.
PAINTED_IN_MS = 30
#: Refusals of a key where nothing can be written: there was nothing to lose.
NOTHING_LOST = frozenset({"charge-closed", "charge-taken-back", "read-only-logbook", "nothing-to-take-back"})


class MainWindow(QWidget):
    """One window on one logbook.

    The register is there from the first paint; the other views are built after it, the curve once a thread
    has loaded what draws it.
    """

    ready = Signal()  # every view is built
    _curve_loaded = Signal()

    def __init__(
        self,
        desk: Desk,
        appearance: Appearance,
        *,
        late_views: tuple[LateView, LateView] = LATE_VIEWS,
        make_commands: MakeCommands = window_commands,
    ) -> None:
        super().__init__()
        self.desk = desk
        self.appearance = appearance
        self.files = FileCommands(self)
        self.papers = PaperCommands(self, desk, appearance, self.files.run_long)
        self.last_file: Path | None = None
        self._late = dict(zip((BOARDS, CURVE), late_views, strict=True))
        self._make_commands = make_commands
        self._painted = False
        self._rest_begun = False
        self._closing = self._refused_while_closing = False
        self._warned_of: dict[int, tuple[str, ...]] = {}
        self.setWindowTitle("kilnlog")
        self.strip = Strip(desk, appearance)
        self.menu_row = MenuRow(appearance, NAMES)
        self.refusal = Notice(appearance, Mark.ACT, "act_bg")
        self.read_only = Notice(appearance, Mark.LOOK, "look_bg", dismissable=False)
        self.stack = QStackedWidget()
        self.foot = Foot(appearance)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for widget in (self.strip, self.menu_row, self.read_only, self.refusal):
            column.addWidget(widget)
        desk_area = QWidget()
        inner = QVBoxLayout(desk_area)
        inner.setContentsMargins(GAP_12, GAP_12 - 1, GAP_12, GAP_4)
        inner.addWidget(self.stack)
        column.addWidget(desk_area, 1)
        column.addWidget(self.foot)
        self.register = RegisterView(desk, appearance)
        self.views: list[QWidget] = [self.register]
        self.stack.addWidget(self.register)
        for name in NAMES[1:]:
            waiting = _Waiting(appearance, name)
            self.views.append(waiting)
            self.stack.addWidget(waiting)
        self._connect()
        self._renew_commands()
        self._dress()

    def _connect(self) -> None:
        self.menu_row.tabs.chosen.connect(self._shown)
        self.register.keys_changed.connect(self._renew_keys)
        self.register.paper_asked.connect(self.papers.ask)
        self.register.boards_asked.connect(lambda: self.show_view(BOARDS))
        self.register.empty.new_logbook_asked.connect(self.files.new)
        self.register.empty.logbook_asked.connect(self.files.open)
        self.register.empty.sample_asked.connect(self.files.open_sample)
        self.strip.findings_asked.connect(self._show_findings)
        self.desk.saved.connect(self._saved)
        self.desk.refused.connect(self.tell_refusal)
        self.desk.over.connect(lambda error: self.refusal.withdraw(worded(error).text))
        self.refusal.dismissed.connect(self._warned_of.clear)
        self.desk.record_changed.connect(self._follow_record)
        self.desk.register_changed.connect(self._follow)
        self.desk.board_changed.connect(self.menu_row.menus.refresh)
        self.appearance.changed.connect(self._dress)
        self._curve_loaded.connect(self._build_curve)

    def show_view(self, number: int) -> None:
        """Bring a view to the front and give it the keys."""
        self.menu_row.tabs.choose(number)
        self.views[number].setFocus()

    def tell_refusal(self, error: KilnlogError) -> None:
        """Say across the window what was refused and why; it stays until the operator has read it."""
        self._refused_while_closing = self._closing
        if self.read_only.text == worded(error).text:
            return  # it stands there already
        self.refusal.tell(worded(error).text, passing=error.code in NOTHING_LOST)

    def tell_passing(self, error: KilnlogError) -> None:
        """The same of what nothing is lost by: the next thing that is kept takes it away."""
        self.refusal.tell(worded(error).text, passing=True)

    def file_opened(self, path: Path | None) -> None:
        """A logbook was opened; None: a copy nobody will look for again."""
        self.last_file = path

    def _shown(self, number: int) -> None:
        self.stack.setCurrentIndex(number)
        self._renew_keys()
        self.menu_row.menus.refresh()

    def _show_findings(self, kind: str) -> None:
        self.show_view(CURVE)
        show = getattr(self.views[CURVE], "show_findings", None)
        if show is not None:
            show(kind)

    def _saved(self, text: str) -> None:
        self._warned_of.clear()
        self.refusal.hide_passing()
        self.foot.say(f"{text}, saved {self.desk.now().local:%H:%M:%S}", kept=True)

    def _follow_record(self, changes: Changes | None) -> None:
        if changes is None:
            self.refusal.hide_passing()  # it was about the charge that was in hand
        self._follow()

    def _follow(self) -> None:
        why = self.desk.read_only
        self.menu_row.menus.set_read_only(why is not None)
        if why is None:
            self.read_only.hide()
        else:
            self.read_only.hide()  # of another logbook before
            self.read_only.tell(worded(why).text)
        record = self.desk.record
        self.setWindowTitle(f"{record.particulars.charge}, kilnlog" if record is not None else "kilnlog")
        self._renew_keys()

    def _renew_keys(self) -> None:
        view = self.stack.currentWidget()
        self.foot.set_keys(view.keys() if isinstance(view, HasKeys) else ())

    def _renew_commands(self) -> None:
        commands = list(self._make_commands(self))
        for view in self.views:
            if isinstance(view, HasCommands):
                commands += view.commands()
        self.menu_row.menus.set_commands(sorted(commands, key=lambda command: command.last))
        self._renew_keys()

    def showEvent(self, event: QShowEvent) -> None:
        """The keys go to the view in front, not to the first tab of the row."""
        super().showEvent(event)
        self.views[self.menu_row.tabs.number].setFocus()

    def paintEvent(self, event: QPaintEvent) -> None:
        """After the first paint comes what could wait: once the register is filled, or none is opening."""
        QPainter(self).fillRect(self.rect(), self.appearance.tokens.colour("desk"))
        if not self._painted:
            self._painted = True
            self.desk.register_changed.connect(self._rest_soon)
            QTimer.singleShot(FILLED_BY_MS, self._build_rest)

    def _rest_soon(self) -> None:
        QTimer.singleShot(PAINTED_IN_MS, self._build_rest)

    def _build_rest(self) -> None:
        if self._rest_begun:
            return
        self._rest_begun = True
        self._replace(BOARDS, self._late[BOARDS].make(self.desk, self.appearance))
        # Loading what draws the curve takes a third of a second: a thread keeps the window awake meanwhile.
        threading.Thread(target=self._load_curve, name="load curve", daemon=True).start()

    def _load_curve(self) -> None:
        self._late[CURVE].load()
        self._curve_loaded.emit()

    def _build_curve(self) -> None:
        self._replace(CURVE, self._late[CURVE].make(self.desk, self.appearance))
        self.ready.emit()

    def _replace(self, number: int, view: QWidget) -> None:
        waiting = self.views[number]
        in_front = self.stack.currentIndex()
        self.views[number] = view
        self.stack.removeWidget(waiting)
        waiting.deleteLater()
        self.stack.insertWidget(number, view)
        self.stack.setCurrentIndex(in_front)
        if (changed := getattr(view, "keys_changed", None)) is not None:
            changed.connect(self._renew_keys)
        if (following := getattr(view, "following_told", None)) is not None:
            following.connect(self.foot.set_following)
        if (board_asked := getattr(view, "board_asked", None)) is not None:
            board_asked.connect(lambda: self.show_view(BOARDS))
        self._renew_commands()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Whatever was accepted is on disk, or refused to the operator's face, before the window goes."""
        operations = self.desk.operations
        if operations.waiting:
            event.ignore()
            self._close_when_idle()
        elif self.may_go():
            if (stop_following := getattr(self.views[CURVE], "stop_following", None)) is not None:
                stop_following()
            operations.close()
            super().closeEvent(event)
        else:
            event.ignore()

    def _close_when_idle(self) -> None:
        if not self._closing:
            self._closing, self._refused_while_closing = True, False
            self.foot.say("Closing once everything is kept", kept=False)
            self.desk.operations.idle.connect(self._close_now, Qt.ConnectionType.QueuedConnection)

    def _close_now(self) -> None:
        self.desk.operations.idle.disconnect(self._close_now)
        self._closing = False
        if self._refused_while_closing:
            self.foot.say("Not closed: see above what was not kept", kept=False)
        else:
            self.close()

    def may_go(self) -> bool:
        """Whether nothing stands typed that nobody kept; what was told of once is let go the next time."""
        typed = {
            number: view.unkept()
            for number in (REGISTER, BOARDS, CURVE)
            if isinstance(view := self.views[number], HoldsTyped)
        }
        typed = {number: unkept for number, unkept in typed.items() if unkept}
        if not typed or typed == self._warned_of:
            return True
        self._warned_of.clear()
        self._warned_of.update(typed)
        self.show_view(next(iter(typed)))
        told = (
            TypedNotKept(boards=unkept) if number == BOARDS else AirLeftTyped(typed=unkept)
            for number, unkept in typed.items()
        )
        self.refusal.tell(" ".join(worded(error).text for error in told), passing=True)
        return False

    def _dress(self) -> None:
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Window, self.appearance.tokens.colour("desk"))
        self.setPalette(palette)


class _Waiting(Page):
    """Stands where a view will be built in a moment."""

    def __init__(self, appearance: Appearance, name: str) -> None:
        super().__init__(appearance)
        text: QLabel = Text(name, appearance, Role.PAGE_TITLE, "ink2")
        text.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.body.addWidget(text)
