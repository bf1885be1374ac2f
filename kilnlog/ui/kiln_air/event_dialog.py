"""Something that happened at the kiln: what lasts begins and ends, water comes in an amount."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.event_words import BEGAN_ENDED, event_words
from kilnlog.logbook.kiln_doubts import phase_doubt, water_doubt
from kilnlog.logbook.time_doubts import time_doubt
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import correct, write
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import EventKind, EventState
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.cautions import HOT_KILN, LIVE_WIRES
from kilnlog.ui.kiln_air.terms_form import TIME_HINT
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain

#: Water is weighed, or measured in what it was caught in.
WATER_UNITS = ("kg", "L", "lb", "gal")
#: Where somebody works at what carries current.
_ELECTRIC = (EventKind.FAN, EventKind.HEAT, EventKind.SENSOR_CHECKED, EventKind.POWER_CUT)


class EventDialog(Form):
    """A new event (``entry`` None), or one that was written down wrong."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[Event] | None = None,
    ) -> None:
        title = "What happened at the kiln" if entry is None else "Correct an event"
        super().__init__(parent, appearance, title, record.particulars.charge, width=540)
        self._desk, self._record, self._entry = desk, record, entry
        self._asked: tuple[Event, Moment] | None = None
        self._kind = ChoiceField(appearance, [(kind.value, kind.value) for kind in EventKind])
        self._state = ChoiceField(appearance, ())
        units = list(WATER_UNITS)
        if entry is not None and entry.fact.unit and entry.fact.unit not in units:
            units.append(entry.fact.unit)
        self.pair(("kind", "What", self._kind), ("state", "Began or ended", self._state))
        self.pair(
            ("value", "How much", TextField(appearance)),
            ("unit", "in", ChoiceField(appearance, [(unit, unit) for unit in units])),
        )
        self.add("at", "When", TextField(appearance), TIME_HINT)
        self.add("note", "Remark", TextField(appearance))
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
            self.require("reason")
        self._caution = self.remark("")
        self.require("at", "value", "note")
        self.finish("Keep", self.keep)
        self._kind.currentIndexChanged.connect(lambda _: self._follow_kind())
        self._fill()
        self._kind.setFocus()

    @property
    def kind(self) -> EventKind:
        """What happened."""
        return EventKind(self._kind.value)

    @property
    def caution(self) -> str:
        """What is said of what can hurt."""
        return self._caution.text()

    def _fill(self) -> None:
        if self._entry is None:
            self.set_text("at", self._desk.now().text()[:16])
            self._follow_kind()
            return
        fact = self._entry.fact
        self.set_text("at", self._entry.at.text())
        self.set_choice("kind", fact.kind)
        self._follow_kind()
        self._state.set_value(fact.state or "")
        self.set_text("value", plain(fact.value))
        self.set_choice("unit", fact.unit or WATER_UNITS[0])
        self.set_text("note", fact.note or "")

    def _follow_kind(self) -> None:
        """Only what the kind takes is asked for."""
        kind = self.kind
        lasts, water = kind in BEGAN_ENDED, kind is EventKind.WATER_COLLECTED
        if lasts:
            began, ended = BEGAN_ENDED[kind]
            choices = [(EventState.START.value, began), (EventState.END.value, ended)]
            if self._entry is not None and self._entry.fact.state is None:  # as a file may have brought it
                choices.append(("", "not written down"))
            self._state.set_choices(choices)
            self._state.set_value(EventState.END if self._is_on(kind) else EventState.START)
        self.rows["state"].setVisible(lasts)
        for column in ("value", "unit"):
            self.rows[column].setVisible(water)
        self.rows["note"].require(kind is EventKind.NOTE)
        self._caution.setText(f"{HOT_KILN} {LIVE_WIRES}" if kind in _ELECTRIC else HOT_KILN)
        self._fit()

    def _is_on(self, kind: EventKind) -> bool:
        """Whether the last one of its kind began and has not ended: then its end comes next."""
        own = [entry for entry in current_entries(self._record.event) if entry.fact.kind is kind]
        last = max(own, key=lambda entry: entry.at, default=None)
        return last is not None and last.fact.state is EventState.START

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        kind = self.kind
        water = kind is EventKind.WATER_COLLECTED
        at = reader.moment("at", self._record.particulars.zone, needed=True)
        value = reader.number("value", low=0, high=1e6, needed=True) if water else None
        note = reader.text("note", needed=kind is EventKind.NOTE)
        state = reader.choice("state") if kind in BEGAN_ENDED else ""
        reason = reader.text("reason", needed=True) if self._entry is not None else None
        if not reader.ok or at is None:
            return
        fact = Event(
            charge=self._record.entity,
            kind=kind,
            state=EventState(state) if state else None,
            value=value,
            unit=reader.choice("unit") if water else None,
            note=note,
        )
        if self._asks(fact, at):
            return
        words = event_words(fact)
        saying = f"{words[0].upper()}{words[1:]}"
        if self._entry is None:
            self.send(self._desk, write, fact, at, saying=saying)
        else:
            self.send(self._desk, correct, "event", self._entry.entity, fact, reason, at, saying=saying)

    def _asks(self, fact: Event, at: Moment) -> bool:
        """Whether it is odd and asked about; the same once more is the answer."""
        assessment = self._desk.assessment
        if assessment is None or self._asked == (fact, at):
            return False
        itself = None if self._entry is None else self._entry.entity
        others = tuple(line for line in self._record.event if line.entity != itself)
        before = replace(self._record, event=others)
        doubts = (
            time_doubt(self._record.particulars, at, self._desk.now()),
            water_doubt(before, assessment, fact),
            phase_doubt(before, assessment, fact, at, self._desk.reference),
        )
        told = [worded(doubt).text for doubt in doubts if doubt is not None]
        if told:
            self._asked = (fact, at)
            self.tell(" ".join(told))
        return bool(told)
