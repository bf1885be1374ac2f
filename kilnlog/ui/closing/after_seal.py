"""After the seal: reopening with a reason, and dated notes that alter nothing under it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.closing import add_later_note, reopen
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry, current_entries
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, NotesField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader
from kilnlog.ui.register.lots_dialog import lot_line

REOPENS = (
    "It takes rows again until it is closed anew. The seal stays in the record as it was issued, and so can "
    "its papers be printed; a paper given out since then no longer tells what the record says."
)
OWNERS = "A note on one lot goes to its owner; one on a charge of several owners goes to none of them."
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
    """Asks for the remark, and which lot it is on where there are several."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, charge: str, lot: str | None, name: str
    ) -> None:
        super().__init__(parent, appearance, "A later note", f"on {name}")
        self._desk, self._charge, self._lot, self._name = desk, charge, lot, name
        self.remark(ADDS)
        lots = self._lots() if lot is None else []
        if len(lots) > 1:
            among = [("", "the whole charge"), *((one.entity, lot_line(one.fact)) for one in lots)]
            self.add("lot", "On", ChoiceField(appearance, among), OWNERS)
        self.add("text", "Note", NotesField(appearance))
        self.require("text")
        self.finish("Keep", self.keep)
        self.rows["text"].field.setFocus()

    def keep(self) -> None:
        """Keep it."""
        reader = Reader(self)
        text = reader.text("text", needed=True)
        lot = reader.choice("lot") or None if "lot" in self.rows else self._lot
        label = next((one.fact.lot for one in self._lots() if one.entity == lot), None)
        saying = f"Note on {self._name if lot == self._lot else f'lot {label}'}"
        if reader.ok and text is not None:
            self.send(self._desk, add_later_note, self._charge, text, lot, saying=saying)

    def _lots(self) -> list[Entry[Lot]]:
        record = self._desk.record
        is_here = record is not None and record.entity == self._charge
        return list(current_entries(record.lot)) if record is not None and is_here else []
