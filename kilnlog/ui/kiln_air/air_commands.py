"""The Air menu: what is read, set, done and checked at the kiln, and the lists of all that."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.air_lists import event_line, meter_line, reading_line, set_point_line
from kilnlog.logbook.in_kiln import in_kiln
from kilnlog.logbook.logger_files import files_remark
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import Entry, History, current_entries
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.air_entry import AirEntry
from kilnlog.ui.kiln_air.end_rule_dialog import EndRuleDialog
from kilnlog.ui.kiln_air.event_dialog import EventDialog
from kilnlog.ui.kiln_air.meter_dialog import MeterDialog
from kilnlog.ui.kiln_air.outside_dialog import OutsideDialog
from kilnlog.ui.kiln_air.reading_dialog import ReadingDialog
from kilnlog.ui.kiln_air.set_point_dialog import SetPointDialog
from kilnlog.ui.kiln_air.water_dialog import WaterDialog
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.register.pick import PickDialog
from kilnlog.ui.views import CURVE

Made = Callable[[QWidget, ChargeRecord, Entry[Any] | None], Form]
Line = Callable[[Entry[Any], ChargeRecord], str]


class AirCommands:
    """Opens the dialogs over the window that ``parent`` is in, and finds Air now there."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        self._parent, self._desk, self._appearance = parent, desk, appearance

    def commands(self) -> tuple[Command, ...]:
        """The Air menu."""
        air, here, opened = MenuName.AIR, self._is_here, self._can_set
        return (
            Command(air, "Air &now", self.air_now, "Ctrl+R", here, writes=True),
            Command(air, "Write down a &setting…", self.set_point, "Ctrl+T", here, writes=True),
            Command(air, "What &happened at the kiln…", self.event, "Ctrl+J", here, writes=True),
            Command(air, "A &meter's reading…", self.meter, "Ctrl+M", self._has_boards, writes=True),
            Command(air, "Water and &venting…", self.water, "Ctrl+Shift+W", self._has_figures),
            Command(air, "&Readings of the air…", self.readings, "", here, writes=True, begins_group=True),
            Command(air, "Set &points…", self.set_points, "", here, writes=True),
            Command(air, "&Events…", self.events, "", here, writes=True),
            Command(air, "Readings of me&ters…", self.meters, "", self._has_boards, writes=True),
            Command(
                air,
                "E&qualizing and conditioning…",
                self.end_rule,
                "",
                opened,
                writes=True,
                begins_group=True,
            ),
            Command(air, "&Outside air…", self.outside, "", opened, writes=True),
        )

    def air_now(self) -> None:
        """The keyboard goes into Air now, which lies beside the curve."""
        entry = self._window.findChild(AirEntry)
        if entry is None or not self._desk.can_write:
            return
        show = getattr(self._window, "show_view", None)
        if show is not None and not entry.isVisible():
            show(CURVE)
        entry.take_keys()

    def set_point(self) -> None:
        """What somebody set the kiln to: the program sets nothing."""
        self._open(self._set_point_form)

    def event(self) -> None:
        """Something happened."""
        self._open(self._event_form)

    def meter(self) -> None:
        """A meter was read."""
        self._open(self._meter_form)

    def water(self) -> None:
        """How much water leaves, and what must be vented for it."""
        record, assessment = self._desk.record, self._desk.assessment
        if record is not None and assessment is not None:
            WaterDialog(self._window, self._appearance, record, assessment).open()

    def readings(self) -> None:
        """The readings by hand."""

        def line(entry: Entry[Any], record: ChargeRecord) -> str:
            altitude_m = in_kiln(record, self._desk.now()).altitude_m
            return reading_line(entry.fact, entry.at, self._desk.now(), altitude_m)

        title, new_text = "Readings of the air", "Another reading…"
        remark = files_remark(self._desk.record) if self._desk.record is not None else ""
        self._list(title, "air_reading", line, self._reading_form, new_text, remark)

    def set_points(self) -> None:
        """What the kiln was set to."""

        def line(entry: Entry[Any], record: ChargeRecord) -> str:
            altitude_m = in_kiln(record, self._desk.now()).altitude_m
            return set_point_line(entry.fact, entry.at, self._desk.now(), altitude_m)

        self._list("Set points", "set_point", line, self._set_point_form, "Another setting…")

    def events(self) -> None:
        """What happened."""

        def line(entry: Entry[Any], _: ChargeRecord) -> str:
            return event_line(entry.fact, entry.at, self._desk.now())

        self._list("Events at the kiln", "event", line, self._event_form, "Another event…")

    def meters(self) -> None:
        """What meters showed."""

        def line(entry: Entry[Any], record: ChargeRecord) -> str:
            boards = {one.entity: one.fact.board for one in current_entries(record.board)}
            return meter_line(entry.fact, entry.at, self._desk.now(), boards.get(entry.fact.board, ""))

        self._list("Readings of meters", "meter_check", line, self._meter_form, "Another reading…")

    def end_rule(self) -> None:
        """The rule for equalizing."""
        if self._can_set():
            EndRuleDialog(self._window, self._desk, self._appearance, self._desk.record).open()

    def outside(self) -> None:
        """The air that vents draw in."""
        if self._can_set():
            OutsideDialog(self._window, self._desk, self._appearance, self._desk.record).open()

    @property
    def _window(self) -> QWidget:
        return self._parent.window()

    def _is_here(self) -> bool:
        return self._desk.can_write

    def _has_figures(self) -> bool:
        return self._desk.assessment is not None

    def _can_set(self) -> bool:
        return self._desk.is_open and self._desk.read_only is None

    def _has_boards(self) -> bool:
        record = self._desk.record
        return self._desk.can_write and record is not None and any(current_entries(record.board))

    def _reading_form(self, parent: QWidget, record: ChargeRecord, entry: Entry[Any] | None) -> Form:
        return ReadingDialog(parent, self._desk, self._appearance, record, entry)

    def _set_point_form(self, parent: QWidget, record: ChargeRecord, entry: Entry[Any] | None) -> Form:
        return SetPointDialog(parent, self._desk, self._appearance, record, entry)

    def _event_form(self, parent: QWidget, record: ChargeRecord, entry: Entry[Any] | None) -> Form:
        return EventDialog(parent, self._desk, self._appearance, record, entry)

    def _meter_form(self, parent: QWidget, record: ChargeRecord, entry: Entry[Any] | None) -> Form:
        return MeterDialog(parent, self._desk, self._appearance, record, entry)

    def _open(self, make: Made, parent: QWidget | None = None, entry: Entry[Any] | None = None) -> None:
        record = self._desk.record
        if record is not None and self._desk.can_write:
            make(parent or self._window, record, entry).open()

    def _list(self, title: str, table: str, line: Line, make: Made, new_text: str, remark: str = "") -> None:
        """All that counts, newest first, to be corrected or taken back."""
        if self._desk.record is None or not self._desk.can_write:
            return
        whose = self._desk.record.entity

        def lines() -> Sequence[tuple[Entry[Any], str]]:
            record = self._desk.record
            if record is None or record.entity != whose:
                return ()
            told: tuple[History[Any], ...] = getattr(record, table)
            newest = sorted(current_entries(told), key=lambda entry: entry.at, reverse=True)
            return [(entry, line(entry, record)) for entry in newest]

        dialog = PickDialog(
            self._window,
            self._desk,
            self._appearance,
            title=title,
            said=self._desk.record.particulars.charge,
            lines=lines,
            edit=lambda entry: self._open(make, dialog, entry),
            table=table,
            new_text=new_text,
            remark=remark,
        )
        dialog.open()
