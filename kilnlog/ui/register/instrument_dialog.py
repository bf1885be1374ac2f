"""Instruments the figures rest on: scales, ovens, meters, hygrometers."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.writing import change, correct, write
from kilnlog.records.instrument import Instrument
from kilnlog.records.version import Entry
from kilnlog.records.words import InstrumentKind
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain


class InstrumentDialog(Form):
    """One instrument. A new check is a change from its own time on; anything else is a correction."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, entry: Entry[Instrument] | None = None
    ) -> None:
        super().__init__(parent, appearance, entry.fact.instrument if entry else "New instrument")
        self._desk, self._entry = desk, entry
        kinds = [(kind.value, kind.value) for kind in InstrumentKind]
        self.pair(
            ("instrument", "Name", TextField(appearance)),
            ("kind", "Kind", ChoiceField(appearance, kinds)),
        )
        self.pair(
            ("division", "Smallest step it shows", TextField(appearance)),
            ("unit", "in", TextField(appearance), "g, lb, °C, %"),
        )
        self.pair(
            ("checked_at", "Last checked", TextField(appearance), "YYYY-MM-DD HH:MM"),
            ("check_result", "What the check showed", TextField(appearance)),
        )
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance), "A new check needs no reason.")
            self.require("reason")
            fact = entry.fact
            for column, text in (
                ("instrument", fact.instrument),
                ("division", plain(fact.division)),
                ("unit", fact.unit or ""),
                ("checked_at", fact.checked_at.text() if fact.checked_at else ""),
                ("check_result", fact.check_result or ""),
            ):
                self.set_text(column, text)
            self.set_choice("kind", fact.kind)
        self.require("instrument")
        self.finish("Keep", self.keep)

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        fact = Instrument(
            instrument=reader.text("instrument", needed=True) or "",
            kind=InstrumentKind(reader.choice("kind")),
            division=reader.number("division", low=0, high=1e6),
            unit=reader.text("unit"),
            checked_at=reader.moment("checked_at", self._desk.zone),
            check_result=reader.text("check_result"),
        )
        saying = f"Instrument {fact.instrument}"
        if self._entry is None:
            if reader.ok:
                self.send(self._desk, write, fact, saying=saying)
            return
        checked = fact.checked_at if fact.checked_at != self._entry.fact.checked_at else None
        reason = reader.text("reason", needed=checked is None)
        if not reader.ok:
            return
        entity = self._entry.entity
        if checked is not None:
            self.send(self._desk, change, "instrument", entity, fact, checked, reason, saying=saying)
        else:
            self.send(self._desk, correct, "instrument", entity, fact, reason or "", saying=saying)


def instrument_line(fact: Instrument) -> str:
    """One instrument as the list shows it."""
    parts = [fact.kind.value]
    if fact.division is not None:
        parts.append(f"steps of {plain(fact.division)} {fact.unit or ''}".strip())
    parts.append(f"checked {fact.checked_at.text()[:10]}" if fact.checked_at else "never checked")
    return f"{fact.instrument}: {', '.join(parts)}"
