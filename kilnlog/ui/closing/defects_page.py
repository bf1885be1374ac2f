"""Defects: what drying left to be seen, by kind and severity, with why it comes and what to do next time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import ClassVar

from kilnlog.drying.closing.defects import DefectFigures, LotSize, defects_of
from kilnlog.logbook import defect_lines as typed
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.lot_tally import lot_tally
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.defect import Defect
from kilnlog.records.moment import Moment
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import AnswerKind, CloseOutStep, DefectKind, Severity, VolumeUnit
from kilnlog.ui.closing.entry_table import EntryColumn
from kilnlog.ui.closing.figure_row import Figure, FigureRow
from kilnlog.ui.closing.finding_cautions import COUNTING
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.lines_entry import LinesEntry, offers
from kilnlog.ui.closing.lines_page import LinesPage
from kilnlog.ui.closing.said_list import Told, small, titled
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.form import decimal_mark
from kilnlog.ui.look.lines import Cell, Line

COLUMNS = (
    EntryColumn("Defect", 150, typed.KIND, figures=False),
    EntryColumn("How bad", 108, typed.SEVERITY, figures=False),
    EntryColumn("Pieces", 76, typed.PIECES),
    EntryColumn("Volume", 108, typed.VOLUME, name="Volume of those pieces"),
    EntryColumn("", 10),  # between the two fields
    EntryColumn("Note", 200, typed.NOTE, figures=False, keeps=True, fills=True),
)
STARTS = (
    "Look through every pack, write what you see and how many pieces show it; or say that there is none. "
    "Nothing is invented to fill the heading."
)
NONE = "Looked for, and none found."
TAKEN_UP = "looked at after all"


class DefectEntry(LinesEntry[Defect]):
    """Defects of the lot in front."""

    table_of = "defect"
    noun = "defect"
    name = "Defects"
    columns = COLUMNS
    words: ClassVar = {typed.KIND: offers(DefectKind), typed.SEVERITY: offers(Severity)}

    def entries(self) -> list[Entry[Defect]]:
        """Of the lot in front."""
        lot = self.page.lot
        lines = current_entries(self.hand.record.defect)
        return [one for one in lines if lot is not None and one.fact.lot == lot.entity]

    def line(self, entry: Entry[Defect]) -> Line:
        """As typed."""
        *texts, note = typed.cells(entry.fact)
        return Line((*(Cell(text) for text in texts), Cell(), Cell(note)), entry.entity)

    def read(self, texts: Mapping[str, str]) -> tuple[Defect, Moment | None]:
        """The defect a line makes."""
        lot = self.page.lot
        unit = self._unit
        of_lot = lot.entity if lot is not None else ""
        return typed.defect(self.hand.record.entity, of_lot, texts, decimal_mark(), unit), None

    @property
    def _unit(self) -> VolumeUnit:
        lot = self.page.lot
        return (lot.fact.volume_unit if lot is not None else None) or VolumeUnit.BOARD_FEET

    @property
    def size(self) -> LotSize:
        """What the defects are a share of."""
        lot = self.page.lot
        if lot is None:
            return LotSize(None, None, self._unit)
        return typed.lot_size(lot.fact, lot_tally(self.hand.record, lot))

    def texts_of(self, entry: Entry[Defect]) -> dict[str, str]:
        """As it would be typed."""
        return typed.texts_of(entry.fact, decimal_mark())

    def proposed(self, last: Defect | None) -> dict[str, str]:
        """Another defect: nothing of the line before."""
        return {column.key: "" for column in COLUMNS if column.key}

    def saying(self, fact: Defect, at: Moment | None) -> str:
        """Kind, severity and how many."""
        return typed.said(fact)

    def doubts(self, fact: Defect) -> tuple[str, ...]:
        """More than the lot has."""
        return typed.doubts(fact, self.size)


class DefectsPage(LinesPage):
    """“None found” is an answer of its own; a line written afterwards goes before it."""

    step: ClassVar[Step] = Step.DEFECTS

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self._found: DefectFigures | None = None
        self.figures = FigureRow(appearance, 3, self._working)
        self.entry: DefectEntry = DefectEntry(self)
        self.none_found = QuietButton("None found", appearance)
        self.after_all = QuietButton("Look at it after all", appearance)
        self.none_found.clicked.connect(self._none_found)
        self.after_all.clicked.connect(self._after_all)
        self.after_all.hide()
        self.lay_out(self.figures)
        self.finish(self.none_found, self.after_all)

    def renew(self) -> None:
        """The shares, the lines, causes."""
        facts = [entry.fact for entry in self.entry.entries()]
        self._found = defects_of(facts, self.entry.size)
        self.figures.show_figures(list(self._figures(self._found)))
        self.entry.follow()
        self.said.show_said(list(self._told(self._found)))
        answer = self._answer()
        writable = self.hand.can_write and self.lot is not None
        self.none_found.setVisible(writable and not facts and answer is None)
        self.after_all.setVisible(writable and not facts and answer is not None)

    def _figures(self, found: DefectFigures) -> Iterable[Figure]:
        kinds = len({group.kind for group in found.groups})
        volume, share = typed.total_words(found)
        figure, _, unit = (volume or "").partition(" ")
        yield "kinds noted", str(kinds) if kinds else None, ""
        yield "degraded volume", figure or None, unit
        yield "share of the lot", share, "%"

    def _told(self, found: DefectFigures) -> Iterable[Told]:
        answer = self._answer()
        if not found.groups:
            note = answer.fact.note if answer is not None else None
            left_out = f"Left out: {note}" if note else NONE
            starts = STARTS if self.hand.can_write else "Nobody wrote what was seen."
            yield Told(starts) if answer is None else Told(left_out, colour="ink")
        for group in found.groups:
            yield titled(typed.group_title(group))
            for sentence in typed.lore_sentences(group):
                yield Told(sentence)
        if found.groups and found.volume is None:
            yield small(typed.NOT_TOLD)
        yield small(COUNTING)

    def _answer(self) -> Entry[StepAnswer] | None:
        """What was said of the lot in front, where nothing is written of it."""
        if self.lot is None:
            return None
        lot = self.lot.entity
        found = [
            entry
            for entry in current_entries(self.hand.record.step_answer)
            if entry.fact.step is CloseOutStep.DEFECTS and entry.fact.lot in (lot, None)
        ]
        return found[-1] if found else None

    def _none_found(self) -> None:
        if self.lot is None or not self.hand.can_write:
            return
        fact = StepAnswer(
            self.hand.record.entity, CloseOutStep.DEFECTS, AnswerKind.NONE_FOUND, self.lot.entity
        )
        self.write(write, fact, saying="Defects: none found", done=lambda _: self._after_answer())

    def _after_all(self) -> None:
        answer = self._answer()
        if answer is not None and self.hand.can_write:
            saying = f"Defects: {TAKEN_UP}"
            self.write(
                take_back,
                "step_answer",
                answer.entity,
                TAKEN_UP,
                saying=saying,
                done=lambda _: self._after_answer(),
            )

    def _after_answer(self) -> None:
        """The button that was pressed is gone: the keys go on, or back to the line."""
        if not self.isVisible() or not self.hand.is_going:
            return
        if self._answer() is not None:
            self.next.setFocus()
        else:
            self.take_keys()

    def _working(self) -> Iterable[str]:
        lines = list(typed.working_lines(self._found, self.entry.size)) if self._found is not None else []
        return lines or [
            "No share is worked out: there is no line with pieces or volume, or the lot’s are not known."
        ]
