"""The three figures of a board, large: its moisture, what it has still to lose, its weight at the target."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.board_sheet import BoardSheet
from kilnlog.records.weight import WeightUnit
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Computed, Text
from kilnlog.ui.look.sizes import Role


class BigFigures(QWidget):
    """asked(str): the operator wants to see how a figure came about; its name in the working."""

    asked = Signal(str)

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self.mc = Computed(appearance, Role.BIG_FIGURE, "Moisture content")
        self.to_lose = Computed(appearance, Role.BIG_FIGURE, "Still to lose")
        self.at_target = Computed(appearance, Role.BIG_FIGURE, "Weight at target")
        self._labels = [Text("", appearance, Role.LABEL, "ink2") for _ in range(3)]
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        named = {"mc": self.mc, "water_to_lose": self.to_lose, "weight_at_target": self.at_target}
        for label, (figure, computed) in zip(self._labels, named.items(), strict=True):
            column = QVBoxLayout()
            column.setSpacing(0)
            column.addWidget(label)
            column.addWidget(computed, 0, Qt.AlignmentFlag.AlignLeft)
            row.addLayout(column, 1)
            computed.asked.connect(lambda figure=figure: self.asked.emit(figure))
        self._named = named

    def show_sheet(self, sheet: BoardSheet) -> None:
        """The figures of that board."""
        for label, text in zip(
            self._labels, (sheet.mc_of, sheet.to_lose_of, sheet.at_target_of), strict=True
        ):
            label.setText(text)
        known = sheet.mc != figures.EMPTY
        self.mc.set_value(sheet.mc, (sheet.uncertainty or "%") if known else "")
        unit = "" if sheet.unit is WeightUnit.LB_OZ else sheet.unit.value
        for computed, text in ((self.to_lose, sheet.to_lose), (self.at_target, sheet.at_target)):
            computed.set_value(text, unit if text != figures.EMPTY else "")
        self.to_lose.set_name(sheet.to_lose_of)
        self.at_target.set_name(sheet.at_target_of)

    @property
    def in_hand(self) -> str | None:
        """The figure that has the keys."""
        return next((name for name, computed in self._named.items() if computed.hasFocus()), None)
