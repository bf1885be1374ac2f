"""A charge: planned, corrected, or changed from a moment on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.drying.finding import Finding
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.planning import clashes_if_kept, next_number
from kilnlog.logbook.wording import worded_finding
from kilnlog.logbook.writing import change, correct, write
from kilnlog.records.charge import Charge
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment, zone_named
from kilnlog.records.version import Entry
from kilnlog.records.words import ControlRule
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, NotesField, OpeningField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain
from kilnlog.ui.register.kiln_dialog import KilnDialog
from kilnlog.ui.register.schedule_dialog import ScheduleDialog

_ANOTHER = "+"  # no entity and no schedule is called that: the dialog for a new one opens
TIME_HINT = "YYYY-MM-DD HH:MM"


class ChargeDialog(Form):
    """``kept`` is called with the entity once the file holds the charge."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        entry: Entry[Charge] | None = None,
        kept: Callable[[str], None] | None = None,
    ) -> None:
        title = f"Charge {entry.fact.charge}" if entry else "New charge"
        super().__init__(parent, appearance, title, "" if entry else "lots and sample boards come next")
        self._desk, self._entry, self._kept = desk, entry, kept
        self._warned: tuple[str, ...] = ()
        self._kiln = OpeningField(appearance, self._kilns(), _ANOTHER)
        self._schedule = OpeningField(appearance, self._schedules(), _ANOTHER)
        rules = [(rule.value, rule.value) for rule in ControlRule]
        self.pair(
            ("charge", "Number", TextField(appearance)),
            ("kiln", "Kiln", self._kiln),
        )
        self.pair(
            ("loaded_at", "Loaded", TextField(appearance, "empty while it is planned"), TIME_HINT),
            ("zone", "Time zone", TextField(appearance), "of all times of this charge"),
        )
        self.pair(
            ("target_mc_pct", "Target moisture content, %", TextField(appearance)),
            ("control_rule", "Control figure taken from", ChoiceField(appearance, rules)),
        )
        self.add("schedule", "Schedule", self._schedule)
        self.add("notes", "Notes", NotesField(appearance))
        if entry is not None:
            self.add(
                "unloaded_at", "Unloaded", TextField(appearance, "empty while it is in the kiln"), TIME_HINT
            )
            self._ask_since_when()
        self.require("charge", "zone")
        self.finish("Keep", self.keep)
        self._fill()
        self._kiln.opened.connect(self._new_kiln)
        self._schedule.opened.connect(self._new_schedule)

    def _ask_since_when(self) -> None:
        self.section("What this is")
        kinds = (
            ("correction", "a correction: it was wrong, this counts from the start"),
            ("change", "a change: true from the time below on, the old stays true before it"),
        )
        kind = ChoiceField(self.appearance, kinds)
        self.add("kind", "Correction or change", kind)
        self.add("since", "Changed at", TextField(self.appearance), TIME_HINT)
        self.rows["since"].hide()
        kind.currentIndexChanged.connect(lambda _: self.rows["since"].setVisible(kind.value == "change"))
        self.add("reason", "Why", TextField(self.appearance), "A correction needs it; a change may have one.")
        self.require("reason", "since")
        kind.currentIndexChanged.connect(lambda _: self.rows["reason"].require(kind.value == "correction"))

    def _fill(self) -> None:
        if self._entry is None:
            numbers = [line.number for line in self._desk.lines]
            self.set_text("charge", next_number(numbers, self._desk.now()))
            self.set_text("zone", self._desk.now().zone)
            kilns = self._desk.shared.kilns()
            if len(kilns) == 1:
                self._kiln.set_value(kilns[0].entity)
            return
        fact = self._entry.fact
        for column, text in (
            ("charge", fact.charge),
            ("loaded_at", fact.loaded_at.text() if fact.loaded_at else ""),
            ("zone", fact.zone),
            ("target_mc_pct", plain(fact.target_mc_pct)),
            ("notes", fact.notes or ""),
            ("unloaded_at", fact.unloaded_at.text() if fact.unloaded_at else ""),
            ("since", self._desk.now().text()[:16]),
        ):
            self.set_text(column, text)
        self._kiln.set_value(fact.kiln or "")
        self._schedule.set_value(fact.schedule or "")
        self.set_choice("control_rule", fact.control_rule)

    def _kilns(self) -> Sequence[tuple[str, str]]:
        kilns = [(entry.entity, entry.fact.kiln) for entry in self._desk.shared.kilns()]
        return [("", "not chosen yet"), *kilns, (_ANOTHER, "another kiln…")]

    def _schedules(self) -> Sequence[tuple[str, str]]:
        names = [(name, name) for name in self._desk.shared.schedules()]
        return [("", "none"), *names, (_ANOTHER, "write one…")]

    def _new_kiln(self) -> None:
        def made(entity: str, name: str) -> None:
            self._kiln.set_choices([*self._kilns()[:-1], (entity, name), self._kilns()[-1]])
            self._kiln.set_value(entity)

        KilnDialog(self, self._desk, self.appearance, kept=made).open()

    def _new_schedule(self) -> None:
        def made(name: str) -> None:
            self._schedule.set_choices([*self._schedules()[:-1], (name, name), self._schedules()[-1]])
            self._schedule.set_value(name)

        ScheduleDialog(self, self._desk, self.appearance, kept=made).open()

    def keep(self) -> None:
        """Read, ask whether the kiln is free, write."""
        if self.is_keeping:
            return
        fact = self._read()
        if fact is None:
            return
        entity = self._entry.entity if self._entry else None
        now = self._desk.now()
        # Who leaves before the answer has said to keep it: a clash then stands in the register as a finding.
        answered, refused = self.hold(
            self._desk, lambda found: self._asked(fact, found), lambda _: self._write(fact)
        )
        self._desk.operations.submit(lambda book: clashes_if_kept(book, fact, entity, now), answered, refused)

    def _asked(self, fact: Charge, found: tuple[Finding, ...]) -> None:
        """A kiln that holds another charge is told once; keeping once more insists."""
        told = tuple(worded_finding(finding).headline for finding in found)
        if told and told != self._warned:
            self._warned = told
            self.tell(f"{'; '.join(told)}. Keep it all the same?")
            if self.main is not None:
                self.main.setText("Keep all the same")
                self.main.updateGeometry()
            return
        self._write(fact)

    def _read(self) -> Charge | None:
        reader = Reader(self)
        number = reader.text("charge", needed=True)
        zone = reader.text("zone", needed=True) or "UTC"
        try:
            zone_named(zone)
        except KilnlogError as error:
            reader.refuse("zone", error)
            zone = self._desk.zone  # so that the other fields are read, and refused, in one go
        fact = Charge(
            charge=number or "",
            zone=zone,
            kiln=reader.choice("kiln") or None,
            loaded_at=reader.past_moment("loaded_at", zone, self._desk.now(), needed=False),
            target_mc_pct=reader.number("target_mc_pct", low=0, high=100),
            control_rule=ControlRule(reader.choice("control_rule")),
            schedule=reader.choice("schedule") or None,
            notes=reader.text("notes"),
        )
        if self._entry is not None:
            out_at = reader.past_moment("unloaded_at", zone, self._desk.now(), needed=False)
            fact = replace(fact, unloaded_at=out_at)
            changing = reader.choice("kind") == "change"
            self._reason = reader.text("reason", needed=not changing)
            self._since: Moment | None = reader.moment("since", zone, needed=True) if changing else None
        return fact if reader.ok else None

    def _write(self, fact: Charge) -> None:
        saying = f"Charge {fact.charge}"
        if self._entry is None:
            self.send(self._desk, write, fact, saying=saying, done=self._done)
        elif self._since is not None:
            self.send(
                self._desk,
                change,
                "charge",
                self._entry.entity,
                fact,
                self._since,
                self._reason,
                saying=saying,
                done=self._done,
            )
        else:
            self.send(
                self._desk,
                correct,
                "charge",
                self._entry.entity,
                fact,
                self._reason,
                saying=saying,
                done=self._done,
            )

    def _done(self, changes: Changes) -> None:
        self.accept()
        if self._kept is not None:
            self._kept(changes.entries[0].entity)
