"""Heat interval: what the probes showed of a threshold that is asked for; the operator's own record."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut

from kilnlog.logbook import probe_lines as typed
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.heat_seen import HeatSeen, asked_of, choice_of, heat_seen
from kilnlog.logbook.heat_words import (
    CAUTION,
    OWN_RECORD,
    asked_words,
    minutes_words,
    probe_line,
    probe_remarks,
    probe_words_of,
    published_words,
    rule_words,
    run_lines,
    verdict_words,
    widest_words,
)
from kilnlog.logbook.in_kiln import in_kiln
from kilnlog.logbook.writing import take_back
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import ProbePlace, TemperatureUnit
from kilnlog.ui.closing.entry_table import EntryColumn
from kilnlog.ui.closing.figure_row import Figure, FigureRow
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.heat_choice_form import HeatChoiceForm
from kilnlog.ui.closing.heat_plot import HeatPlot
from kilnlog.ui.closing.lines_entry import LinesEntry, offers
from kilnlog.ui.closing.lines_page import LinesPage
from kilnlog.ui.closing.said_list import Told, small, titled, worked_out
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.form import decimal_mark
from kilnlog.ui.look.lines import Cell, Line
from kilnlog.ui.register.reason import ReasonDialog

COLUMNS = (
    EntryColumn("Probe", 130, typed.PROBE, figures=False, carried=True),
    EntryColumn("Sat in", 90, typed.PLACE, figures=False, carried=True, name="Sat in the core or the air"),
    EntryColumn("Read at", 170, typed.AT, figures=False),
    EntryColumn("Temperature", 120, typed.TEMPERATURE, keeps=True),
    EntryColumn("", 24, fills=True),
)
READING = "The probes are being read…"
NO_PROBES = (
    "No probe was read in this charge. The file of one comes in by Air, Read a logger’s file, which asks "
    "where it sat; single readings are typed here. All of this may stay empty."
)
NOT_ASKED = "Nothing is asked of the probes yet: choose a threshold, from a publication or your own."
_IN_PAGE = Qt.ShortcutContext.WidgetWithChildrenShortcut


class ProbeEntry(LinesEntry[ProbeReading]):
    """Readings by hand, of the whole charge."""

    table_of = "probe_reading"
    noun = "reading"
    name = "Probes read by hand"
    columns = COLUMNS
    words: ClassVar = {typed.PLACE: offers(ProbePlace)}

    def place(self) -> tuple[Hashable, str]:
        """Of the charge: probes heat whatever is in the kiln."""
        number = self.hand.record.particulars.charge
        return (str(self.desk.path), self.hand.record.entity), f"probe readings of charge {number}"

    def entries(self) -> list[Entry[ProbeReading]]:
        """In the order written."""
        return list(current_entries(self.hand.record.probe_reading))

    def line(self, entry: Entry[ProbeReading]) -> Line:
        """As typed."""
        texts = typed.cells(entry.fact, entry.at, self.desk.now())
        return Line((*(Cell(text) for text in texts), Cell()), entry.entity)

    def read(self, texts: Mapping[str, str]) -> tuple[ProbeReading, Moment | None]:
        """The reading a line makes; a clock time alone is of the day of the line before."""
        record, kept = self.hand.record, self.entries()
        day = kept[-1].at if kept else self.desk.now()
        zone = record.particulars.zone
        return typed.probe_reading(record.entity, texts, decimal_mark(), zone, day, self.unit)

    @property
    def unit(self) -> TemperatureUnit:
        """Of a bare figure: of the line before, else the kiln's."""
        last = self.last
        return last.temperature_unit if last is not None else in_kiln(self.hand.record, self.desk.now()).unit

    def texts_of(self, entry: Entry[ProbeReading]) -> dict[str, str]:
        """As it would be typed."""
        return typed.texts_of(entry.fact, entry.at, decimal_mark())

    def proposed(self, last: ProbeReading | None) -> dict[str, str]:
        """The same probe, where it sat."""
        return typed.next_line(last)

    def saying(self, fact: ProbeReading, at: Moment | None) -> str:
        """Probe, temperature and time."""
        return typed.said(fact, at if at is not None else self.desk.now())

    def follow(self) -> None:
        """The unit of a bare figure stands in its field."""
        super().follow()
        self.table.fields[typed.TEMPERATURE].setPlaceholderText(f"°{self.unit.value}")


class HeatPage(LinesPage):
    """Optional. Probes are read and asked on the worker; until then what was shown stays, and says so."""

    step: ClassVar[Step] = Step.HEAT
    by_lot: ClassVar[bool] = False

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self.seen: HeatSeen | None = None
        self._seen_of: Hashable = None
        self._wanted: Hashable = None
        self._by_hand = False
        self.figures = FigureRow(appearance, 4, self._working)
        self.plot = HeatPlot(appearance)
        self.entry: ProbeEntry = ProbeEntry(self)
        self.ask = QuietButton("Ask…", appearance, "F7")
        self.ask_nothing = QuietButton("Ask nothing…", appearance)
        self.by_hand = QuietButton("By hand…", appearance, "F8")
        self.ask.clicked.connect(self._ask)
        self.ask_nothing.clicked.connect(self._ask_nothing)
        self.by_hand.clicked.connect(self.turn)
        for key, act in (("F7", self._ask), ("F8", self.turn)):
            QShortcut(QKeySequence(key), self, act).setContext(_IN_PAGE)
        for button in (self.ask_nothing, self.by_hand):
            button.hide()  # until there is something: the widest row would hold the window wide
        self.lay_out(self.figures, self.plot)
        self.finish(self.ask, self.ask_nothing, self.by_hand)

    @property
    def _key(self) -> Hashable:
        """What the answer of the probes hangs on."""
        record = self.hand.record
        choice = choice_of(record)
        return (
            str(self.desk.path),
            record.entity,
            self._until,
            choice.version.uid if choice is not None else None,
            tuple(entry.version.uid for entry in current_entries(record.probe_reading)),
            tuple(
                entry.version.uid
                for entry in current_entries(record.logger_batch)
                if entry.fact.placed_in is not None
            ),
        )

    @property
    def _until(self) -> Moment | None:
        """When the lot that is closed by itself left, if it did."""
        lot = self.hand.lot
        return lot.fact.out_at if self.hand.scope is not None and lot is not None else None

    def renew(self) -> None:
        """What is asked and what they showed."""
        self.entry.follow()
        key = self._key
        if key not in (self._seen_of, self._wanted):
            self._read(key)
        self._show()

    def _read(self, key: Hashable) -> None:
        """On the worker: a month of readings is a million rows."""
        self._wanted = key
        record, choice = self.hand.record, choice_of(self.hand.record)
        asked = asked_of(choice.fact) if choice is not None else None
        unit, until = in_kiln(record, self.desk.now()).unit, self._until

        def read(seen: HeatSeen) -> None:
            if key != self._wanted:
                return  # something else was asked meanwhile
            self.seen, self._seen_of, self._wanted = seen, key, None
            if self.hand.is_going and self.isVisible():
                self._show()
                self.keys_changed.emit()

        def failed(error: KilnlogError) -> None:
            if key == self._wanted:
                self._wanted = None
            self.desk.refused.emit(error)

        self.desk.run(lambda book: heat_seen(book, record, asked, unit, until), read, failed)

    @property
    def _is_read(self) -> bool:
        return self.seen is not None and self._seen_of == self._key

    def _show(self) -> None:
        seen = self.seen if self._is_read else None
        choice = choice_of(self.hand.record)
        writable = self.hand.can_write
        self.at_right.setText(f"asked: {asked_words(asked_of(choice.fact))}" if choice is not None else "")
        self.figures.show_figures(list(self._figures(seen)))
        self.figures.setVisible(choice is not None)
        self.plot.show_seen(seen, self.hand.record.particulars.zone)
        self.plot.setVisible(not self._by_hand)
        self.entry.table.setVisible(self._by_hand or (seen is not None and not seen.traces))
        self.said.show_said(list(self._told(seen)))
        self.ask.setVisible(writable)
        self.ask_nothing.setVisible(writable and choice is not None)
        self.by_hand.setVisible(seen is not None and bool(seen.traces))
        self.by_hand.setText("What they showed" if self._by_hand else "By hand…")
        self.by_hand.updateGeometry()

    def _figures(self, seen: HeatSeen | None) -> Iterable[Figure]:
        interval = seen.interval if seen is not None else None
        longest = interval.longest if interval is not None else None
        told = minutes_words(longest.minutes) if longest is not None else ""
        figure, _, unit = told.partition(" ")
        air_only = interval is not None and interval.air_only
        yield f"longest unbroken{', of the air' if air_only else ''}", figure or None, unit
        counted = [probe for probe in interval.probes if probe.counted] if interval is not None else []
        yield "in the air" if air_only else "probes in the wood", str(len(counted)) if counted else None, ""
        every = minutes_words(interval.sampling_minutes) if interval and interval.sampling_minutes else ""
        figure, _, unit = every.partition(" ")
        yield "read every", figure or None, unit
        breaks = sum(len(probe.dips) + len(probe.holes) for probe in counted)
        yield "dips and holes", str(breaks) if counted else None, ""

    def _told(self, seen: HeatSeen | None) -> Iterable[Told]:
        if seen is None:
            yield Told(READING)
        elif not seen.traces:
            yield Told(NO_PROBES)
        elif seen.asked is None or seen.interval is None:
            yield Told(NOT_ASKED)
            for trace in seen.traces:
                yield Told(probe_words_of(trace.name, trace.placed_in))
        else:
            yield from self._answer(seen)
        if seen is not None and seen.asked is not None:
            for row in seen.asked.published:
                yield small(published_words(row))
        yield small(OWN_RECORD)
        yield small(CAUTION)

    def _answer(self, seen: HeatSeen) -> Iterable[Told]:
        interval, zone = seen.interval, self.hand.record.particulars.zone
        if interval is None or seen.asked is None:
            return
        yield worked_out(verdict_words(interval, zone))
        for sentence in (*probe_remarks(interval, zone), *widest_words(interval)):
            yield Told(sentence)
        for probe in interval.probes:
            yield Told(probe_line(probe, seen.unit, zone))
        title, *runs = run_lines(interval, zone) or [""]
        if title:
            yield titled(title.rstrip(":"))
            for run in runs:
                yield worked_out(run.strip())
        yield small(rule_words())

    def turn(self) -> None:
        """From what they showed to the readings by hand, and back."""
        self._by_hand = not self._by_hand
        self._show()
        self.take_keys()

    def _ask(self) -> None:
        record = self.hand.record
        if not self.hand.can_write:
            return
        unit = in_kiln(record, self.desk.now()).unit
        HeatChoiceForm(
            self.window(), self.desk, self.appearance, record.entity, choice_of(record), unit
        ).open()

    def _ask_nothing(self) -> None:
        choice = choice_of(self.hand.record)
        if choice is None or not self.hand.can_write:
            return
        entity = choice.entity

        def given(reason: str) -> None:
            self.write(take_back, "heat_choice", entity, reason, saying="Nothing is asked of the probes")

        told = "The record then says nothing of heat. What the probes showed stays kept."
        ReasonDialog(
            self.window(),
            self.appearance,
            "Ask nothing of the probes",
            told,
            given,
            "Ask nothing",
            "not asked for",
        ).open()

    def take_keys(self) -> None:
        """To the line in hand where it shows, else to what is asked."""
        if not self.hand.can_write:
            self.next.setFocus()
        elif not self.entry.table.isHidden():
            self.entry.table.take_keys()
        elif choice_of(self.hand.record) is None:
            self.ask.setFocus()
        else:
            self.next.setFocus()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """What is asked, and the readings by hand."""
        if not self.hand.can_write:
            return (("Page ↑ ↓", "roll"),)
        typing = (("Enter", "next field"),) if not self.entry.table.isHidden() else ()
        return (*typing, ("F7", "ask"), ("F8", "read by hand"), ("Ctrl Z", "take back"))

    def drop_typed(self) -> bool:
        """What stands typed in the line in hand."""
        return not self.entry.table.isHidden() and super().drop_typed()

    def _working(self) -> Iterable[str]:
        seen = self.seen if self._is_read else None
        if seen is None or seen.interval is None:
            return [NOT_ASKED]
        zone = self.hand.record.particulars.zone
        lines = [probe_line(probe, seen.unit, zone) for probe in seen.interval.probes]
        return [rule_words(), *lines, verdict_words(seen.interval, zone)]
