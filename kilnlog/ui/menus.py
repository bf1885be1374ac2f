"""The menu row: menus at the left, the views as index tabs at the right."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QActionGroup,
    QFontMetricsF,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPalette,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QHBoxLayout,
    QMenu,
    QMenuBar,
    QSizePolicy,
    QWidget,
)

from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.sizes import GAP_12, PAGE_RADIUS, Role


class Menus(QMenuBar):
    """Menus made of commands. A command that cannot work now is disabled; its key then does nothing."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._actions: list[tuple[Command, QAction]] = []
        self._states: list[tuple[bool, bool]] = []  # alongside: is there, can work
        self._read_only = False
        self._menus: dict[MenuName, QMenu] = {}
        self.setNativeMenuBar(False)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        for name in MenuName:
            menu = self.addMenu(f"&{name}")
            menu.aboutToShow.connect(self.refresh)
            self._menus[name] = menu
        appearance.changed.connect(self._dress)
        self._dress()

    def set_commands(self, commands: Iterable[Command]) -> None:
        """Fill the menus anew."""
        for menu in self._menus.values():
            menu.clear()
        groups: dict[MenuName, QActionGroup] = {}
        self._actions = []
        self._states = []
        for command in commands:
            menu = self._menus[command.menu]
            if command.begins_group and not menu.isEmpty():
                menu.addSeparator()
            action = QAction(command.text, menu)
            if command.key:
                action.setShortcut(QKeySequence(command.key))
            if command.checked is not None:
                action.setCheckable(True)
                if command.begins_group or command.menu not in groups:
                    groups[command.menu] = QActionGroup(menu)
                groups[command.menu].addAction(action)
            action.triggered.connect(_runner(command))
            menu.addAction(action)
            self._actions.append((command, action))
        self.refresh()

    def set_read_only(self, read_only: bool) -> None:
        """Leave out, or bring back, the commands that write."""
        self._read_only = read_only
        self.refresh()

    def refresh(self) -> None:
        """Ask every command whether it can work, and which of a choice is chosen."""
        before = self._states
        self._states = [self._state_of(command) for command, _ in self._actions]
        for command, action in self._actions:
            if command.checked is not None:
                action.setChecked(command.checked())
        # This runs at every weight, which changes little: Qt is told only that.
        if self._states == before:
            return
        for (_, action), (is_there, can_work) in zip(self._actions, self._states, strict=True):
            action.setVisible(is_there)
            action.setEnabled(can_work)
        for menu in self._menus.values():
            menu.menuAction().setVisible(any(action.isVisible() for action in menu.actions()))

    def _state_of(self, command: Command) -> tuple[bool, bool]:
        is_there = not (command.writes and self._read_only)
        return is_there, is_there and command.possible()

    def _dress(self) -> None:
        self.setFont(self._appearance.sizes.font(Role.MENU))
        for menu in self._menus.values():
            menu.setFont(self._appearance.sizes.font(Role.BODY))


def _runner(command: Command) -> Callable[[], None]:
    def run() -> None:
        if command.possible():
            command.run()

    return run


class _IndexTab(QAbstractButton):
    """The tab of one view, sticking out of the pages behind."""

    def __init__(self, text: str, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self.setText(text)
        self.setCheckable(True)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        appearance.changed.connect(self._measure)

    def _measure(self) -> None:
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Room for the strong form, whether chosen or not."""
        sizes = self._appearance.sizes
        width = QFontMetricsF(sizes.font(Role.MENU_CHOSEN)).horizontalAdvance(self.text())
        return QSize(round(width + 38), sizes.menu_h - 5)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The chosen one in the colour of the desk."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect())
        chosen = self.isChecked()
        if chosen or self.underMouse():
            tab = QPainterPath()
            tab.addRoundedRect(box.adjusted(0, 0, 0, PAGE_RADIUS + 2), PAGE_RADIUS, PAGE_RADIUS)
            painter.fillPath(tab, tokens.colour("desk" if chosen else "cloth2"))
        painter.setFont(sizes.font(Role.MENU_CHOSEN if chosen else Role.MENU))
        painter.setPen(tokens.colour("ink" if chosen else "on_cloth"))
        painter.drawText(box.adjusted(0, 0, 0, -3), int(Qt.AlignmentFlag.AlignCenter), self.text())
        if self.hasFocus():
            draw_focus_ring(painter, box, tokens, colour="focus" if chosen else "on_cloth")


class IndexTabs(QWidget):
    """The views. chosen: sent with the view's number when another tab was chosen."""

    chosen = Signal(int)

    def __init__(self, appearance: Appearance, names: Sequence[str]) -> None:
        super().__init__()
        self.setAccessibleName("Views")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        self._group = QButtonGroup(self)
        for number, name in enumerate(names):
            tab = _IndexTab(name, appearance)
            self._group.addButton(tab, number)
            row.addWidget(tab, 0, Qt.AlignmentFlag.AlignBottom)
        self._group.button(0).setChecked(True)
        self._group.idToggled.connect(lambda number, on: self.chosen.emit(number) if on else None)

    def choose(self, number: int) -> None:
        """Choose a view."""
        self._group.button(number).setChecked(True)

    @property
    def number(self) -> int:
        """The chosen view."""
        return self._group.checkedId()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right go along the tabs."""
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        self.choose(min(len(self._group.buttons()) - 1, max(0, self.number + step)))
        self._group.button(self.number).setFocus()


class MenuRow(QWidget):
    """The row on cloth."""

    def __init__(self, appearance: Appearance, views: Sequence[str]) -> None:
        super().__init__()
        self._appearance = appearance
        self.menus = Menus(appearance)
        self.tabs = IndexTabs(appearance, views)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(GAP_12 - 1, 0, GAP_12 + 8, 0)
        self._row.addWidget(self.menus, 1, Qt.AlignmentFlag.AlignTop)
        self._row.addWidget(self.tabs, 0, Qt.AlignmentFlag.AlignBottom)
        self.setAutoFillBackground(True)
        appearance.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        palette = self.palette()
        palette.setColor(QPalette.ColorRole.Window, self._appearance.tokens.colour("cloth"))
        self.setPalette(palette)
        self.setFixedHeight(self._appearance.sizes.menu_h)
