"""The commands that look over all charges."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.past_charges.compare_dialog import CompareDialog
from kilnlog.ui.past_charges.use_dialog import UseDialog
from kilnlog.ui.past_charges.week_dialog import WeekDialog


class OverAllCommands:
    """Part of the View menu: nothing is written by any of them."""

    def __init__(self, view: QWidget, desk: Desk, appearance: Appearance) -> None:
        self._view, self._desk, self._appearance = view, desk, appearance

    def commands(self) -> tuple[Command, ...]:
        """In the order they stand."""
        view, opened = MenuName.VIEW, lambda: self._desk.is_open
        return (
            Command(view, "Past charges side b&y side…", self.compare, "Ctrl+Shift+P", opened),
            Command(view, "Due in the next &week…", self.week, "Ctrl+D", opened),
            Command(view, "Days each &kiln was in use…", self.use, "Ctrl+U", opened),
        )

    def compare(self) -> None:
        """Closed charges of one kind side by side."""
        if self._desk.is_open:
            CompareDialog(self._view.window(), self._desk, self._appearance).open()

    def week(self) -> None:
        """What is due today and in the week after it."""
        if self._desk.is_open:
            WeekDialog(self._view.window(), self._desk, self._appearance).open()

    def use(self) -> None:
        """How many days each kiln was in use."""
        if self._desk.is_open:
            UseDialog(self._view.window(), self._desk, self._appearance).open()
