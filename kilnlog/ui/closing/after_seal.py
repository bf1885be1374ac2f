"""After the seal: reopening with a reason, and dated notes that alter nothing under it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.closing import add_later_note, reopen
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import NotesField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader

REOPENS = (
    "It takes rows again until it is closed anew. The seal stays in the record as it was issued, and so can "
    "its papers be printed; a paper given out since then no longer tells what the record says."
)
ADDS = "It is dated now, stands after the seal, and alters nothing under it."


class ReopenForm(Form):
    """Asks why; nothing is reopened without."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, charge: str, lot: str | None, name: str
    ) -> None:
        super().__init__(parent, appearance, f"Reopen {name}")
        self._desk, self._charge, self._lot, self._name = desk, charge, lot, name
        self.remark(REOPENS)
        self.add("reason", "Why", TextField(appearance, "a lot was tallied wrong"))
        self.require("reason")
        self.finish("Reopen", self.keep)

    def keep(self) -> None:
        """Reopen it."""
        reader = Reader(self)
        reason = reader.text("reason", needed=True)
        if reader.ok and reason is not None:
            saying = f"{self._name[0].upper()}{self._name[1:]} reopened"
            self.send(self._desk, reopen, self._charge, self._lot, reason, saying=saying)


class LaterNoteForm(Form):
    """Asks for the remark."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, charge: str, lot: str | None, name: str
    ) -> None:
        super().__init__(parent, appearance, "A later note", f"on {name}")
        self._desk, self._charge, self._lot, self._name = desk, charge, lot, name
        self.remark(ADDS)
        self.add("text", "Note", NotesField(appearance))
        self.require("text")
        self.finish("Keep", self.keep)

    def keep(self) -> None:
        """Keep it."""
        reader = Reader(self)
        text = reader.text("text", needed=True)
        if reader.ok and text is not None:
            self.send(
                self._desk, add_later_note, self._charge, text, self._lot, saying=f"Note on {self._name}"
            )
