"""Seal: what sealing does, and, once it is done, the short form, the papers, and what can come after."""

from __future__ import annotations

from typing import ClassVar

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.close_out_words import title
from kilnlog.logbook.papers import Paper
from kilnlog.logbook.seals import Seal, seals_of
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.records.version import current_entries
from kilnlog.ui.closing.after_seal import LaterNoteForm, ReopenForm
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.line_keeper import Within
from kilnlog.ui.closing.seal_dialog import LOT_SEALED, SEALED, SealDialog, typed_words
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton, QuietButton
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import scrolling, section_title
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, Role

#: What is offered once it is sealed, in this order, two in a row.
PAPERS = (
    (Paper.QUALITY_RECORD, "Quality record…"),
    (Paper.CUSTOMER_WORKBOOK, "Customer workbook…"),
    (Paper.CHARGE_REPORT, "Charge report…"),
)
SHORT_FORM_IS = (
    "This short form stands on every paper drawn from the seal. Whoever holds one can ask you to verify it: "
    "the sealed text must still give the same letters."
)
BEING_CHECKED = "the seal is being checked…"
NOT_VERIFIED = "Not verified: the record no longer fits this seal. Logbook, Verify tells where."
ALL_THERE = "Nothing is missing."


class SealPage(StepPage):
    """paper_asked(Paper): a paper of what was sealed is wanted."""

    step: ClassVar[Step] = Step.SEAL
    by_lot: ClassVar[bool] = False

    paper_asked = Signal(object)

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self.others: tuple[StepPage, ...] = ()  # where something may stand typed
        self._told_of = ""  # the uid of the closing whose seal is shown
        content = QWidget()
        column = QVBoxLayout(content)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self._before, self._after = self._before_part(), self._after_part()
        column.addWidget(self._before)
        column.addWidget(self._after)
        column.addStretch(1)
        self.add(scrolling(content), 1)
        self.note = QuietButton("Later note…", appearance)
        self.reopen = QuietButton("Reopen…", appearance)
        self.note.clicked.connect(lambda: self._open(LaterNoteForm))
        self.reopen.clicked.connect(lambda: self._open(ReopenForm))
        self.finish(self.note, self.reopen)
        self.seal = MainButton("Close and seal…", appearance)
        self.seal.clicked.connect(self._seal)
        self.buttons.addWidget(self.seal)

    def _before_part(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_12)
        self._does = Wrapped("", self.appearance, Role.BODY, "ink")
        self._missing = Wrapped("", self.appearance, Role.BODY, "look")
        self._typed = Wrapped("", self.appearance, Role.BODY, "act")
        for said in (self._does, self._missing, self._typed):
            column.addWidget(said)
        return part

    def _after_part(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_8)
        self.when = Text("", self.appearance, Role.BODY, "ink2")
        self.short = Text("", self.appearance, Role.BIG_FIGURE, "ink")
        column.addWidget(self.when)
        column.addWidget(self.short)
        column.addWidget(Wrapped(SHORT_FORM_IS, self.appearance, Role.SAID, "ink2"))
        column.addSpacing(GAP_16)
        column.addWidget(section_title("Its papers", self.appearance))
        grid = QGridLayout()
        grid.setSpacing(GAP_8)
        self.papers: dict[Paper, QuietButton] = {}
        for number, (paper, text) in enumerate(PAPERS):
            button = QuietButton(text, self.appearance)
            button.clicked.connect(lambda _=False, paper=paper: self.paper_asked.emit(paper))
            self.papers[paper] = button
            grid.addWidget(button, number // 2, number % 2)
        grid.setColumnStretch(2, 1)
        column.addLayout(grid)
        column.addSpacing(GAP_16)
        self._notes_title = section_title("Later notes", self.appearance)
        self._notes = Wrapped("", self.appearance, Role.BODY, "ink")
        column.addWidget(self._notes_title)
        column.addWidget(self._notes)
        return part

    def renew(self) -> None:
        """What sealing does, or what was sealed."""
        sealed = self.hand.is_sealed
        writable = self.desk.read_only is None
        self._before.setVisible(not sealed)
        self._after.setVisible(sealed)
        self.seal.setVisible(not sealed and self.hand.can_write)
        # A closed charge has to be reopened before a lot of it can be.
        whole_open = self.hand.scope is None or not self.hand.record.is_closed
        self.reopen.setVisible(sealed and writable and whole_open)
        self.note.setVisible(sealed and writable)
        if sealed:
            self._tell_seal()
            return
        self._does.setText(SEALED if self.hand.scope is None else LOT_SEALED)
        missing = [title(one, self.hand.close_out) for one in self.hand.close_out.missing]
        self._missing.setText(f"{'; '.join(missing)}: see at the right." if missing else ALL_THERE)
        self._missing.set_colour("look" if missing else "ink2")
        typed = self.typed_here
        self._typed.setText(typed_words(typed))
        self._typed.setVisible(bool(typed))

    @property
    def typed_here(self) -> tuple[str, ...]:
        """What stands typed of what is closed, and would not be under the seal."""
        return tuple(words for page in self.others for words in page.unkept(self.hand.place))

    def _tell_seal(self) -> None:
        """The notes at once, the seal once it was found as written."""
        lots = {entry.entity: f", lot {entry.fact.lot}" for entry in current_entries(self.hand.record.lot)}
        notes = [
            f"{figures.day_and_time(entry.at, self.desk.now())}"
            f"{lots.get(entry.fact.lot or '', '')}: {entry.fact.text}"
            for entry in current_entries(self.hand.record.later_note)
            if self.hand.scope in (None, entry.fact.lot)
        ]
        self._notes_title.setVisible(bool(notes))
        self._notes.setVisible(bool(notes))
        self._notes.setText("\n".join(notes))
        record, closing = self.hand.record, self.hand.record.closing_of(self.hand.scope)
        if closing is None or closing.version.uid == self._told_of:
            return
        self._told_of = closing.version.uid
        self.when.setText(BEING_CHECKED)
        self.short.setText("")

        def found(seals: tuple[Seal, ...]) -> None:
            seal = next((one for one in seals if one.entry.version.uid == closing.version.uid), None)
            if self._told_of == closing.version.uid:
                self._show_seal(seal)

        def unread(error: KilnlogError) -> None:
            self._told_of = ""
            self.tell(worded(error).text)

        self.desk.run(lambda book: seals_of(book, record), found, unread)

    def _show_seal(self, seal: Seal | None) -> None:
        if seal is None:
            self.when.setText("closed, without figures under its seal")
            return
        when, who = figures.weekday_date_and_time(seal.entry.at), seal.entry.version.entered_by
        again = f", version {seal.version}" if seal.version > 1 else ""
        self.when.setText(f"closed and sealed {when} by {who}{again}" if seal.fits else NOT_VERIFIED)
        self.when.set_colour("ink2" if seal.fits else "act")
        self.short.setText(seal.short_form)
        self.short.setAccessibleName(f"short form of the seal: {seal.short_form}")

    def take_keys(self) -> None:
        """To the seal, or to the first paper."""
        if self.hand.is_sealed:
            self.papers[PAPERS[0][0]].setFocus()
        else:
            (self.seal if self.hand.can_write else self.back).setFocus()

    def _seal(self) -> None:
        self.desk.reassess()  # what is overdue by now counts too
        dialog = SealDialog(self.window(), self.hand, self.appearance, self.typed_here)
        dialog.accepted.connect(lambda place=self.hand.place: self._forget(place))
        dialog.open()

    def _forget(self, place: Within) -> None:
        """The line in hand is gone with the seal: what stood in it was given up by a tick."""
        for page in self.others:
            page.forget(place)

    def _open(self, form: type[LaterNoteForm | ReopenForm]) -> None:
        charge, scope = self.hand.record.entity, self.hand.scope
        form(self.window(), self.desk, self.appearance, charge, scope, self.hand.name).open()
