"""Stress: tests of the stress that drying left, line by line, and what can fake it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import ClassVar

from kilnlog.drying.closing.stress import StressFigures, StressRemark, judged_test, stress_of
from kilnlog.logbook import final_words
from kilnlog.logbook import stress_lines as typed
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.defect_lines import sourced
from kilnlog.records.moment import Moment
from kilnlog.records.stress_test import StressTest
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import StressFound, StressTestKind
from kilnlog.reference.defects import defect_lore
from kilnlog.ui.closing.entry_table import EntryColumn
from kilnlog.ui.closing.figure_row import Figure, FigureRow
from kilnlog.ui.closing.finding_cautions import SAWING
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.lines_entry import LinesEntry, offers
from kilnlog.ui.closing.lines_page import LinesPage
from kilnlog.ui.closing.said_list import Told, small
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import decimal_mark
from kilnlog.ui.look.lines import Cell, Line
from kilnlog.ui.look.painting import Mark

COLUMNS = (
    EntryColumn("Piece", 46, typed.PIECE, figures=False, carried=True),
    EntryColumn("Test", 114, typed.KIND, figures=False, carried=True),
    EntryColumn("Found", 156, typed.FOUND, figures=False),
    EntryColumn("Measured", 84, typed.VALUE, name="Measured, with its unit; of shell and core: the shell"),
    EntryColumn("Core, %", 62, typed.CORE, name="Core, percent"),
    EntryColumn("Limit", 54, typed.LIMIT, carried=True),
    EntryColumn("Wait, h", 66, typed.HOURS, carried=True, keeps=True, name="Hours waited"),
    EntryColumn("", 60, fills=True),
)
NOT_JUDGED = "Where there is neither a limit nor anything found in words, nothing judges the test."


class StressEntry(LinesEntry[StressTest]):
    """Tests of the lot in front."""

    table_of = "stress_test"
    noun = "test"
    name = "Stress tests"
    columns = COLUMNS
    words: ClassVar = {typed.KIND: offers(StressTestKind), typed.FOUND: offers(StressFound)}

    def entries(self) -> list[Entry[StressTest]]:
        """Of the lot in front."""
        lot = self.page.lot
        lines = current_entries(self.hand.record.stress_test)
        return [one for one in lines if lot is not None and one.fact.lot == lot.entity]

    def line(self, entry: Entry[StressTest]) -> Line:
        """As typed, with its verdict."""
        figure = judged_test(entry.fact)
        *texts, verdict = typed.cells(figure)
        colour = {True: "done", False: "look", None: "ink2"}[figure.passed]
        mark = Mark.LOOK if figure.passed is False else None
        return Line((*(Cell(text) for text in texts), Cell(verdict, colour)), entry.entity, mark)

    def read(self, texts: Mapping[str, str]) -> tuple[StressTest, Moment | None]:
        """The test a line makes."""
        lot = self.page.lot
        of_lot = lot.entity if lot is not None else ""
        return typed.stress_test(self.hand.record.entity, of_lot, texts, decimal_mark(), self.last), None

    def texts_of(self, entry: Entry[StressTest]) -> dict[str, str]:
        """As it would be typed."""
        return typed.texts_of(entry.fact, decimal_mark())

    def proposed(self, last: StressTest | None) -> dict[str, str]:
        """The piece counted up, the rest as before."""
        return typed.next_line(last, decimal_mark())

    def follow(self) -> None:
        """The fields follow the kind of test."""
        super().follow()
        self.edited()

    def edited(self) -> None:
        """A core only of shell and core; Enter passes by what is carried once a first test has set it."""
        kind = self.table.texts[typed.KIND].casefold()
        with_core = bool(kind) and StressTestKind.SHELL_AND_CORE.value.startswith(kind)
        self.table.show_field(typed.CORE, with_core)
        measured = (typed.CORE if with_core else typed.VALUE,) if self.last is not None else ()
        self.table.set_keeps(*measured, typed.HOURS)

    def saying(self, fact: StressTest, at: Moment | None) -> str:
        """Piece, test and what it showed."""
        return typed.said(fact)

    def doubts(self, fact: StressTest) -> tuple[str, ...]:
        """A piece tested twice."""
        return typed.doubts(fact, [entry.fact for entry in self.entries()])


class StressPage(LinesPage):
    """Counts passed of n by kind; what was found in words brings its cause."""

    step: ClassVar[Step] = Step.STRESS

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self._found: StressFigures = stress_of(())
        self.figures = FigureRow(appearance, len(StressTestKind), self._working)
        self.entry = StressEntry(self)
        self.lay_out(self.figures)
        self.finish()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """What is carried is passed by: Tab comes to it."""
        keys = super().keys()
        if not self.hand.can_write or self.entry.last is None:
            return keys
        return (keys[0], ("Tab", "limit, wait"), *keys[1:])

    def renew(self) -> None:
        """The counts, the lines, what is to be known."""
        self._found = stress_of(entry.fact for entry in self.entry.entries())
        self.figures.show_figures(list(self._counts()))
        self.entry.follow()
        self.said.show_said(list(self._told()))

    def _counts(self) -> Iterable[Figure]:
        if not self._found.counts:
            yield "tests passed", None, ""
        for count in self._found.counts:
            label, figure = typed.count_words(count)
            yield label, figure, ""

    def _told(self) -> Iterable[Told]:
        remarks = self._found.remarks or (StressRemark.GRADIENT,)
        for remark in remarks:
            yield Told(
                final_words.stress_remark(remark),
                colour="ink" if remark is not StressRemark.GRADIENT else "ink2",
            )
        if any(count.unknown for count in self._found.counts):
            yield Told(NOT_JUDGED)
        lore = defect_lore()
        for found in (StressFound.CASEHARDENED, StressFound.REVERSE):
            if found in lore and any(figure.test.found is found for figure in self._found.tests):
                yield Told(f"{found.value.capitalize()}: {sourced(lore[found].cause)}")
                yield Told(f"Next time: {sourced(lore[found].next_time)}")
        yield small(SAWING)

    def _working(self) -> Iterable[str]:
        if not self._found.tests:
            return ["No test was written yet."]
        return [typed.working_lines(figure) for figure in self._found.tests]
