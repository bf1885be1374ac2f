"""The drying-curve view: plot and key on one page, what to do now on the other."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.drying.finding import Finding
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.earlier_curves import LaidOn
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.drying_curve.both_plots import BothPlots
from kilnlog.ui.drying_curve.earlier import EarlierCurves
from kilnlog.ui.drying_curve.key_column import KeyColumn
from kilnlog.ui.drying_curve.saving import save_plots
from kilnlog.ui.drying_curve.what_to_do import KEY, WhatToDoPage
from kilnlog.ui.kiln_air.air_commands import AirCommands
from kilnlog.ui.kiln_air.air_entry import KEY as AIR_KEY
from kilnlog.ui.kiln_air.air_entry import AirEntry
from kilnlog.ui.kiln_air.logger_commands import LoggerCommands
from kilnlog.ui.kiln_air.water_line import WaterLine
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.page import Page, page_title, title_row
from kilnlog.ui.look.sizes import GAP_8, GAP_12, Role
from kilnlog.ui.look.tabs import FilterTabs

WHAT = "moisture of each board, and the air that draws it"
WHOLE, STEP, WEEK = "whole", "step", "week"
_ZOOM, _PAN = 1.25, 0.15


class DryingCurveView(QWidget):
    """Draws the charge in hand. Hidden, it waits; shown, it has followed every commit.

    board_asked(): a finding leads to its board, which is now in hand. keys_changed(): other keys work now.
    """

    board_asked = Signal()
    keys_changed = Signal()
    following_told = Signal(str)  # which logger's file is followed and how far; empty: none

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self._desk = desk
        self._appearance = appearance
        self._stale = self._anew = True
        self._laid: tuple[LaidOn, ...] = ()
        self._keys_told: tuple[tuple[str, str], ...] = ()
        self.plots = BothPlots(appearance)
        self.plot = self.plots.curve
        self.key = KeyColumn(appearance)
        self.earlier = EarlierCurves(desk, appearance, self)
        self.what_to_do = WhatToDoPage(desk, appearance)
        self.air_entry = AirEntry(desk, appearance)
        self._air = AirCommands(self, desk, appearance)
        self.loggers = LoggerCommands(self, desk, appearance)
        self.water_line = WaterLine(desk, appearance)
        self.what_to_do.set_foot(self.water_line, self.air_entry)
        self._ranges = FilterTabs(
            appearance, ((WHOLE, "Whole run"), (STEP, "This step"), (WEEK, "Last 7 days")), "Time shown"
        )
        self._page = Page(appearance, margin=False)
        self._remark = Text(WHAT, appearance, Role.SAID, "ink2")
        self._page.body.addLayout(
            title_row(page_title("Drying curve", appearance), self._remark, right=self._ranges)
        )
        drawn = QHBoxLayout()
        drawn.setContentsMargins(GAP_8, GAP_8, GAP_12, 0)
        drawn.setSpacing(GAP_12)
        drawn.addWidget(self.plots, 1)
        drawn.addWidget(self.key)
        self._page.body.addLayout(drawn, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_12)
        row.addWidget(self._page, 1)
        column = QVBoxLayout()
        column.addWidget(self.what_to_do)
        row.addLayout(column)
        self._make_room()
        self.setFocusProxy(self.plot)
        self.plot.installEventFilter(self)
        self.plot.hairline_moved.connect(self._read_off)
        self.key.toggled.connect(self._toggle)
        self._ranges.chosen.connect(self._show_range)
        self.plot.ranged.connect(self._ranges.choose_none)
        self.what_to_do.led.connect(self._lead)
        self.what_to_do.left.connect(self.plot.setFocus)
        self.what_to_do.stand_after(self.key)
        self.air_entry.left.connect(self.plot.setFocus)
        self._in_list = self._in_air = False
        self._watch_keys()
        self._follow_foot()
        desk.record_changed.connect(self._follow)
        desk.air_grew.connect(lambda: self._follow(Changes.of(())))
        self._follow_what_lies_behind()

    def _follow_foot(self) -> None:
        self.water_line.figure.asked.connect(self._air.water)
        watching = self.loggers.watching
        watching.changed.connect(lambda: self.following_told.emit(watching.text))

    def _watch_keys(self) -> None:
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._keys_went)

    def _follow_what_lies_behind(self) -> None:
        self._appearance.changed.connect(self._make_room)
        self._appearance.changed.connect(self._lay_behind)
        self._desk.register_changed.connect(self._lay_behind)
        self.earlier.changed.connect(self._lay_behind)

    def _make_room(self) -> None:
        """At the largest size the remark would make the window wider than it is."""
        self._remark.setVisible(self._appearance.size_name != "largest")

    def unkept(self) -> tuple[str, ...]:
        """The reading of the air and the answers to findings that stand typed and are not kept."""
        return (*self.air_entry.unkept(), *self.what_to_do.unkept())

    def drop_typed(self) -> bool:
        """Undo begins with the reading that stands typed, where the keys are in it."""
        return self._in_air and self.air_entry.keeper.drop()

    def stop_following(self) -> None:
        """Keep what a followed file brought and waits to be kept."""
        self.loggers.watching.stop()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that work here."""
        if self._in_air:
            return self.air_entry.keys()
        if self._in_list:
            answers = (("Tab", "answer it"),) if self._desk.can_write else ()
            return (("↑ ↓", "move"), ("Enter", "open, its buttons"), *answers, (KEY, "the curve"))
        assessment, air = self._desk.assessment, self.plots.air.air
        if assessment is None:
            return ()
        there = (
            (bool(assessment.rounds), ("← →", "move the hairline")),
            (bool(self.what_to_do.items), (KEY, "what to do")),
            (self._desk.can_write, (AIR_KEY, "air now")),
            (True, ("+ −", "zoom")),
            (bool(assessment.boards), ("1 … 9", "show, hide a board")),
            (air is not None and bool(air.events), ("N", "next event")),
            (True, ("E", "earlier charges")),
            (bool(assessment.rounds), ("Ctrl S", "save picture")),
        )
        return tuple(key for works, key in there if works)

    def commands(self) -> tuple[Command, ...]:
        """The Air menu, and saving the picture."""
        return (
            *self._air.commands(),
            *self.loggers.commands(),
            Command(
                MenuName.VIEW,
                "Curves of &earlier charges of the same kind",
                self.earlier.switch,
                checked=lambda: self.earlier.shown,
                begins_group=True,
            ),
            Command(
                MenuName.PAPERS,
                "&Save the drying curve as a picture…",
                self._ask_where,
                "Ctrl+S",
                lambda: bool(self._desk.assessment is not None and self._desk.assessment.rounds),
            ),
        )

    def show_findings(self, kind: str) -> None:
        """Take the first finding of a kind in hand."""
        self.what_to_do.show_kind(kind)

    def save(self, to: Path) -> None:
        """Save plot and key as PNG or SVG, by the file's ending."""
        save_plots(self.plots, self.key, to)

    def _ask_where(self) -> None:
        assessment = self._desk.assessment
        if assessment is None:
            return
        name, _ = QFileDialog.getSaveFileName(
            self,
            "Save the drying curve",
            f"{assessment.charge.charge} drying curve.png",
            "Pictures (*.png *.svg)",
        )
        if not name:
            return
        to = Path(name) if Path(name).suffix.lower() in (".png", ".svg") else Path(f"{name}.png")
        try:
            self.save(to)
        except KilnlogError as error:
            self._desk.refused.emit(error)
        else:
            self._desk.saved.emit(f"Drying curve in {to.name}")

    def _follow(self, changes: Changes | None) -> None:
        self._stale = True
        self._anew = self._anew or changes is None
        if self.isVisible():
            self._draw()

    def showEvent(self, event: QShowEvent) -> None:
        """Draw what came while this was hidden, before the first frame."""
        super().showEvent(event)
        if self._stale:
            self._draw()

    def _lay_behind(self) -> None:
        """More is known of earlier charges, or they are drawn, or no longer: where that shows, draw anew."""
        if not self.isVisible():
            self._stale = True
        elif self._laid != self.earlier.laid(self._desk.assessment) or self._remark.text() != self._words():
            self._draw()

    def _words(self) -> str:
        return self.earlier.words(self._laid) or WHAT

    def _draw(self) -> None:
        desk = self._desk
        self._laid = self.earlier.laid(desk.assessment)
        self.plot.set_earlier(self._laid)
        self._remark.setText(self._words())
        self.plots.show_charge(desk.record, desk.assessment, desk.air.lines, desk.reference, anew=self._anew)
        if self._anew:
            self._ranges.choose(WHOLE)
        elif self._ranges.key is not None:
            self._show_range(self._ranges.key)
        self._stale = self._anew = False
        self._read_off()
        if self.keys() != self._keys_told:
            self._keys_told = self.keys()
            self.keys_changed.emit()

    def _read_off(self) -> None:
        plot, at_s = self.plot, self.plot.reading_s
        event: tuple[str, Moment] | None = None
        if plot.happened and at_s is not None:
            event = (plot.happened, Moment(datetime.fromtimestamp(at_s, UTC), self._desk.zone))
        self.key.show_round(plot.assessment, plot.reading, plot.hidden, self.plots.read_air(), event)

    def _go_to_event(self, by: int) -> None:
        """The hairline goes from event to event."""
        if (event := self.plots.event_beside(by)) is not None:
            self.plot.read_event(event.at_s, event.words)

    def _lead(self, finding: Finding) -> None:
        """To the board a finding is about, else to the moment it began; what always was is read off now."""
        if finding.board is not None:
            self._desk.set_board_in_hand(finding.board)
            self.board_asked.emit()
        else:
            self.plot.read_nearest(finding.since or self._desk.now())
            self.plot.setFocus()

    def _toggle(self, label: str) -> None:
        self.plot.set_shown(label, label in self.plot.hidden)
        self._read_off()

    def _show_range(self, key: str) -> None:
        began = self.plot.last_step_began()
        if key == STEP and began is not None:
            self.plot.show_since(began)
        elif key == WEEK:
            self.plot.show_since(self.plot.days_back(7))
        else:
            self.plot.show_whole()

    def _keys_went(self, _: QWidget | None, to: QWidget | None) -> None:
        """The foot tells the keys of where one is; another window in front changes nothing."""
        if to is None or not self.isAncestorOf(to):
            return
        in_air = self.air_entry.isAncestorOf(to)
        in_list = self.what_to_do.isAncestorOf(to) and not in_air
        if (in_list, in_air) != (self._in_list, self._in_air):
            self._in_list, self._in_air = in_list, in_air
            self.keys_changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """F6 turns to the list of what to do, from there back to the curve."""
        if event.key() != Qt.Key.Key_F6:
            super().keyPressEvent(event)
        elif self._in_list or self._in_air:
            self.plot.setFocus()
        else:
            self.what_to_do.take_keys()

    def eventFilter(self, watched: object, event: object) -> bool:
        """The plot's own widget would scroll on the arrow keys."""
        return (
            isinstance(event, QKeyEvent) and event.type() == QKeyEvent.Type.KeyPress and self._take_key(event)
        )

    def _take_key(self, event: QKeyEvent) -> bool:
        moves = {
            Qt.Key.Key_Left: lambda: self.plot.read_at(self.plot.reading - 1),
            Qt.Key.Key_Right: lambda: self.plot.read_at(self.plot.reading + 1),
            Qt.Key.Key_Home: lambda: self.plot.read_at(0),
            Qt.Key.Key_End: lambda: self.plot.read_at(10**9),
            Qt.Key.Key_Plus: lambda: self.plot.zoom(1 / _ZOOM),
            Qt.Key.Key_Equal: lambda: self.plot.zoom(1 / _ZOOM),
            Qt.Key.Key_Minus: lambda: self.plot.zoom(_ZOOM),
            Qt.Key.Key_PageUp: lambda: self.plot.pan(-_PAN),
            Qt.Key.Key_PageDown: lambda: self.plot.pan(_PAN),
            Qt.Key.Key_0: lambda: self._ranges.choose(WHOLE),
            Qt.Key.Key_F6: self.what_to_do.take_keys,
            Qt.Key.Key_E: self.earlier.switch,
        }
        if event.key() == Qt.Key.Key_N:
            self._go_to_event(-1 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1)
            return True
        move = moves.get(Qt.Key(event.key()))
        if move is not None:
            move()
            return True
        number = event.key() - Qt.Key.Key_1
        if 0 <= number < min(9, len(self.plot.assessment.boards) if self.plot.assessment else 0):
            boards = self.plot.assessment.boards if self.plot.assessment else ()
            self._toggle(boards[number].board)
            return True
        return False
