"""The lots of what is closed out, where there are several: a word for each, the one in front strong."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QWidget

from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.tabs import FilterTabs


class LotTabs(QWidget):
    """A row of tabs, made anew where the lots are others."""

    def __init__(self, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__()
        self._hand, self._appearance = hand, appearance
        self._lots: tuple[tuple[str, str], ...] = ()
        self._tabs: FilterTabs | None = None
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)

    def follow(self) -> None:
        """Show the lots and the one in front."""
        lots = tuple((entry.entity, f"Lot {entry.fact.lot}") for entry in self._hand.close_out.lots)
        if lots != self._lots:
            self._lots = lots
            if self._tabs is not None:
                self._tabs.hide()  # at once: the deletion waits for the event loop
                self._row.removeWidget(self._tabs)
                self._tabs.deleteLater()
                self._tabs = None
            if lots:
                self._tabs = FilterTabs(self._appearance, lots, "Lot")
                self._tabs.chosen.connect(self._hand.show_lot)
                self._row.addWidget(self._tabs)
        if self._tabs is not None and self._hand.lot is not None:
            self._tabs.choose(self._hand.lot.entity)
