"""The page beside the register: phases, what is due next, lots, notes and actions of the charge in hand."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.drying.finding import Severity
from kilnlog.logbook import figures
from kilnlog.logbook.charge_words import due_next, phases
from kilnlog.logbook.register_words import OWN_STOCK, whose
from kilnlog.logbook.short_form import short_form
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.owner_name import owner_key
from kilnlog.records.version import current_entries
from kilnlog.records.words import VolumeUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton, QuietButton
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import MarginMark, Page, page_title, scrolling, section_title
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.look.phase_line import Phase, PhaseLine
from kilnlog.ui.look.ruled import Cell, RuledLine, RuledTable
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, Role

_MARKS = {Severity.ACT: Mark.ACT, Severity.LOOK: Mark.LOOK}
_UNITS = {VolumeUnit.BOARD_FEET: "bf", VolumeUnit.CUBIC_METRES: "m³"}


class ParticularsPage(Page):
    """Reads the desk; its buttons only ask.

    boards_asked, correct_asked, close_asked, lots_asked: sent by the buttons.
    """

    boards_asked = Signal()
    correct_asked = Signal()
    close_asked = Signal()
    lots_asked = Signal()

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self._desk = desk
        self._spread = False
        self._title = page_title("", appearance)
        self._since = Text("", appearance, Role.SAID, "ink2")
        self._seal = MarginMark(appearance, Mark.SEALED, self)
        self._under = Wrapped("", appearance, Role.TINY, "ink2")
        self._phases = PhaseLine(appearance)
        self._due_title = section_title("Due next", appearance)
        self._due = QVBoxLayout()
        self._due.setSpacing(0)
        self._lots_title = section_title("Lots", appearance)
        self._owners = Text("", appearance, Role.SAID, "ink2")
        self._lots = RuledTable(appearance, ("Lot", "bf", "Target, %", "Limit, % a day"), "Lots")
        self._notes_title = section_title("Notes", appearance)
        self._notes = Wrapped("", appearance, Role.SAID, "ink")
        self.boards_button = MainButton("Open boards", appearance)
        self.lots_button = QuietButton("Lots…", appearance)
        self.correct_button = QuietButton("Correct…", appearance)
        # For a charge that came out: what is left to do leads, its boards are there to be read.
        self.close_button = MainButton("Close out…", appearance)
        self.read_boards_button = QuietButton("Open boards", appearance)
        self.boards_button.clicked.connect(self.boards_asked)
        self.read_boards_button.clicked.connect(self.boards_asked)
        self.lots_button.clicked.connect(self.lots_asked)
        self.correct_button.clicked.connect(self.correct_asked)
        self.close_button.clicked.connect(self.close_asked)
        self._arrange()
        desk.record_changed.connect(lambda _: self._renew_shown())
        desk.register_changed.connect(self._renew_shown)
        appearance.changed.connect(self._fit)
        self._fit()
        self.renew()

    def _arrange(self) -> None:
        self._content = QWidget()
        self._content.setAutoFillBackground(False)
        self._column = QVBoxLayout(self._content)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._inset_rows: list[QHBoxLayout] = []
        self._add_inset(self._title, self._since, top=GAP_8 + 2)
        self._add_inset(self._under, top=GAP_8 - 2)
        self._add_inset(self._phases, top=GAP_16)
        self._add_inset(self._due_title, top=GAP_16 + 2)
        self._column.addSpacing(4)
        self._column.addLayout(self._due)
        self._add_inset(self._lots_title, self._owners, top=GAP_16)
        self._column.addSpacing(2)
        self._column.addWidget(self._lots)
        self._add_inset(self._notes_title, top=GAP_16)
        self._add_inset(self._notes, top=4)
        self._column.addStretch(1)
        area = scrolling(self._content)
        self.body.addWidget(area, 1)
        self.body.addSpacing(GAP_12)
        self._actions = QHBoxLayout()
        self._actions.setSpacing(GAP_8)
        self._offered = (
            self.boards_button,
            self.close_button,
            self.correct_button,
            self.lots_button,
            self.read_boards_button,
        )
        for button in self._offered:
            self._actions.addWidget(button)
        self._actions.addStretch(1)
        self.body.addLayout(self._actions)

    def _add_inset(self, widget: QWidget, right: QWidget | None = None, *, top: int) -> None:
        row = QHBoxLayout()
        row.setContentsMargins(0, top, 0, 0)
        row.addWidget(widget, 0 if right is not None else 1)
        if right is not None:
            row.addStretch(1)
            row.addWidget(right, 0, Qt.AlignmentFlag.AlignVCenter)
        self._inset_rows.append(row)
        self._column.addLayout(row)

    def _strike(self) -> None:
        """The number of a charge that was taken back is struck; another size of text gives a new font."""
        font = self._title.font()
        font.setStrikeOut(self._desk.is_taken_back)
        self._title.setFont(font)

    def _fit(self) -> None:
        left = self.margin_x + GAP_12
        for row in self._inset_rows:
            margins = row.contentsMargins()
            row.setContentsMargins(left, margins.top(), GAP_12, 0)
        self._actions.setContentsMargins(left, 0, GAP_12, 0)
        self._strike()
        self._seal.setGeometry(0, GAP_8 + 2, self.margin_x, self._title.sizeHint().height())
        self._seal.raise_()
        self.spread(self._spread)

    def spread(self, alone: bool) -> None:
        """Take all the room there is, or the width of a side page."""
        self._spread = alone
        if alone:
            self.setMinimumWidth(0)
            self.setMaximumWidth(16_777_215)  # Qt's own "no limit"
        else:
            self.setFixedWidth(self._appearance.sizes.side_w)

    def _renew_shown(self) -> None:
        if self.isVisible():
            self.renew()

    def showEvent(self, event: QShowEvent) -> None:
        """Nothing is followed while hidden: a round typed meanwhile costs nothing here."""
        super().showEvent(event)
        self.renew()

    def renew(self) -> None:
        """Follow the charge in hand."""
        record, assessment = self._desk.record, self._desk.assessment
        here = record is not None and assessment is not None
        self._content.setVisible(here)
        for button in self._offered:
            button.setVisible(False)
        self.set_sealed(record is not None and record.is_closed)
        if record is None or assessment is None:
            return
        self._tell_heading(record, assessment)
        self._tell_due(record, assessment)
        self._tell_lots(record, assessment)
        fact = record.particulars
        self._notes_title.setVisible(bool(fact.notes))
        self._notes.setVisible(bool(fact.notes))
        self._notes.setText(fact.notes or "")
        self._offer(assessment.state)

    def _offer(self, state: ChargeState) -> None:
        """Only what would not be refused."""
        writable = self._desk.can_write
        self.correct_button.setVisible(writable)
        # One line of buttons: lots are written at the beginning of a run, closing comes at its end.
        ended = state is ChargeState.UNLOADED
        self.lots_button.setVisible(writable and not ended)
        self.close_button.setVisible(writable and ended)
        self.read_boards_button.setVisible(writable and ended)
        self.boards_button.setVisible(not (writable and ended) and state is not ChargeState.TAKEN_BACK)

    def _tell_heading(self, record: ChargeRecord, assessment: Assessment) -> None:
        fact, now = record.particulars, self._desk.now()
        self._title.setText(fact.charge)
        self._strike()
        closing = record.closing_of()
        since = (
            f"since {figures.day(fact.loaded_at, now)}, {fact.loaded_at.local:%H:%M}"
            if fact.loaded_at
            else "planned"
        )
        if assessment.state is ChargeState.TAKEN_BACK:
            since = "taken back"
        if closing is not None:
            since = f"closed and sealed {figures.day(closing.at, now)}"
        line = next((line for line in self._desk.lines if line.entity == record.entity), None)
        fits = line is None or line.seal_fits
        if not fits:
            since = "the seal is not verified"
        self._since.setText(since)
        self._seal.setVisible(closing is not None and fits)
        kiln = next((line.newest.fact for line in record.kiln if line.entity == fact.kiln), None)
        air = f", {kiln.air_control}" if kiln is not None and kiln.air_control else ""
        parts = [f"{assessment.kiln}{air}" if assessment.kiln else "no kiln yet"]
        parts.append(f"schedule {fact.schedule}" if fact.schedule else "no schedule")
        parts.append(str(fact.control_rule))
        if fact.target_mc_pct is not None and not record.lot:
            parts.append(f"target {figures.trimmed(fact.target_mc_pct)} %")
        if closing is not None and closing.fact.sealed_text is not None and fits:
            parts.append(f"seal {short_form(closing.fact.sealed_text)}")
        self._under.setText("  ·  ".join(parts))
        self._phases.setVisible(assessment.state is not ChargeState.TAKEN_BACK)
        self._phases.set_phases(
            [Phase(stop.name, stop.under, stop.passed, stop.now) for stop in phases(record, assessment, now)]
        )

    def _tell_due(self, record: ChargeRecord, assessment: Assessment) -> None:
        while (item := self._due.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                # Hidden, not cut loose: a line without its page would be shown as a window and take the keys.
                widget.hide()
                widget.deleteLater()
        dead = assessment.state is ChargeState.TAKEN_BACK  # nothing is due where nothing can be done
        rows = () if dead else due_next(record, assessment, assessment.findings, self._desk.now())
        self._due_title.setVisible(bool(rows))
        for row in rows:
            mark = _MARKS.get(row.severity) if row.severity is not None else None
            strong = row.severity is Severity.ACT
            self._due.addWidget(RuledLine(self._appearance, row.text, row.when, mark, strong=strong))

    def _tell_lots(self, record: ChargeRecord, assessment: Assessment) -> None:
        lots = [entry.fact for entry in current_entries(record.lot)]
        self._lots_title.setVisible(bool(lots))
        self._lots.setVisible(bool(lots))
        self._owners.setText(whose(lots) if lots else "")
        units = {lot.volume_unit for lot in lots if lot.volume_unit is not None}
        one = _UNITS[next(iter(units))] if len(units) == 1 else ""
        several = len({owner_key(lot.owner) for lot in lots}) > 1
        rows = [self._lot_cells(lot, assessment, with_unit=not one, with_owner=several) for lot in lots]
        self._lots.set_rows(rows, ("Lot", one or "volume", "Target, %", "Limit, % a day"))

    def _lot_cells(
        self, lot: Lot, assessment: Assessment, *, with_unit: bool, with_owner: bool
    ) -> tuple[Cell, ...]:
        what = " ".join(part for part in (lot.thickness, lot.species) if part)
        more = [
            (lot.owner or OWN_STOCK) if with_owner else "",
            "governs the run" if lot.governs else "",
            f"out {figures.day(lot.out_at, self._desk.now())}" if lot.out_at else "",
        ]
        volume = figures.volume(lot.volume, lot.volume_unit)
        if not with_unit and lot.volume is not None:
            volume = volume.rpartition(" ")[0]
        target = lot.target_mc_pct if lot.target_mc_pct is not None else assessment.target_mc_pct
        limit, published = lot.safe_rate_pct_per_day, False
        if limit is None and lot.species and lot.thickness:
            row = self._desk.reference.safe_rate(lot.species, lot.thickness)
            limit, published = (row.max_pct_per_day if row is not None else None), row is not None
        return (
            Cell(f"{lot.lot}  {what}", under=", ".join(part for part in more if part)),
            Cell(volume),
            Cell(figures.trimmed(target) if target is not None else figures.EMPTY),
            Cell(
                figures.trimmed(limit) if limit is not None else figures.EMPTY, "ink2" if published else "ink"
            ),
        )
