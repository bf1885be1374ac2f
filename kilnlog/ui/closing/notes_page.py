"""Notes: the charge's own remarks, kept by Ctrl Enter."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from PySide6.QtGui import QKeySequence, QShortcut

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.writing import change
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.line_keeper import Within, is_within
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import NotesField
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.sizes import GAP_8, Role

WHAT_FOR = (
    "What somebody who reads this next year should know: what went well, what you would do otherwise. Notes "
    "are the charge's, and stand on no page of a lot that leaves by itself."
)
_KEYS = ("Ctrl+Return", "Ctrl+Enter")


class NotesPage(StepPage):
    """What is typed and not kept stays with its charge."""

    step: ClassVar[Step] = Step.NOTES
    by_lot: ClassVar[bool] = False

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(desk, hand, appearance)
        self._typed: dict[tuple[str, str], tuple[str, str]] = {}  # by logbook and charge: number, text
        self._shown: tuple[str, str] | None = None
        self.add(Wrapped(WHAT_FOR, appearance, Role.SAID, "ink2"))
        self.field = NotesField(appearance, 8)
        self.field.setAccessibleName("Notes of the charge")
        self.field.textChanged.connect(self._edited)
        self.body.addSpacing(GAP_8)
        self.add(self.field)
        self.body.addStretch(1)
        self.keep_button = QuietButton("Keep", appearance, "Ctrl Enter")
        self.keep_button.clicked.connect(self.keep)
        self.finish(self.keep_button)
        for key in _KEYS:
            QShortcut(QKeySequence(key), self.field, self.keep)

    @property
    def _here(self) -> tuple[str, str]:
        return str(self.desk.path), self.hand.record.entity

    def renew(self) -> None:
        """The notes as kept, or as they stand typed."""
        here, kept = self._here, self.hand.record.particulars.notes or ""
        text = self._typed[here][1] if here in self._typed else kept
        if here != self._shown or text != self.field.toPlainText():
            self._shown = here
            self.field.blockSignals(True)
            self.field.setPlainText(text)
            self.field.blockSignals(False)
        self.field.setReadOnly(not self.hand.can_write)
        self._offer()

    def _offer(self) -> None:
        self.keep_button.setVisible(self.hand.can_write and self._here in self._typed)

    def _edited(self) -> None:
        text, kept = self.field.toPlainText(), self.hand.record.particulars.notes or ""
        if text.strip() == kept.strip():
            self._typed.pop(self._here, None)
        else:
            self._typed[self._here] = (self.hand.record.particulars.charge, text)
        self._offer()

    def keep(self) -> None:
        """Keep the notes as they stand."""
        here = self._here
        if here not in self._typed or not self.hand.can_write:
            return
        text = self._typed[here][1]
        record = self.hand.record
        fact = replace(record.particulars, notes=text.strip() or None)

        def kept(_: Changes) -> None:
            if here in self._typed and self._typed[here][1] == text:  # nothing was typed meanwhile
                del self._typed[here]
            if self.hand.is_going and self.isVisible():
                self.renew()

        self.write(change, "charge", record.entity, fact, self.desk.now(), None, saying="Notes", done=kept)

    def take_keys(self) -> None:
        """To the notes."""
        (self.field if self.hand.can_write else self.next).setFocus()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Ctrl Enter keeps."""
        return (("Ctrl Enter", "keep"),) if self.hand.can_write else ()

    def unkept(self, within: Within = ()) -> tuple[str, ...]:
        """Notes typed and not kept, by charge."""
        return tuple(
            f"notes of charge {number}" for key, (number, _) in self._typed.items() if is_within(key, within)
        )

    def forget(self, within: Within) -> None:
        """Give up notes typed there."""
        self._typed = {key: typed for key, typed in self._typed.items() if not is_within(key, within)}
