"""A section's weighings in the oven, what the rule says of them, and the next one."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.drying.cut_doubts import CutPiece
from kilnlog.logbook import figures
from kilnlog.logbook.cutting import oven_lines, verdict
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.board import Board
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.section import Section
from kilnlog.records.version import Entry
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.ui.board_dialogs.doubted import AskedOnce, board_of, sister_of
from kilnlog.ui.board_dialogs.weights import WeightField, WeightReader
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.lines import Cell, Column, Line
from kilnlog.ui.look.lines_table import LinesTable
from kilnlog.ui.look.sizes import GAP_8, Role
from kilnlog.ui.register.reason import ReasonDialog

_COLUMNS = (
    Column("Weighed", figures=False),
    Column("Weight, g"),
    Column("Change, %"),
    Column("", fills=True),
)


class OvenReadings(QWidget):
    """Delete on a line takes that weighing back."""

    def __init__(
        self,
        form: Form,
        desk: Desk,
        appearance: Appearance,
        board: Entry[Board],
        section: Entry[Section],
        choose_rule: Callable[[], None] | None,
    ) -> None:
        super().__init__()
        self._form, self._desk, self._appearance = form, desk, appearance
        self._board, self._section = board, section
        self._asked = AskedOnce(form, desk.reference)
        self._at = TextField(appearance)
        self._weight = WeightField(appearance)
        fields = form.side_by_side(
            ("oven_at", "Weighed", self._at, "YYYY-MM-DD HH:MM"),
            ("oven_weight", "Weight out of the oven", self._weight),
        )
        self.add_button = QuietButton("Add this weighing", appearance)
        self.rule_button = QuietButton("Rule…", appearance)
        self.table = LinesTable(appearance, _COLUMNS, "Weighings in the oven, oldest first", margin=False)
        self._none = Text("not weighed in the oven yet", appearance, Role.SAID, "ink2")
        self.said = Wrapped("", appearance, Role.SAID, "pencil")
        buttons = QHBoxLayout()
        buttons.setSpacing(GAP_8)
        buttons.addWidget(self.add_button)
        buttons.addWidget(self.rule_button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_8)
        for widget in (self.table, self._none, self.said):
            column.addWidget(widget)
        column.addLayout(fields)
        column.addLayout(buttons)
        form.sends(self.add_button, self.add)
        self._weight.returnPressed.disconnect()  # Enter keeps this one, and stays for the next
        self._weight.returnPressed.connect(self.add)
        self.rule_button.setVisible(choose_rule is not None)
        if choose_rule is not None:
            self.rule_button.clicked.connect(choose_rule)
        self.table.take_back.connect(self._take_back)
        desk.record_changed.connect(self._follow)
        self._at.setText(desk.now().text()[:16])
        self._follow(None)

    def _follow(self, _: object) -> None:
        record, assessment = self._desk.record, self._desk.assessment
        if record is None or assessment is None:
            return
        lines = [
            Line(
                (
                    Cell(reading.when),
                    Cell(reading.weight, "ink", Role.FIGURE_TYPED),
                    Cell(reading.change, "pencil", Role.FIGURE),
                    Cell(),
                ),
                reading.entity,
            )
            for reading in oven_lines(record, self._section.entity, self._desk.now())
        ]
        self.table.set_lines(lines)
        self.table.setVisible(bool(lines))
        self._none.setVisible(not lines)
        judged = next(
            (
                one
                for board in assessment.boards
                for one in board.sections
                if one.entity == self._section.entity
            ),
            None,
        )
        text = verdict(record, judged) if judged is not None else ""
        self.said.setText(text)
        self.said.setVisible(bool(text))

    def add(self) -> None:
        """Keep one weighing; the dialog stays."""
        reader = WeightReader(self._form)
        at = reader.moment("oven_at", self._desk.zone, needed=True)
        weight = reader.weight("oven_weight", WeightUnit.G, needed=True)
        if not reader.ok or at is None or weight is None:
            reader.ask_which(self.add)
            return
        if self._is_doubted(weight):
            return
        fact = self._section.fact
        typed = self._weight.text()

        def kept(_: object) -> None:
            self._at.setModified(False)  # it is kept, and may be left
            if self._weight.text() == typed:  # not the next one, typed meanwhile
                self._weight.clear()

        self._form.send(
            self._desk,
            write,
            OvenWeighing(fact.charge, fact.board, self._section.entity, weight),
            at,
            saying=f"Section {fact.section}, {figures.as_typed(weight)}",
            done=kept,
            stays=True,
        )

    def _is_doubted(self, weight: Weight) -> bool:
        """Whether the form was just told that so little cannot be left of the section, or so much."""
        fact = self._section.fact
        if fact.rejected_because is not None:
            return False
        sister = sister_of(board_of(self._desk.assessment, self._board.entity), self._section.entity)
        start = self._board.fact.start_weight
        piece = f"section {fact.section}"
        cut = CutPiece(piece, fact.wet_weight, weight, start, sister, in_oven=True)
        return self._asked.is_doubted([cut])

    def _take_back(self, entity: object) -> None:
        def given(reason: str) -> None:
            self._desk.do(
                take_back,
                "oven_weighing",
                entity,
                reason,
                saying="Oven weighing taken back",
                failed=lambda error: self._form.refuse_or_tell(self._desk, error),
            )

        ReasonDialog(
            self._form,
            self._appearance,
            "Take back an oven weighing",
            "It stays in the record, struck through.",
            given,
        ).open()
