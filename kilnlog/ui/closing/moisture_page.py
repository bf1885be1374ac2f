"""Final moisture: what was read of the finished pieces, against what was asked; typed line by line."""

from __future__ import annotations

from enum import StrEnum
from typing import ClassVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from kilnlog.drying.closing.figures import FinalMoisture, SeriesFigures, SeriesKind
from kilnlog.drying.closing.limits import limits_of
from kilnlog.logbook import figures, final_words
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.close_out_words import SERIES_NAMES, asked_for_words, asked_words, tolerance_words
from kilnlog.logbook.final_readings import signed
from kilnlog.records.lot import Lot
from kilnlog.ui.closing.cautions import OVEN
from kilnlog.ui.closing.dot_plot import DotPlot
from kilnlog.ui.closing.entry_table import EntryTable
from kilnlog.ui.closing.giving_way import GivingWay
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.limits_form import LimitsForm
from kilnlog.ui.closing.line_keeper import Within
from kilnlog.ui.closing.moisture_figures import MoistureFigures
from kilnlog.ui.closing.reading_lines import BOARD_COLUMNS, board_lines
from kilnlog.ui.closing.readings_entry import MeterEntry, OvenEntry, ReadingsEntry
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.sizes import GAP_4, GAP_8, Role

_IN_PAGE = Qt.ShortcutContext.WidgetWithChildrenShortcut
NO_LOT = "This charge has no lot, and a reading belongs to one: Charge, Lots… writes it."
NO_LIMITS = limits_of(Lot("", ""), None)
NONE_READ = "None was read of this lot."
STARTS = "Read pieces drawn at random from every pack; type the first one below."


class Shown(StrEnum):
    """Which series is in front."""

    METER = "Meter readings…"
    OVEN = "Oven-dried pieces…"
    BOARDS = "From the sample boards…"


class MoisturePage(StepPage):
    """One series in front at a time: they are never put together."""

    step: ClassVar[Step] = Step.FINAL_MOISTURE

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self._turned: dict[str, Shown] = {}  # by the lot's entity
        self.figures = MoistureFigures(appearance)
        self.above = GivingWay()
        self.plot = DotPlot(appearance)
        self.tolerance = Wrapped("", appearance, Role.SAID, "pencil")
        self.remarks = Wrapped("", appearance, Role.TINY, "ink2")
        self.meter = MeterEntry(self)
        self.oven = OvenEntry(self)
        self.boards = EntryTable(appearance, BOARD_COLUMNS, "Sample boards")
        self.boards.set_writable(False)
        self.tables = QStackedWidget()
        # The plot keeps its height first, the lines roll in what is left.
        self.tables.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        for widget in (self.meter.table, self.oven.table, self.boards):
            self.tables.addWidget(_AtTop(widget))
        self.how = Wrapped("", appearance, Role.TINY, "ink2")
        self.limits_button = QuietButton("Limits…", appearance, "F7")
        self.series_button = QuietButton("How it is read…", appearance, "F8")
        self._arrange()
        self._connect()

    def _arrange(self) -> None:
        self.add(self.figures)
        self.body.addSpacing(GAP_4)
        for widget in (self.plot, self.tolerance, self.remarks):
            self.above.column.addWidget(widget)
        self.add(self.above)
        self.body.addSpacing(GAP_4)
        self.body.addWidget(self.tables, 1)
        line = QHBoxLayout()
        line.setSpacing(GAP_8)
        line.addWidget(self.how, 1)
        line.addWidget(self.limits_button)
        line.addWidget(self.series_button)
        self.add_layout(line, above=GAP_4)
        self.turns = {shown: QuietButton(shown.value, self.appearance) for shown in Shown}
        self.finish(*self.turns.values())

    def _connect(self) -> None:
        for shown, button in self.turns.items():
            button.clicked.connect(lambda _=False, shown=shown: self.turn_to(shown))
        self.limits_button.clicked.connect(self.ask_limits)
        self.series_button.clicked.connect(self.meter.ask_terms)
        for entry in (self.meter, self.oven):
            entry.table.said_changed.connect(self._make_room)
        for key, act in (("F7", self.ask_limits), ("F8", self._ask_terms)):
            QShortcut(QKeySequence(key), self, act).setContext(_IN_PAGE)

    @property
    def shown(self) -> Shown:
        """The series in front for this lot: what was chosen for another says nothing of it."""
        return self._turned.get(self._of_lot, Shown.METER)

    @property
    def _of_lot(self) -> str:
        return self.lot.entity if self.lot is not None else ""

    @property
    def entry(self) -> ReadingsEntry | None:
        """The line in hand of the series in front; None of sample boards, which are not typed here."""
        return {Shown.METER: self.meter, Shown.OVEN: self.oven}.get(self.shown)

    def turn_to(self, shown: Shown) -> None:
        """Bring another series to the front."""
        self._turned[self._of_lot] = shown
        self.renew()
        self.take_keys()
        self.keys_changed.emit()

    def renew(self) -> None:
        """The series in front: figures, plot, sentences, lines."""
        final = self.hand.final
        self.tables.setCurrentIndex(list(Shown).index(self.shown))
        for shown, button in self.turns.items():
            button.setVisible(shown is not self.shown)
        if final is None:
            self._tell_no_lot()
            return
        series = self._series(final)
        limits = final.limits
        self.at_right.setText(asked_words(limits))
        self.figures.show_series(series, limits)
        self.plot.show_series(series, limits)
        self._tell(final, series)
        self.meter.follow(self._of(final, SeriesKind(self.meter.terms.kind.value)), limits)
        self.oven.follow(self._of(final, SeriesKind.OVEN_DRY), limits)
        boards = self._of(final, SeriesKind.SAMPLE_BOARDS)
        self.boards.set_lines(board_lines(boards.readings if boards is not None else (), limits))
        writable = self.hand.can_write
        self.limits_button.setVisible(writable)
        self.series_button.setVisible(writable and self.shown is Shown.METER)
        self._keep_a_line()

    def _keep_a_line(self) -> None:
        """However high the rest, the line kept last stays whole above the line in hand."""
        if (table := self.tables.currentWidget()) is not None:
            self.tables.setMinimumHeight(table.minimumSizeHint().height())

    def _tell_no_lot(self) -> None:
        """Readings belong to a lot: without one there is nothing to type into."""
        self.at_right.setText("")
        self.figures.show_series(None, NO_LIMITS)
        self.plot.show_series(None, None)
        self.tolerance.setText("")
        self.remarks.setText(NO_LOT)
        self._make_room()
        self.how.setText("")
        for table in (self.meter.table, self.oven.table, self.boards):
            table.set_lines(())
            table.set_writable(False)
        self.limits_button.hide()
        self.series_button.hide()

    def _series(self, final: FinalMoisture) -> SeriesFigures | None:
        kind = {
            Shown.METER: SeriesKind(self.meter.terms.kind.value),
            Shown.OVEN: SeriesKind.OVEN_DRY,
            Shown.BOARDS: SeriesKind.SAMPLE_BOARDS,
        }[self.shown]
        return self._of(final, kind)

    @staticmethod
    def _of(final: FinalMoisture, kind: SeriesKind) -> SeriesFigures | None:
        return next((one for one in final.series if one.kind is kind), None)

    def _tell(self, final: FinalMoisture, series: SeriesFigures | None) -> None:
        said = list(tolerance_words(series))[:1] if series is not None else []
        self.tolerance.setText(" ".join(said))
        told: list[str] = []
        if self.shown is not Shown.BOARDS:
            read = series.whole.n if series is not None else 0
            asked = final.asked_for
            told.append(
                asked_for_words(read, asked)
                if asked is not None
                else final_words.not_asked(final.not_asked_because)
            )
        if series is None:
            starts = {Shown.METER: STARTS, Shown.OVEN: OVEN}.get(self.shown, "")
            told.insert(0, starts if self.hand.can_write else NONE_READ)
        else:
            told += [final_words.series_remark(remark) for remark in series.remarks]
            told += () if said else final_words.withheld(series.withheld)
        told += self._others(final, series)
        told += final_words.limits_remarks(final.limits)
        self.remarks.setText(" ".join(one for one in told if one))
        self._make_room()
        how = {Shown.METER: self.meter.how(), Shown.OVEN: OVEN if series is not None else ""}
        self.how.setText(how.get(self.shown, "Sample boards were picked for the wettest and driest wood."))

    def _make_room(self) -> None:
        """At the larger sizes, what is asked of the line in hand takes the room of what can wait."""
        tight = self.appearance.size_name != "regular"
        asked = tight and self.entry is not None and bool(self.entry.table.told)
        self.tolerance.setVisible(bool(self.tolerance.text()) and not asked)
        self.remarks.setVisible(bool(self.remarks.text()) and not asked)
        self._keep_a_line()

    def _others(self, final: FinalMoisture, series: SeriesFigures | None) -> list[str]:
        """The other series in a word each, and meter minus oven where the same piece has both."""
        told = [
            f"{SERIES_NAMES[one.kind].capitalize()}, a series of its own: {figures.number(one.whole.n)}, "
            f"mean {figures.mc(one.whole.mean_pct)} %."
            for one in final.series
            if one is not series and one.kind is not SeriesKind.SAMPLE_BOARDS
        ]
        if final.pairs and self.shown is not Shown.BOARDS:
            pairs = "; ".join(f"piece {pair.piece} {signed(pair.difference_pct)}" for pair in final.pairs)
            told.append(f"Meter minus oven: {pairs}.")
        return told

    def ask_limits(self) -> None:
        """Show and change what was asked for."""
        if self.lot is not None and self.hand.can_write:
            target = self.hand.record.particulars.target_mc_pct
            LimitsForm(self.window(), self.desk, self.appearance, self.lot, target).open()

    def _ask_terms(self) -> None:
        if self.shown is Shown.METER:
            self.meter.ask_terms()

    def take_keys(self) -> None:
        """To the line in hand."""
        entry = self.entry
        if entry is None:
            self.boards.take_keys()
        elif self.hand.can_write and self.lot is not None:
            entry.table.take_keys()
        else:
            self.next.setFocus()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys of the line in hand."""
        if self.entry is None or not self.hand.can_write:
            return ()
        return (("Enter", "keep"), ("↑", "lines kept"), ("Ctrl Z", "take back"), ("F7", "limits"))

    def unkept(self, within: Within = ()) -> tuple[str, ...]:
        """Readings typed and not kept."""
        return (*self.meter.keeper.unkept(within), *self.oven.keeper.unkept(within))

    def forget(self, within: Within) -> None:
        """Give up readings typed there."""
        self.meter.forget(within)
        self.oven.forget(within)

    def drop_typed(self) -> bool:
        """What stands typed in the line in hand."""
        return self.entry is not None and self.entry.drop_typed()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Page Up and Page Down roll what stands above the lines, where the window is low."""
        by = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}.get(Qt.Key(event.key()))
        if by is None:
            super().keyPressEvent(event)
        else:
            self.above.roll(by)


class _AtTop(QWidget):
    """The table as high as its lines, at the top of the room there is."""

    def __init__(self, table: EntryTable) -> None:
        super().__init__()
        self._table = table
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(table)
        column.addStretch(1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Whole lines only."""
        super().resizeEvent(event)
        self._table.fit_into(self.height())
