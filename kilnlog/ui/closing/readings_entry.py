"""The line in hand of a series of readings: proposed, typed, asked about, kept, corrected, taken back."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from kilnlog.drying.closing.figures import Limits, SeriesFigures
from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.final_readings import (
    CORRECTION,
    DRY,
    PIECE,
    READING,
    WET,
    WOOD,
    SeriesTerms,
    counted_up,
    doubts,
    meter_reading,
    next_line,
    oven_reading,
    terms_words,
)
from kilnlog.logbook.in_kiln import in_kiln
from kilnlog.logbook.series_terms import terms_in_force, terms_setting
from kilnlog.logbook.setting_from import set_from
from kilnlog.logbook.units import piece_unit_of
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.errors import AmbiguousNumber, KilnlogError
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.version import current_entries
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import TemperatureRule
from kilnlog.ui.closing.entry_table import EntryColumn, EntryTable
from kilnlog.ui.closing.line_keeper import Draft, LineKeeper, Within, is_within
from kilnlog.ui.closing.reading_form import ReadingForm
from kilnlog.ui.closing.reading_lines import METER_COLUMNS, OVEN_COLUMNS, draft_lines, meter_lines, oven_lines
from kilnlog.ui.closing.series_form import SeriesForm
from kilnlog.ui.look.form import decimal_mark
from kilnlog.ui.look.lines import Line
from kilnlog.ui.register.reason import ReasonDialog

if TYPE_CHECKING:
    from kilnlog.ui.closing.step_page import StepPage

ONCE_MORE = "Enter once more keeps it so."


class ReadingsEntry(QObject):
    """What both series that are typed share; where a line belongs it is kept or asked about."""

    columns: tuple[EntryColumn, ...]
    name: str
    oven: bool

    def __init__(self, page: StepPage) -> None:
        super().__init__(page)
        self.page, self.hand, self.desk = page, page.hand, page.desk
        self.keeper = LineKeeper()
        self.table = EntryTable(page.appearance, self.columns, self.name)
        self._asked: tuple[Hashable, Mapping[str, str]] | None = None
        self._shown: Hashable = None
        self.table.entered.connect(self.enter)
        self.table.edited.connect(self._edited)
        self.table.opened.connect(self._open)
        self.table.take_back.connect(self._take_back)
        self.table.escaped.connect(self._escape)

    @property
    def key(self) -> Hashable:
        """Where the line in hand belongs."""
        lot = self.page.lot
        return str(self.desk.path), self.hand.record.entity, lot.entity if lot is not None else ""

    def follow(self, series: SeriesFigures | None, limits: Limits) -> None:
        """Show the kept lines and, under them, the line in hand of this lot."""
        lot, key = self.page.lot, self.key
        if lot is None:
            self.table.set_writable(False)
            return
        self.keeper.place(key, f"{self.name.lower()} of lot {lot.fact.lot}")
        self.keeper.propose(key, self.proposed(lot.entity))
        if key != self._shown or self.table.texts != self.keeper.texts(key):
            self._shown, self._asked = key, None
            self.table.set_texts(self.keeper.texts(key))
        kept = self.lines(series, limits)
        self.table.set_lines([*kept, *draft_lines(self.keeper.drafts(key), self.columns)])
        self.table.set_writable(self.hand.can_write)

    def proposed(self, lot: str) -> dict[str, str]:
        """The next line, every field of it."""
        line = next_line(self.hand.record, lot, oven=self.oven)
        return {key: line.get(key, "") for key in self.table.fields}

    def lines(self, series: SeriesFigures | None, limits: Limits) -> list[Line]:
        """The kept lines."""
        raise NotImplementedError

    def fact(self, lot: str, texts: Mapping[str, str]) -> FinalReading:
        """What the line in hand says; raises where it says nothing."""
        raise NotImplementedError

    def saying(self, fact: FinalReading) -> str:
        """What the foot says once it is kept."""
        raise NotImplementedError

    def after(self, texts: Mapping[str, str]) -> dict[str, str]:
        """What is proposed behind a line: as before it, the piece counted up, the figures empty."""
        emptied = {READING, CORRECTION, WET, DRY}
        line = {key: "" if key in emptied else text for key, text in texts.items()}
        return line | {PIECE: counted_up(texts.get(PIECE))}

    def told(self, error: KilnlogError) -> str:
        """Why a line is refused, and what to do."""
        return worded(error).text

    def enter(self) -> None:
        """Keep the line in hand, ask about it, or refuse it."""
        lot = self.page.lot
        if lot is None or not self.hand.can_write:
            return
        key, texts = self.key, self.table.texts
        try:
            fact = self.fact(lot.entity, texts)
        except KilnlogError as error:
            self.table.refuse(self.told(error), str(error.values.get("field", "")))
            return
        limit = self.desk.reference.limit
        odd = doubts(self.hand.record, fact, limit("meter_most_pct"), limit("cut_mc_high_pct"))
        if odd and self._asked != (key, texts):
            self._asked = (key, texts)
            self.table.ask(" ".join((*odd, ONCE_MORE)))
            return
        self._asked = None
        self._send(key, texts, fact)

    def _send(self, key: Hashable, texts: Mapping[str, str], fact: FinalReading) -> None:
        self.keeper.type_in(key, texts)
        draft = self.keeper.send(key, self.after(texts))

        def kept(_: Changes) -> None:
            self.keeper.kept(key, draft)
            self._renew()

        def refused(error: KilnlogError) -> None:
            came_back = self.keeper.refuse(key, draft, worded(error).text)
            self._renew()
            if came_back and self._is_here(key):
                self.table.refuse(worded(error).text)

        self.table.set_texts(self.keeper.texts(key))
        self.page.write(write, fact, saying=self.saying(fact), done=kept, failed=refused)
        self._renew()
        self.table.take_keys()

    def _is_here(self, key: Hashable) -> bool:
        return self.hand.is_going and self.key == key

    def _renew(self) -> None:
        if self.hand.is_going and self.page.isVisible():
            self.page.renew()

    def _edited(self) -> None:
        if self.page.lot is not None:
            self.keeper.type_in(self.key, self.table.texts)

    def drop_typed(self) -> bool:
        """Give up what stands typed."""
        if self.page.lot is None or not self.keeper.drop_typed(self.key):
            return False
        self._asked = None
        self.table.set_texts(self.keeper.texts(self.key))
        self.table.take_keys()
        return True

    def forget(self, within: Within) -> None:
        """Give up what stands typed there: it was sealed without."""
        self.keeper.forget(within)
        if is_within(self._shown, within):
            self._asked = None
            self.table.set_texts(self.keeper.texts(self._shown))

    def _escape(self) -> None:
        if not self.drop_typed():
            self.page.left.emit()

    def _open(self, what: object) -> None:
        """A kept line is corrected; a refused one comes back to be typed anew."""
        if isinstance(what, Draft):
            if self.keeper.take_up(self.key, what):
                self.table.set_texts(self.keeper.texts(self.key))
                self._renew()
                self.table.refuse(what.refused)
            return
        entry = next(
            (one for one in current_entries(self.hand.record.final_reading) if one.entity == what), None
        )
        if entry is not None and self.hand.can_write:
            unit = piece_unit_of(self.hand.record)
            form = ReadingForm(self.page.window(), self.desk, self.page.appearance, entry, unit)
            form.accepted.connect(self.table.take_keys)  # the next reading is typed below
            form.open()

    def _take_back(self, what: object) -> None:
        if isinstance(what, Draft):
            self.keeper.drop(self.key, what)
            self._renew()
            return
        if not self.hand.can_write or not isinstance(what, str):
            return

        def given(reason: str) -> None:
            self.page.write(take_back, "final_reading", what, reason, saying="Reading taken back")

        told = "This reading. It stays in the record, struck, and counts no more."
        ReasonDialog(self.page.window(), self.page.appearance, "Take back", told, given).open()


class MeterEntry(ReadingsEntry):
    """A meter's readings, with the terms of their series."""

    columns = METER_COLUMNS
    name = "Meter readings"
    oven = False

    def __init__(self, page: StepPage) -> None:
        self._terms: dict[Hashable, SeriesTerms] = {}
        super().__init__(page)

    @property
    def terms(self) -> SeriesTerms:
        """As just chosen for this lot, else as kept for it or carried from what was read last."""
        lot = self.page.lot
        chosen = self._terms.get(self.key)
        if chosen is not None or lot is None:
            return chosen or SeriesTerms()
        record = self.hand.record
        return terms_in_force(record, lot.entity, in_kiln(record, self.desk.now()).unit)

    def how(self) -> str:
        """The terms in words."""
        instruments = current_entries(self.hand.record.instrument)
        return terms_words(self.terms, {one.entity: one.fact.instrument for one in instruments})

    def ask_terms(self) -> None:
        """Ask for other terms."""
        key, lot = self.key, self.page.lot
        if lot is None or not self.hand.can_write:
            return

        def chosen(terms: SeriesTerms) -> None:
            self._terms[key] = terms  # the next reading does not wait for the file

            def kept(_: Changes) -> None:
                if self._terms.get(key) is terms:
                    del self._terms[key]
                self._renew()

            setting = terms_setting(lot.entity, terms)
            self.page.write(set_from, setting, self.desk.now(), saying="How it is read", done=kept)
            self._renew()
            self.table.take_keys()

        SeriesForm(self.page.window(), self.page.appearance, self.hand.record, self.terms, chosen).open()

    def lines(self, series: SeriesFigures | None, limits: Limits) -> list[Line]:
        """Of the kind of meter in hand alone."""
        is_typed = self.terms.temperature_rule is TemperatureRule.TYPED
        self.table.show_field(CORRECTION, is_typed)
        self.table.set_keeps(*((WOOD, CORRECTION) if is_typed else (READING, WOOD)))
        self.table.set_heading(WOOD, f"Wood, °{self.terms.temperature_unit.value}")
        return meter_lines(series.readings if series is not None else (), limits)

    def fact(self, lot: str, texts: Mapping[str, str]) -> FinalReading:
        """By the terms in hand."""
        return meter_reading(self.hand.record.entity, lot, self.terms, texts, decimal_mark())

    def saying(self, fact: FinalReading) -> str:
        """Piece and figure."""
        return f"{_piece(fact)}, {figures.trimmed(fact.reading_pct)} % read"


class OvenEntry(ReadingsEntry):
    """Pieces weighed wet and oven-dry."""

    columns = OVEN_COLUMNS
    name = "Oven-dried pieces"
    oven = True

    def __init__(self, page: StepPage) -> None:
        self._sent: dict[Hashable, WeightUnit] = {}
        super().__init__(page)
        self.table.set_keeps(DRY)

    def lines(self, series: SeriesFigures | None, limits: Limits) -> list[Line]:
        """Weights as typed; the headings name the unit of a bare figure."""
        for key, heading in ((WET, "Wet"), (DRY, "Oven-dry")):
            self.table.set_heading(key, f"{heading}, {self.unit.value}")
        return oven_lines(series.readings if series is not None else (), limits)

    def fact(self, lot: str, texts: Mapping[str, str]) -> FinalReading:
        """In the unit of the pieces before, unless another is typed."""
        return oven_reading(self.hand.record.entity, lot, texts, self.unit, decimal_mark())

    @property
    def unit(self) -> WeightUnit:
        """Of a figure typed without one: as of the line before, though it is still being kept."""
        is_on_way = any(not draft.refused for draft in self.keeper.drafts(self.key))
        sent = self._sent.get(self.key) if is_on_way else None
        return sent or piece_unit_of(self.hand.record)

    def _send(self, key: Hashable, texts: Mapping[str, str], fact: FinalReading) -> None:
        if fact.oven_dry_weight is not None:
            self._sent[key] = fact.oven_dry_weight.unit
        super()._send(key, texts, fact)

    def told(self, error: KilnlogError) -> str:
        """A piece is mostly weighed in grams, where the boards are in pounds and ounces."""
        said = super().told(error)
        typed = error.values.get("typed")
        if isinstance(error, AmbiguousNumber) and self.unit is WeightUnit.LB_OZ:
            return f"{said} In grams it is “{typed} g”."
        return said

    def saying(self, fact: FinalReading) -> str:
        """Piece and weights."""
        wet, dry = fact.wet_weight, fact.oven_dry_weight
        weights = " to ".join(figures.as_typed(one) for one in (wet, dry) if one is not None)
        return f"{_piece(fact)}, {weights}"


def _piece(fact: FinalReading) -> str:
    return f"Piece {fact.piece}" if fact.piece else "Piece"
