"""A setting of the logbook that counts from a time on: what was worked out before stays as it was."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.writing import change, write
from kilnlog.records.moment import Moment
from kilnlog.records.setting import Setting
from kilnlog.records.version import Entry, current_entries
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form


class SettingForm(Form):
    """Writes the setting of that name anew, or lets it change from a time on."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, title: str, setting: str, width: int
    ) -> None:
        super().__init__(parent, appearance, title, "counts for every charge", width=width)
        self.desk, self._setting = desk, setting
        entries = current_entries(desk.shared.setting)
        self.entry: Entry[Setting] | None = next(
            (entry for entry in entries if entry.fact.setting == setting), None
        )

    @property
    def value(self) -> str | None:
        """What it is set to; None where it never was."""
        return self.entry.fact.value if self.entry is not None else None

    def send_value(self, value: str, at: Moment, saying: str, reason: str | None = None) -> None:
        """Keep it, and close."""
        fact = Setting(self._setting, value)
        if self.entry is None:
            self.send(self.desk, write, fact, at, saying=saying)
        else:
            self.send(self.desk, change, "setting", self.entry.entity, fact, at, reason, saying=saying)
