"""A heading that is filled in line by line: figures above, the lines with one in hand, what is said below."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.line_keeper import Within
from kilnlog.ui.closing.lines_entry import LinesEntry
from kilnlog.ui.closing.said_list import SaidList
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_4, GAP_8

_PAGES = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}


class LinesPage(StepPage):
    """``entry`` is made by the page itself, before ``lay_out``."""

    entry: LinesEntry[Any]

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self.said = SaidList(appearance)

    def lay_out(self, *above: QWidget) -> None:
        """What stands above, the lines, what is said below them."""
        for widget in above:
            self.add(widget)
            self.body.addSpacing(GAP_4)
        self.body.addSpacing(GAP_8)
        self.add(self.entry.table, in_margin=True)
        self.add(self.said.area, 1)

    def take_keys(self) -> None:
        """To the line in hand."""
        if self.hand.can_write:
            self.entry.table.take_keys()
        else:
            self.next.setFocus()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys of the line in hand."""
        if not self.hand.can_write:
            return (("Page ↑ ↓", "roll"),)
        return (("Enter", "next field"), ("↑", "lines kept"), ("Ctrl Z", "take back"))

    def unkept(self, within: Within = ()) -> tuple[str, ...]:
        """Lines typed and not kept."""
        return self.entry.keeper.unkept(within)

    def forget(self, within: Within) -> None:
        """Give up lines typed there."""
        self.entry.forget(within)

    def drop_typed(self) -> bool:
        """What stands typed in the line in hand."""
        return self.hand.can_write and self.entry.drop_typed()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Page Up and Page Down roll what is said."""
        by = _PAGES.get(Qt.Key(event.key()))
        if by is None:
            super().keyPressEvent(event)
        else:
            self.said.roll(by)
