"""Tally: lumber counted green and net, what it shrank, and an owner's lines for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QHBoxLayout

from kilnlog.drying.closing.figures import SeriesKind
from kilnlog.drying.closing.shrinkage import ExpectedShrinkage, expected_shrinkage
from kilnlog.drying.closing.tally import Rounding, TallyFigures, tally_of
from kilnlog.logbook import figures, final_words
from kilnlog.logbook import tally_lines as typed
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.close_out_words import SERIES_NAMES
from kilnlog.logbook.lot_tally import lot_tally, lot_unit, owner_tallies, rounding_of, tally_entries
from kilnlog.logbook.owner_lines import owner_file_name, pasted, write_owner_lines
from kilnlog.logbook.register_words import OWN_STOCK
from kilnlog.logbook.setting_from import set_from
from kilnlog.logbook.tally_setting import SETTING
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.setting import Setting
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.version import Entry
from kilnlog.records.words import TallyTime, VolumeUnit
from kilnlog.ui.closing.entry_table import EntryColumn
from kilnlog.ui.closing.figure_row import FigureRow
from kilnlog.ui.closing.finding_cautions import COUNTING
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.lines_entry import LinesEntry, offers
from kilnlog.ui.closing.lines_page import LinesPage
from kilnlog.ui.closing.said_list import Told, small, worked_out
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import ChoiceField
from kilnlog.ui.look.form import decimal_mark
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.lines import Cell, Line
from kilnlog.ui.look.sizes import GAP_8, Role

COLUMNS = (
    EntryColumn("When", 64, typed.WHEN, figures=False, carried=True, name="When, green or net"),
    EntryColumn("Grade", 92, typed.GRADE, figures=False, carried=True),
    EntryColumn("Thickness", 86, typed.THICKNESS, carried=True),
    EntryColumn("Width", 80, typed.WIDTH),
    EntryColumn("Length", 80, typed.LENGTH),
    EntryColumn("Pieces", 66, typed.PIECES),
    EntryColumn("Volume", 110, typed.VOLUME, name="Volume, where only a total is known"),
    EntryColumn("", 24, fills=True),
)
STARTS = (
    "A line for pieces of one size: Enter after the pieces keeps it. Where only a total is known, leave the "
    "sizes empty and type the volume."
)


class TallyEntry(LinesEntry[TallyLine]):
    """Tally lines of the lot in front."""

    table_of = "tally_line"
    noun = "tally line"
    name = "Tally lines"
    columns = COLUMNS
    words: ClassVar = {typed.WHEN: offers(TallyTime)}

    @property
    def unit(self) -> VolumeUnit:
        """Of every volume of the lot."""
        lot = self.page.lot
        return lot_unit(lot.fact) if lot is not None else VolumeUnit.BOARD_FEET

    @property
    def rounding(self) -> Rounding:
        """The logbook's."""
        return rounding_of(self.hand.record)

    def entries(self) -> list[Entry[TallyLine]]:
        """Of the lot in front."""
        lot = self.page.lot
        return tally_entries(self.hand.record, lot.entity) if lot is not None else []

    def line(self, entry: Entry[TallyLine]) -> Line:
        """Sizes as typed; the volume in ink where it was typed, in pencil where it was worked out."""
        figure = tally_of([entry.fact], self.unit, self.rounding).lines[0]
        *sizes, volume = typed.cells(figure)
        last = Cell(volume, "ink" if figure.is_typed else "pencil")
        return Line((*(Cell(text) for text in sizes), last, Cell()), entry.entity)

    def read(self, texts: Mapping[str, str]) -> tuple[TallyLine, Moment | None]:
        """The tally line a line makes."""
        lot = self.page.lot
        of_lot = lot.entity if lot is not None else ""
        charge = self.hand.record.entity
        return typed.tally_line(charge, of_lot, texts, decimal_mark(), self.unit, self.last), None

    def texts_of(self, entry: Entry[TallyLine]) -> dict[str, str]:
        """As it would be typed."""
        return typed.texts_of(entry.fact, decimal_mark())

    def proposed(self, last: TallyLine | None) -> dict[str, str]:
        """When, grade and thickness as before."""
        lot = self.page.lot
        return typed.next_line(last, lot.fact.thickness if lot is not None else None, decimal_mark())

    def saying(self, fact: TallyLine, at: Moment | None) -> str:
        """What and how much."""
        return typed.said(fact, self.rounding, self.unit)

    def doubts(self, fact: TallyLine) -> tuple[str, ...]:
        """Sizes and total that do not go together."""
        return typed.doubts(fact, self.rounding, self.unit)

    def follow(self) -> None:
        """The units of bare sizes stand in their fields."""
        super().follow()
        self.edited()

    def edited(self) -> None:
        """What the sizes come to stands where a total would be typed."""
        texts = self.table.texts
        wide, long = typed.sizes_in(self.last, self.unit)
        self.table.fields[typed.WIDTH].setPlaceholderText(wide.value)
        self.table.fields[typed.LENGTH].setPlaceholderText(long.value)
        is_whole = not typed.missing_size(texts)
        self.table.set_keeps(*((typed.PIECES, typed.VOLUME) if is_whole else (typed.VOLUME,)))
        self.table.fields[typed.VOLUME].setPlaceholderText(self._so_far(texts) if is_whole else "")

    def _so_far(self, texts: Mapping[str, str]) -> str:
        try:
            fact, _ = self.read(texts)
        except KilnlogError:
            return ""  # told once it is entered
        return typed.worked_out(fact, self.rounding, self.unit)


class TallyPage(LinesPage):
    """Volumes follow one way of rounding, a setting of the logbook."""

    step: ClassVar[Step] = Step.TALLY

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self.figures = FigureRow(appearance, 4, self._working)
        self.entry: TallyEntry = TallyEntry(self)
        self.rounding = ChoiceField(appearance, [(one.value, typed.ROUNDING_WORDS[one]) for one in Rounding])
        self.rounding.setAccessibleName("Volume by")
        self.rounding.setMinimumContentsLength(15)
        self.rounding.activated.connect(lambda _: self._round())
        self.rounded = Wrapped("", appearance, Role.TINY, "ink2")
        line = QHBoxLayout()
        line.setSpacing(GAP_8)
        line.addWidget(Text("Volume by", appearance, Role.LABEL, "ink2"))
        line.addWidget(self.rounding, 0, Qt.AlignmentFlag.AlignTop)
        line.addWidget(self.rounded, 1)
        self.lay_out(self.figures)
        self.add_layout(line, above=GAP_8)
        self.copy = QuietButton("Copy owner’s lines", appearance)
        self.save = QuietButton("Save them…", appearance)
        self.copy.clicked.connect(self._copy)
        self.save.clicked.connect(self._save)
        self.finish(self.copy, self.save)

    def renew(self) -> None:
        """The totals, the lines, the shrinkage expected."""
        tally, expected = self.tally, self._expected()
        self.figures.show_figures(typed.totals(tally, expected))
        self.entry.follow()
        rounding = self.entry.rounding
        self.rounding.set_value(rounding.value)
        self.rounding.setEnabled(self.hand.can_write)
        self.rounded.setText(typed.ROUNDING_SAID[rounding])
        self.said.show_said(list(self._told(tally, expected)))
        for button in (self.copy, self.save):
            button.setVisible(tally is not None)

    @property
    def tally(self) -> TallyFigures | None:
        """Of the lot in front; None where nothing was tallied."""
        return lot_tally(self.hand.record, self.lot) if self.lot is not None else None

    def _ended(self) -> tuple[float, str] | None:
        """The mean of the first series there is, and its name: pieces read before sample boards."""
        final = self.hand.final
        for series in final.series if final is not None else ():
            if series.whole.mean_pct is not None:
                return series.whole.mean_pct, SERIES_NAMES[SeriesKind(series.kind)]
        return None

    def _expected(self) -> ExpectedShrinkage | None:
        ended = self._ended()
        if self.lot is None or ended is None:
            return None
        return expected_shrinkage(self.lot.fact.species, ended[0], self.desk.reference)

    def _told(self, tally: TallyFigures | None, expected: ExpectedShrinkage | None) -> Iterable[Told]:
        if tally is None:
            yield Told(STARTS if self.hand.can_write else "Nothing was tallied of this lot.")
        else:
            for remark in tally.remarks:
                yield Told(final_words.tally_remark(remark), colour="ink")
        ended = self._ended()
        species = self.lot.fact.species if self.lot is not None else None
        sentence = typed.expected_sentence(expected, species, measured=ended is not None)
        yield worked_out(sentence) if expected is not None else Told(sentence)
        if expected is not None and ended is not None:
            yield small(f"Final moisture: mean {figures.mc(ended[0])} %, {ended[1]}.")
        yield small(COUNTING)

    def _round(self) -> None:
        """Another way of rounding, for every tally of the logbook from now on."""
        value = self.rounding.value
        if not self.hand.can_write or value == self.entry.rounding.value:
            return
        saying = f"Volumes by {typed.ROUNDING_WORDS[Rounding(value)]}"
        self.write(set_from, Setting(SETTING, value), self.desk.now(), saying=saying)

    @property
    def _owners(self) -> list[tuple[str, TallyFigures]]:
        """Every lot of the owner whose lot is in front."""
        return owner_tallies(self.hand.record, self.lot.fact.owner) if self.lot is not None else []

    def _copy(self) -> None:
        lots = self._owners
        if lots and self.lot is not None:
            QGuiApplication.clipboard().setText(pasted(lots, decimal_mark()))
            lines = figures.count(sum(len(tally.lines) for _, tally in lots), "line")
            whose = self.lot.fact.owner or OWN_STOCK
            self.desk.saved.emit(f"{lines} of {whose} copied: paste them into a spreadsheet")

    def _save(self) -> None:
        if self.lot is None or not self._owners:
            return
        folder = self.desk.path.parent if self.desk.path is not None else Path.home()
        number, whose = self.hand.record.particulars.charge, self.lot.fact.owner or OWN_STOCK
        named = folder / owner_file_name(number, whose)
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Save the owner’s lines", str(named), "Comma-separated values (*.csv)"
        )
        if chosen:
            self.save_to(Path(chosen) if Path(chosen).suffix.lower() == ".csv" else Path(f"{chosen}.csv"))

    def save_to(self, to: Path) -> None:
        """Write the lines of the owner in front to a file, while the window goes on."""
        lots = self._owners
        if lots:
            self.desk.run(
                lambda _: write_owner_lines(to, lots),
                lambda path: self.desk.saved.emit(f"{path.name} written"),
            )

    def _working(self) -> Iterable[str]:
        tally = self.tally
        if tally is None:
            return ["Nothing was tallied yet."]
        return list(typed.working_lines(tally, self._expected()))
