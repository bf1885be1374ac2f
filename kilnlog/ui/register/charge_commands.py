"""What can be done to charges, kilns, schedules and instruments: dialogs opened, verbs run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.writing import change, take_back
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, current_entries
from kilnlog.ui.closing.commands import ClosingCommands
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.register.charge_dialog import ChargeDialog
from kilnlog.ui.register.copy_dialog import CopyDialog
from kilnlog.ui.register.instrument_dialog import InstrumentDialog, instrument_line
from kilnlog.ui.register.kiln_dialog import KilnDialog
from kilnlog.ui.register.lots_dialog import lots_dialog
from kilnlog.ui.register.moment_dialog import MomentDialog
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.register.reason import ReasonDialog
from kilnlog.ui.register.rule_dialog import RuleDialog
from kilnlog.ui.register.schedule_dialog import ScheduleDialog
from kilnlog.ui.register.step_dialog import StepDialog
from kilnlog.ui.register.unloading_dialog import UnloadingDialog
from kilnlog.ui.register.versions_dialog import VersionsDialog


class ChargeCommands:
    """The Charge menu and the register's buttons."""

    def __init__(
        self,
        view: QWidget,
        desk: Desk,
        appearance: Appearance,
        close_out: Callable[[str | None], None],
    ) -> None:
        """``close_out`` brings the close-out to the front: of a lot by its entity, or of the whole charge."""
        self._view, self._desk, self._appearance = view, desk, appearance
        self.closing = ClosingCommands(view, desk, appearance, close_out)

    def commands(self) -> tuple[Command, ...]:
        """The Charge menu, and the lists shared by all charges under Logbook."""
        charge, logbook = MenuName.CHARGE, MenuName.LOGBOOK
        opened, here, open_here = lambda: self._desk.is_open, self._is_here, self._takes_rows
        return (
            Command(charge, "&New charge…", self.new, "Ctrl+N", opened, writes=True),
            Command(charge, "Copy as ne&w…", self.copy, "Ctrl+Shift+N", here, writes=True),
            Command(
                charge,
                "&Correct or change…",
                self.correct,
                "Ctrl+K",
                open_here,
                writes=True,
                begins_group=True,
            ),
            Command(charge, "&Lots…", self.lots, "Ctrl+L", open_here, writes=True),
            Command(
                charge,
                "Kiln loa&ded…",
                self.loaded,
                possible=self._is_planned,
                writes=True,
                begins_group=True,
            ),
            Command(charge, "&Step taken…", self.step_taken, possible=self._has_schedule, writes=True),
            Command(charge, "Kiln &unloaded…", self.unloaded, possible=self._is_loaded, writes=True),
            *self.closing.commands(),
            Command(charge, "&Versions of charge and lots…", self.history, "Ctrl+H", here, begins_group=True),
            Command(charge, "Take the charge &back…", self.take_back, possible=open_here, writes=True),
            Command(logbook, "&Kilns…", self.kilns, possible=opened, writes=True, begins_group=True),
            Command(logbook, "S&chedules…", self.schedules, possible=opened, writes=True),
            Command(logbook, "Instru&ments…", self.instruments, possible=opened, writes=True),
            Command(logbook, "Wh&en a section is dry…", self.rule, possible=opened, writes=True),
        )

    def _is_here(self) -> bool:
        return self._desk.record is not None

    def _takes_rows(self) -> bool:
        return self._desk.can_write

    def _is_planned(self) -> bool:
        record = self._desk.record
        return record is not None and self._takes_rows() and record.particulars.loaded_at is None

    def _is_loaded(self) -> bool:
        record = self._desk.record
        return (
            record is not None
            and self._takes_rows()
            and record.particulars.loaded_at is not None
            and record.particulars.unloaded_at is None
        )

    def _has_schedule(self) -> bool:
        return (
            self._is_loaded()
            and self._desk.assessment is not None
            and self._desk.assessment.schedule is not None
        )

    @property
    def _window(self) -> QWidget:
        return self._view.window()

    def _charge(self) -> Entry[Charge] | None:
        return self._desk.record.charge[0].current if self._desk.record is not None else None

    def new(self) -> None:
        """A new charge; its lots are asked for next."""
        if self._desk.is_open and self._desk.read_only is None:
            ChargeDialog(self._window, self._desk, self._appearance, kept=self._made).open()

    def _made(self, entity: str) -> None:
        """Take a new charge in hand, and go on to its lots once it is there."""

        def arrived(_: object) -> None:
            if self._desk.record is not None and self._desk.record.entity == entity:
                self._desk.record_changed.disconnect(connection)
                self.lots()

        connection = self._desk.record_changed.connect(arrived)
        self._desk.take_in_hand(entity)
        self._desk.refresh_register()

    def copy(self) -> None:
        """A planned charge like the one in hand: kiln, schedule, target, lots; its number is asked for."""
        record = self._desk.record
        if record is None or self._desk.read_only is not None:
            return

        def done(changes: Changes) -> None:
            self._desk.take_in_hand(changes.entries[0].entity)
            self._desk.refresh_register()

        CopyDialog(self._window, self._desk, self._appearance, record, done).open()

    def correct(self) -> None:
        """Correct or change the charge in hand."""
        if (entry := self._charge()) is not None and self._takes_rows():
            ChargeDialog(self._window, self._desk, self._appearance, entry).open()

    def lots(self) -> None:
        """The lots of the charge in hand."""
        if self._desk.record is not None and self._takes_rows():
            lots_dialog(self._window, self._desk, self._appearance, self._desk.record).open()

    def loaded(self) -> None:
        """The kiln was loaded."""
        entry = self._charge()
        if entry is None or not self._is_planned():
            return

        def keep(form: Form, at: Moment, reason: str | None) -> None:
            fact = replace(entry.fact, loaded_at=at)
            saying = f"Charge {fact.charge} loaded"
            form.send(self._desk, change, "charge", entry.entity, fact, at, reason, saying=saying)

        now, number = self._desk.now, entry.fact.charge
        MomentDialog(self._window, self._appearance, "Kiln loaded", number, now, keep).open()

    def unloaded(self) -> None:
        """The kiln was unloaded."""
        self._desk.reassess()  # what is overdue by now counts too
        record, assessment = self._desk.record, self._desk.assessment
        if record is not None and assessment is not None and self._is_loaded():
            UnloadingDialog(self._window, self._desk, self._appearance, record, assessment).open()

    def step_taken(self) -> None:
        """The next step was set on the kiln."""
        record, assessment = self._desk.record, self._desk.assessment
        if record is None or assessment is None or assessment.schedule is None or not self._desk.can_write:
            return
        StepDialog(self._window, self._desk, self._appearance, record, assessment.schedule).open()

    def history(self) -> None:
        """Every version of the charge and its lots."""
        if self._desk.record is not None:
            VersionsDialog(self._window, self._appearance, self._desk.record, self._desk.now()).open()

    def take_back(self) -> None:
        """Take the charge back, which its boards prevent as long as they stand."""
        entry = self._charge()
        if entry is None or not self._takes_rows():
            return
        what = f"Charge {entry.fact.charge}. It stays in the record and in the register, marked."

        def given(reason: str) -> None:
            self._desk.do(
                take_back, "charge", entry.entity, reason, saying=f"Charge {entry.fact.charge} taken back"
            )

        ReasonDialog(self._window, self._appearance, "Take back", what, given).open()

    def kilns(self) -> None:
        """The kilns."""
        self._list(
            "Kilns",
            "whatever heats them",
            "kiln",
            lambda: [(entry, entry.fact.kiln) for entry in self._desk.shared.kilns()],
            lambda dialog, entry: KilnDialog(dialog, self._desk, self._appearance, entry),
            "New kiln…",
        )

    def instruments(self) -> None:
        """The instruments."""
        self._list(
            "Instruments",
            "what the figures rest on",
            "instrument",
            lambda: [(e, instrument_line(e.fact)) for e in current_entries(self._desk.shared.instrument)],
            lambda dialog, entry: InstrumentDialog(dialog, self._desk, self._appearance, entry),
            "New instrument…",
        )

    def schedules(self) -> None:
        """The schedules; each is kept and corrected as a whole."""
        self._list(
            "Schedules",
            "your own",
            "schedule_step",
            lambda: [(self._desk.shared.steps_of(name)[0], name) for name in self._desk.shared.schedules()],
            lambda dialog, entry: ScheduleDialog(
                dialog, self._desk, self._appearance, entry.fact.schedule if entry is not None else None
            ),
            "New schedule…",
            can_take_back=False,
        )

    def _list(
        self,
        title: str,
        said: str,
        table: str,
        lines: Any,
        edit: Any,
        new_text: str,
        *,
        can_take_back: bool = True,
    ) -> None:
        dialog = PickDialog(
            self._window,
            self._desk,
            self._appearance,
            title=title,
            said=said,
            lines=lines,
            edit=lambda entry: edit(dialog, entry).open(),
            table=table,
            new_text=new_text,
            can_take_back=can_take_back,
        )
        dialog.open()

    def rule(self) -> None:
        """The rule by which a section counts as dry."""
        RuleDialog(self._window, self._desk, self._appearance).open()
