"""A page to fill in: fields under their labels, what is wrong beside the field, one main button."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QLocale, Qt, QTimer
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QDialog,
    QHBoxLayout,
    QLayout,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from kilnlog.logbook.changes import Changes
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint, MainButton, QuietButton
from kilnlog.ui.look.fields import ChoiceField, Labelled
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import Page, page_title, scrolling, section_title
from kilnlog.ui.look.sizes import GAP_2, GAP_4, GAP_8, GAP_12, GAP_16, Role
from kilnlog.ui.look.typed_by_hand import NOT_KEPT, TypedByHand

if TYPE_CHECKING:
    from kilnlog.ui.desk import Desk  # only its name: what this folder draws does not rest on the desk

BEING_KEPT = "being kept…"
NEEDED = "* has to be filled in"


class Form(QDialog):
    """A dialog of its own page. ``keep`` is called by the main button; it reads the fields and writes.

    It writes by ``send``: what is on its way is waited for, so that a key pressed twice writes once. It may
    be left meanwhile; what was sent is kept all the same, and a refusal is then told across the window.

    Rows are remembered by the column of the record they fill, so that a refusal by the record, which names
    its column, stands beside the field it is about.
    """

    leave: QuietButton | None = None
    _only_shows = False

    def __init__(
        self, parent: QWidget | None, appearance: Appearance, title: str, said: str = "", width: int = 520
    ) -> None:
        super().__init__(parent)
        self.appearance = appearance
        self.rows: dict[str, Labelled] = {}
        self.setWindowTitle(title)
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(GAP_12, GAP_12, GAP_12, GAP_12)
        self.page = Page(appearance)
        outer.addWidget(self.page)
        head = QHBoxLayout()
        head.setContentsMargins(GAP_12, GAP_8, GAP_12, GAP_8)
        self.title = page_title(title, appearance)
        head.addWidget(self.title)
        head.addStretch(1)
        self.said = Text(said, appearance, Role.SAID, "ink2")
        head.addWidget(self.said)
        self.page.body.addLayout(head)
        content = QWidget()
        self.column = QVBoxLayout(content)
        self.column.setContentsMargins(GAP_12, 0, GAP_12, GAP_8)
        self.column.setSpacing(GAP_8)
        self._content, self._area = content, scrolling(content)
        self.by_hand = TypedByHand(content)
        self.page.body.addWidget(self._area, 1)
        self._wrong = Wrapped("", appearance, Role.BODY, "act")
        self._wrong.setContentsMargins(GAP_12, GAP_4, GAP_12, GAP_4)
        self._wrong.hide()
        self.page.body.addWidget(self._wrong)
        self._buttons = QHBoxLayout()
        self._buttons.setContentsMargins(GAP_12, GAP_12, GAP_12, 0)
        self._buttons.setSpacing(GAP_8)
        self.page.body.addLayout(self._buttons)
        self.main: MainButton | None = None
        self.others: list[QuietButton] = []
        self._width = width
        self._senders: list[QAbstractButton] = []
        self._resting: list[QAbstractButton] = []
        self._keeping = False
        self._left = False
        self._said_before = said
        self._focus_before: QWidget | None = None
        self.finished.connect(self._leave)

    def add(self, column: str, text: str, field: QWidget, hint: str = "") -> Labelled:
        """A field on a line of its own."""
        row = self._labelled(column, text, field, hint)
        self.column.addWidget(row)
        return row

    def pair(self, *fields: tuple[str, str, QWidget] | tuple[str, str, QWidget, str]) -> None:
        """Fields side by side: column, label, field, hint."""
        self.column.addLayout(self.side_by_side(*fields))

    def side_by_side(self, *fields: tuple[str, str, QWidget] | tuple[str, str, QWidget, str]) -> QLayout:
        """The same, to be put anywhere. What is wrong with a field has the whole width below them."""
        both, line = QVBoxLayout(), QHBoxLayout()
        both.setSpacing(GAP_2)
        line.setSpacing(GAP_16)
        both.addLayout(line)
        for given in fields:
            column, text, field = given[:3]
            hint = given[3] if len(given) > 3 else ""
            row = self._labelled(column, text, field, hint)
            line.addWidget(row, 1, Qt.AlignmentFlag.AlignTop)
            both.addWidget(row.refuse_below())
        return both

    def require(self, *columns: str) -> None:
        """Mark the fields that have to be filled in."""
        for column in columns:
            self.rows[column].require()

    def section(self, text: str) -> None:
        """A section's title."""
        self.column.addSpacing(GAP_4)
        self.column.addWidget(section_title(text, self.appearance))

    def remark(self, text: str) -> Wrapped:
        """A remark in the page's italics."""
        said = Wrapped(text, self.appearance, Role.SAID, "ink2")
        self.column.addWidget(said)
        return said

    def layout_row(self, layout: QLayout) -> None:
        """Anything else."""
        self.column.addLayout(layout)

    def close_only(self) -> None:
        """One button, for what is only read: nothing chosen in it is lost by leaving."""
        self._only_shows = True
        self.column.addStretch(1)
        self.main = MainButton("Close", self.appearance, "Esc")
        self.main.clicked.connect(self.accept)
        self._buttons.addStretch(1)
        self._buttons.addWidget(KeyHint("Esc", self.appearance))
        self._buttons.addWidget(self.main)
        self._fit()

    def finish(self, main: str, keep: Callable[[], None], *others: tuple[str, Callable[[], None]]) -> None:
        """The buttons: the main one, others, and the way out; Ctrl Enter is the main one's key."""
        if any(row.required for row in self.rows.values()):
            self.column.addWidget(Wrapped(NEEDED, self.appearance, Role.TINY, "ink2"))
        self.column.addStretch(1)
        self.main = MainButton(main, self.appearance, "Ctrl Enter")
        self.sends(self.main, keep)
        self._buttons.addWidget(self.main)
        self._buttons.addWidget(KeyHint("Ctrl Enter", self.appearance))
        for text, action in others:
            button = QuietButton(text, self.appearance)
            self.sends(button, action)
            self.others.append(button)
            self._buttons.addWidget(button)
        self._buttons.addStretch(1)
        self.leave = QuietButton("Leave", self.appearance, "Esc")
        self.leave.clicked.connect(self.reject)
        self._buttons.addWidget(self.leave)
        for key in ("Ctrl+Return", "Ctrl+Enter"):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(lambda: self._unless_busy(keep))
        self._fit()

    def sends(self, button: QAbstractButton, action: Callable[[], None]) -> None:
        """Have a button do something, and rest while something is being kept."""
        button.clicked.connect(lambda _=False: self._unless_busy(action))
        self._senders.append(button)

    def _unless_busy(self, action: Callable[[], None]) -> None:
        if self.is_here and not self._keeping:
            action()

    @property
    def is_here(self) -> bool:
        """Whether the form is still open: an answer may come after it was left, or after its window went."""
        return not self._left and isValid(self)

    @property
    def is_keeping(self) -> bool:
        """Whether something it sent has not been answered yet."""
        return self._keeping

    def send(
        self,
        desk: Desk,
        verb: Callable[..., Changes],
        *arguments: Any,
        saying: str | None = None,
        done: Callable[[Changes], None] | None = None,
        stays: bool = False,
    ) -> None:
        """Have the desk write, and close once it is kept, or call ``done``; nothing while it is busy.

        ``stays``: the form does not close by it, so the next thing can be typed meanwhile.
        """
        if self._keeping:
            return
        kept, not_kept = self.hold(desk, done or (lambda _: self.accept()))
        if not stays and self.is_here:
            self._content.setEnabled(False)  # what was typed over it now would be dropped as the form closes
        desk.do(verb, *arguments, saying=saying, done=kept, failed=not_kept)

    def hold(
        self,
        desk: Desk,
        done: Callable[[Any], None],
        left: Callable[[Any], None] | None = None,
    ) -> tuple[Callable[[Any], None], Callable[[KilnlogError], None]]:
        """Take nothing more until one of the two answers is called: it is done, or it is refused.

        ``left`` is called in place of ``done`` where the form was left meanwhile.
        """
        self._rest(True)

        def answered(outcome: Any) -> None:
            self._rest(False)
            if self.is_here:
                done(outcome)
            elif left is not None:
                left(outcome)

        def refused(error: KilnlogError) -> None:
            self._rest(False)
            self.refuse_or_tell(desk, error)

        return answered, refused

    def refuse_or_tell(self, desk: Desk, error: KilnlogError) -> None:
        """Refuse it here, or across the window where the form was left meanwhile."""
        if self.is_here:
            self.refuse(error)
        else:
            desk.refused.emit(error)

    def _rest(self, keeping: bool) -> None:
        self._keeping = keeping
        if not self.is_here:
            return
        if keeping:
            self._said_before, self._focus_before = self.said.text(), self.focusWidget()
            self._resting = [button for button in self._senders if button.isEnabled()]
        for button in self._resting:
            button.setEnabled(not keeping)
        if not keeping:
            self._content.setEnabled(True)
        self.said.setText(BEING_KEPT if keeping else self._said_before)
        if not keeping and self._focus_before is not None and isValid(self._focus_before):
            self._focus_before.setFocus()  # at rest it has lost it

    def _leave(self, _: int) -> None:
        self._left = True

    def showEvent(self, event: QShowEvent) -> None:
        """What a field proposes is typed over, not added to."""
        super().showEvent(event)
        self.by_hand.begin()
        if self.focusWidget() is None:
            fields = (row.field for row in self.rows.values() if row.field.isEnabled())
            if (field := next(fields, None)) is not None:
                field.setFocus()
        first = self.focusWidget()
        if isinstance(first, QLineEdit):
            first.selectAll()

    def reject(self) -> None:
        """Leave; where something typed by hand would be lost, say so first. What is being kept is none."""
        if self._only_shows or not self._content.isEnabled() or self.by_hand.may_leave():
            super().reject()
        else:
            self.tell(NOT_KEPT)

    def _fit(self) -> None:
        """As high as the fields ask, no higher than the screen."""
        factor = self.appearance.sizes.px(Role.BODY) / 15
        wanted = self._content.sizeHint().height() + 190
        screen = self.screen().availableGeometry()
        self.resize(
            min(round(self._width * factor), screen.width() - 40), min(round(wanted), screen.height() - 60)
        )

    def refuse(self, error: KilnlogError) -> None:
        """Say why nothing was kept: beside the field whose column the error names, else above the buttons.

        A name that is taken is about the field that names such a thing.
        """
        about = "table" if error.code == "name-taken" else "column"
        row = self.rows.get(str(error.values.get(about, "")))
        if row is not None:
            row.refuse(worded(error).text)
            self.go_to(row)
        else:
            self.tell(worded(error).text)

    def go_to(self, row: Labelled) -> None:
        """Put the cursor into a field, and what is wrong with it into sight."""
        row.field.setFocus()
        # Once the reason has found its height; a form left meanwhile takes the timer with it.
        QTimer.singleShot(0, self, lambda: self._area.ensureWidgetVisible(row.shown_reason, 0, GAP_16))

    def tell(self, text: str) -> None:
        """A sentence above the buttons; nothing takes it away."""
        self._wrong.setText(text)
        self._wrong.setVisible(bool(text))

    @property
    def told(self) -> str:
        """What stands above the buttons."""
        return "" if self._wrong.isHidden() else self._wrong.text()

    def set_text(self, column: str, text: str) -> None:
        """Put a text into the field of that column."""
        field = self.rows[column].field
        if isinstance(field, QLineEdit):
            field.setText(text)
        elif isinstance(field, QPlainTextEdit):
            field.setPlainText(text)
        else:
            raise TypeError(column)

    def set_choice(self, column: str, key: str) -> None:
        """Choose a word in the field of that column."""
        field = self.rows[column].field
        if not isinstance(field, ChoiceField):
            raise TypeError(column)
        field.set_value(key)

    def _labelled(self, column: str, text: str, field: QWidget, hint: str) -> Labelled:
        row = self.rows[column] = Labelled(text, field, self.appearance, hint)
        if isinstance(field, QLineEdit):
            field.returnPressed.connect(self.focusNextChild)
        return row


def decimal_mark() -> str:
    """What separates decimals where this machine stands."""
    return QLocale().decimalPoint()
