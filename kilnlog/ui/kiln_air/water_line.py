"""One line beside the curve that tells the water that leaves, and leads to how it is worked out."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QWidget

from kilnlog.logbook.water_words import water_brief
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Computed, Text
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_12, GAP_16, Role


class WaterLine(QWidget):
    """Not there where nothing is known of the water. ``figure.asked``: the working is wanted."""

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self._desk, self._appearance = desk, appearance
        self.figure = Computed(appearance, Role.BODY, "Water that leaves the charge")
        self._row = QHBoxLayout(self)
        self._row.setSpacing(GAP_8)
        self._row.addWidget(Text("Water", appearance, Role.LABEL, "ink2"))
        self._row.addWidget(self.figure)
        self._row.addStretch(1)
        appearance.changed.connect(self._indent)
        desk.record_changed.connect(lambda _: self._follow())
        self._indent()
        self._follow()

    def _follow(self) -> None:
        assessment = self._desk.assessment
        brief = water_brief(assessment) if assessment is not None else ""
        self.figure.set_value(brief or None)
        self.setHidden(not brief)

    def _indent(self) -> None:
        self._row.setContentsMargins(self._appearance.sizes.margin_w + GAP_12, GAP_4, GAP_16, GAP_4)
