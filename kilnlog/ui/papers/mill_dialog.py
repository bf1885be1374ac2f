"""Who hands the papers out: the name and the place at their head."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.paper_settings import MILL_NAME, MILL_PLACE, set_mill
from kilnlog.records.version import current_entries
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader


class MillDialog(Form):
    """Both are settings of the logbook; either may stay empty."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        super().__init__(parent, appearance, "Name on the papers", "counts for every charge", width=520)
        self._desk = desk
        known = {entry.fact.setting: entry.fact.value for entry in current_entries(desk.shared.setting)}
        self.add("name", "Name of the mill, or yours", TextField(appearance))
        self.add("place", "Place", TextField(appearance))
        self.set_text("name", known.get(MILL_NAME, ""))
        self.set_text("place", known.get(MILL_PLACE, ""))
        self.remark("It stands at the head of papers written from now on. What is sealed stays as it is.")
        self.finish("Keep", self.keep)
        self.rows["name"].field.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        name, place = reader.text("name") or "", reader.text("place") or ""
        self.send(self._desk, set_mill, name, place, saying="Name on the papers")
