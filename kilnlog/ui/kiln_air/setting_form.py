"""A setting of the logbook that counts from a time on: what was worked out before stays as it was."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.setting_from import set_from
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

    def send_value(self, value: str, at: Moment, saying: str) -> None:
        """Keep it, and close."""
        self.send(self.desk, set_from, Setting(self._setting, value), at, saying=saying)
