"""Cutting a sample board, with its first sections; and correcting what was written about one."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from kilnlog.drying.cut_doubts import CutPiece
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.cutting import next_board_label, section_unit
from kilnlog.logbook.session import new_uid
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.writing import Draft, correct, write_all
from kilnlog.records.board import Board
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import SectionsSwapped
from kilnlog.records.moment import Moment
from kilnlog.records.section import Section
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.words import Sawn, Wood
from kilnlog.ui.board_dialogs.doubted import AskedOnce
from kilnlog.ui.board_dialogs.weights import UNITS, WeightField, WeightReader, weight_in_form
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, NotesField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import plain

_NOT_SAID = ("", "not said")
_COATED = (_NOT_SAID, ("yes", "yes"), ("no", "no"))
_TIME_HINT = "YYYY-MM-DD HH:MM"
FIRST_SECTIONS = ("A", "B")


class BoardDialog(Form):
    """A new board (``entry`` None) or the particulars of one, corrected for a reason."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[Board] | None = None,
        *,
        replaces: str | None = None,
        kept: Callable[[str, str], None] | None = None,
        cut_at: str = "",
    ) -> None:
        """``cut_at``: when it was most likely cut, as typed for the board before it; empty: now.

        ``kept`` is told the board, and the time where another one than now was chosen.
        """
        title = f"Correct board {entry.fact.board}" if entry else "Cut a sample board"
        super().__init__(parent, appearance, title, record.particulars.charge, width=640)
        self._desk, self._record, self._entry, self._kept = desk, record, entry, kept
        self._now = desk.now().text()[:16]
        self._proposed_time = cut_at or self._now
        self._asked = AskedOnce(self, desk.reference)
        lots = [(line.entity, line.fact.lot) for line in current_entries(record.lot)]
        others = [
            (line.entity, line.fact.board)
            for line in current_entries(record.board)
            if entry is None or line.entity != entry.entity
        ]
        self.pair(
            ("board", "Board", TextField(appearance), "as chalked on it"),
            ("lot", "Lot", ChoiceField(appearance, [*lots, _NOT_SAID] if lots else [_NOT_SAID])),
            ("replaces", "In place of", ChoiceField(appearance, [("", "none"), *others])),
        )
        self.pair(
            ("start_weight", "Weight when cut", WeightField(appearance), "before its ends are coated"),
            ("weight_unit", "in", ChoiceField(appearance, UNITS), "unless typed with it"),
            (
                "coating_weight",
                "End coat's own weight",
                WeightField(appearance),
                "taken off every later weight",
            ),
        )
        self.pair(
            ("cut_at", "When", TextField(appearance), _TIME_HINT),
            (
                "minutes_to_weighing",
                "Minutes until it was weighed",
                TextField(appearance),
                "green wood dries on the bench",
            ),
            ("scale_division", "Step of the scale", WeightField(appearance), "empty: as typed"),
        )
        self.pair(
            ("position", "Place in the stack", TextField(appearance, "door, left, high")),
            ("cut_from", "Cut from", TextField(appearance, "10 ft board, 2 ft from the end")),
        )
        self.pair(
            ("wood", "Wood", ChoiceField(appearance, [_NOT_SAID, *((one, one) for one in Wood)])),
            ("sawn", "Sawn", ChoiceField(appearance, [_NOT_SAID, *((one, one) for one in Sawn)])),
            ("coated", "Ends coated", ChoiceField(appearance, _COATED)),
        )
        if entry is None:
            self._ask_sections(appearance)
        self.section("Where its sections were lost")
        self.pair(
            ("oven_dry_weight", "Oven-dry weight of the board", WeightField(appearance)),
            ("notes", "Notes", NotesField(appearance, 2)),
        )
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
            self.require("reason")
        self.require("board", "start_weight", "cut_at")
        self.finish("Keep" if entry else "Cut it", self.keep)
        self._fill(replaces)
        self.rows["board" if entry else "start_weight"].field.setFocus()

    def _ask_sections(self, appearance: Appearance) -> None:
        self.section("Moisture sections")
        self.remark(
            "Cut one from each end, clear of knots, bark and checks, and weigh it at once. Its oven-dry "
            "weight comes later, under Sections."
        )
        unit = section_unit(self._record)
        fields = []
        for label in FIRST_SECTIONS:
            fields.append((f"section_{label}", "Section", TextField(appearance)))
            fields.append((f"wet_{label}", f"Wet weight, {unit}", WeightField(appearance)))
        self.pair(*fields)
        for label in FIRST_SECTIONS:
            self.set_text(f"section_{label}", label)

    def _fill(self, replaces: str | None) -> None:
        record, entry = self._record, self._entry
        if entry is None:
            self.set_text("board", next_board_label(record))
            self.set_text("cut_at", self._proposed_time)
            self.set_choice("weight_unit", weight_unit_of(record))
            self.set_choice("replaces", replaces or "")
            replaced = next((one for one in record.board if one.entity == replaces), None)
            if replaced is not None:
                self.set_choice("lot", replaced.newest.fact.lot or "")
                self.set_text("position", replaced.newest.fact.position or "")
            return
        fact = entry.fact
        for column, text in (
            ("board", fact.board),
            ("cut_at", entry.at.text()),
            ("start_weight", fact.start_weight.text),
            ("coating_weight", weight_in_form(fact.coating_weight, fact.start_weight.unit)),
            ("scale_division", weight_in_form(fact.scale_division, fact.start_weight.unit)),
            ("oven_dry_weight", weight_in_form(fact.oven_dry_weight, fact.start_weight.unit)),
            ("minutes_to_weighing", plain(fact.minutes_to_weighing)),
            ("position", fact.position or ""),
            ("cut_from", fact.cut_from or ""),
            ("notes", fact.notes or ""),
        ):
            self.set_text(column, text)
        self.set_choice("weight_unit", fact.start_weight.unit)
        self.set_choice("lot", fact.lot or "")
        self.set_choice("replaces", fact.replaces or "")
        self.set_choice("wood", fact.wood or "")
        self.set_choice("sawn", fact.sawn or "")
        self.set_choice("coated", "" if fact.coated is None else "yes" if fact.coated else "no")

    def keep(self) -> None:
        """Read, write, close."""
        reader = WeightReader(self)
        zone = self._record.particulars.zone
        unit = WeightUnit(reader.choice("weight_unit"))
        label = reader.text("board", needed=True)
        start = reader.weight("start_weight", unit, needed=True)
        coating = reader.weight("coating_weight", unit)
        cut_at = reader.moment("cut_at", zone, needed=True)
        minutes = reader.number("minutes_to_weighing", high=10_000)
        division = reader.weight("scale_division", unit)
        oven_dry = reader.weight("oven_dry_weight", unit)
        if oven_dry is not None and start is not None and oven_dry.grams > start.grams:
            swapped = SectionsSwapped(piece=f"board {label}", wet=start.text, oven_dry=oven_dry.text)
            reader.refuse("oven_dry_weight", swapped)
        sections = self._read_sections(reader) if self._entry is None else []
        reason = reader.text("reason", needed=True) if self._entry is not None else None
        if not reader.ok or label is None or start is None or cut_at is None:
            reader.ask_which(self.keep)
            return
        wood, sawn, coated = reader.choice("wood"), reader.choice("sawn"), reader.choice("coated")
        fact = Board(
            charge=self._record.entity,
            board=label,
            start_weight=start,
            lot=reader.choice("lot") or None,
            coating_weight=coating,
            oven_dry_weight=oven_dry,
            cut_from=reader.text("cut_from"),
            wood=Wood(wood) if wood else None,
            sawn=Sawn(sawn) if sawn else None,
            coated={"yes": True, "no": False}.get(coated),
            minutes_to_weighing=minutes,
            position=reader.text("position"),
            replaces=reader.choice("replaces") or None,
            scale_division=division,
            notes=reader.text("notes"),
        )
        if self._is_doubted(fact, sections):
            return
        self._send(fact, cut_at, sections, reason)

    def _is_doubted(self, fact: Board, sections: list[tuple[str, Weight]]) -> bool:
        """Whether the weights were just told to be unlikely; sections cut before are held against it too."""
        if self._entry is not None:
            old = self._entry.fact
            if (fact.start_weight, fact.oven_dry_weight) == (old.start_weight, old.oven_dry_weight):
                return False
            sections = [
                (line.fact.section, line.fact.wet_weight)
                for line in current_entries(self._record.section)
                if line.fact.board == self._entry.entity and line.fact.rejected_because is None
            ]
        start = fact.start_weight
        slices = (CutPiece(f"section {named}", wet, board=start) for named, wet in sections)
        return self._asked.is_doubted([CutPiece(f"board {fact.board}", start, fact.oven_dry_weight), *slices])

    def _read_sections(self, reader: WeightReader) -> list[tuple[str, Weight]]:
        unit = section_unit(self._record)
        read = []
        for label in FIRST_SECTIONS:
            wet = reader.weight(f"wet_{label}", unit)
            named = reader.text(f"section_{label}", needed=wet is not None)
            if wet is not None and named is not None:
                read.append((named, wet))
        return read

    def _send(
        self, fact: Board, cut_at: Moment, sections: list[tuple[str, Weight]], reason: str | None
    ) -> None:
        if self._entry is not None:
            self.send(
                self._desk,
                correct,
                "board",
                self._entry.entity,
                fact,
                reason,
                cut_at,
                saying=f"Board {fact.board}",
                done=self._done,
            )
            return
        uid = new_uid()
        drafts: list[Draft] = [(fact, cut_at, uid)]
        drafts += [(Section(fact.charge, uid, named, wet), cut_at) for named, wet in sections]
        self.send(self._desk, write_all, drafts, saying=f"Board {fact.board} cut", done=self._done)

    def _done(self, changes: Changes) -> None:
        cut_at = changes.entries[0].at.text()[:16]
        self.accept()
        if self._kept is not None:
            self._kept(changes.entries[0].entity, cut_at if cut_at != self._now else "")
