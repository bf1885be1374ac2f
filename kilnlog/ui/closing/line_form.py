"""One kept line, corrected: the fields it was typed into, and why it is another now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.writing import correct
from kilnlog.records.errors import KilnlogError
from kilnlog.records.version import Entry
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader

if TYPE_CHECKING:
    from kilnlog.ui.closing.lines_entry import LinesEntry


class LineForm(Form):
    """The same fields as the line, two side by side, and a reason."""

    def __init__(self, parent: QWidget, lines: LinesEntry[Any], entry: Entry[Any]) -> None:
        page = lines.page
        super().__init__(parent, page.appearance, f"Correct this {lines.noun}")
        self._lines, self._entry = lines, entry
        self._columns = [column for column in lines.columns if column.key]
        fields = [
            (column.key, column.name or column.heading, TextField(page.appearance))
            for column in self._columns
        ]
        for first in range(0, len(fields), 2):
            self.pair(*fields[first : first + 2])
        for key, text in lines.texts_of(entry).items():
            self.set_text(key, text)
        self.add("reason", "Why is it corrected?", TextField(page.appearance, "misread, wrong piece"))
        self.require("reason")
        self.finish("Keep", self.keep)

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        reason = reader.text("reason", needed=True)
        texts = {column.key: reader.text(column.key) or "" for column in self._columns}
        try:
            fact, at = self._lines.read(texts)
        except KilnlogError as error:
            column = str(error.values.get("column", ""))
            self._lines.told(error)  # names the field as it stands here
            if column in self.rows:
                reader.refuse(column, error)
            else:
                self.refuse(error)
                return
        if not reader.ok or reason is None:
            return
        self.send(
            self._lines.desk,
            correct,
            self._lines.table_of,
            self._entry.entity,
            fact,
            reason,
            at,
            saying=f"{self._lines.noun.capitalize()} corrected",
        )
