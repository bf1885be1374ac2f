"""What is to be said under a page's lines: sentences, some under a title, that scroll where they are many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import scrolling
from kilnlog.ui.look.sizes import GAP_4, GAP_8, Role


@dataclass(frozen=True, slots=True)
class Told:
    """One sentence, with its role and colour."""

    text: str
    role: Role = Role.SAID
    colour: str = "ink2"


def titled(text: str) -> Told:
    """What the sentences below it are about."""
    return Told(text, Role.STRONG, "ink")


def worked_out(text: str) -> Told:
    """A sentence about what was worked out."""
    return Told(text, Role.SAID, "pencil")


def small(text: str) -> Told:
    """Cautions and sources."""
    return Told(text, Role.TINY, "ink2")


class SaidList(QWidget):
    """``area`` is what goes on the page."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._shown: tuple[Told, ...] | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, GAP_4, 0, 0)
        self._column.setSpacing(GAP_4)
        self._column.addStretch(1)
        self.area: QScrollArea = scrolling(self)

    def show_said(self, said: Sequence[Told]) -> None:
        """Say these, and nothing else."""
        if tuple(said) == self._shown:
            return
        self._shown = tuple(said)
        while (item := self._column.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()  # at once: the deletion waits for the event loop
                widget.deleteLater()
        for number, one in enumerate(self._shown):
            if number and one.role is Role.STRONG:
                self._column.addSpacing(GAP_8)
            self._column.addWidget(Wrapped(one.text, self._appearance, one.role, one.colour))
        self._column.addStretch(1)

    @property
    def texts(self) -> tuple[str, ...]:
        """What is said."""
        return tuple(one.text for one in self._shown or ())

    def roll(self, by: int) -> None:
        """Move up (-1) or down (1) by a page."""
        bar = self.area.verticalScrollBar()
        bar.setValue(bar.value() + by * bar.pageStep())
