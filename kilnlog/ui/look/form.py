"""A page to fill in: fields under their labels, what is wrong beside the field, one main button."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QLayout,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint, MainButton, QuietButton
from kilnlog.ui.look.fields import ChoiceField, Labelled
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.page import Page, page_title, section_title
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_12, GAP_16, Role


class Form(QDialog):
    """A dialog of its own page. ``keep`` is called by the main button; it reads the fields and writes.

    Rows are remembered by the column of the record they fill, so that a refusal by the record, which names
    its column, stands beside the field it is about.
    """

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
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.viewport().setAutoFillBackground(False)
        area.setWidget(content)
        content.setAutoFillBackground(False)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._content, self._area = content, area
        self.page.body.addWidget(area, 1)
        self._wrong = Wrapped("", appearance, Role.BODY, "act")
        self._wrong.setContentsMargins(GAP_12, GAP_4, GAP_12, GAP_4)
        self._wrong.hide()
        self.page.body.addWidget(self._wrong)
        self._buttons = QHBoxLayout()
        self._buttons.setContentsMargins(GAP_12, GAP_12, GAP_12, 0)
        self._buttons.setSpacing(GAP_8)
        self.page.body.addLayout(self._buttons)
        self.main: MainButton | None = None
        self._width = width

    def add(self, column: str, text: str, field: QWidget, hint: str = "") -> Labelled:
        """A field on a line of its own."""
        row = self._labelled(column, text, field, hint)
        self.column.addWidget(row)
        return row

    def pair(self, *fields: tuple[str, str, QWidget] | tuple[str, str, QWidget, str]) -> None:
        """Fields side by side: column, label, field, hint."""
        line = QHBoxLayout()
        line.setSpacing(GAP_16)
        for given in fields:
            column, text, field = given[:3]
            hint = given[3] if len(given) > 3 else ""
            line.addWidget(self._labelled(column, text, field, hint), 1, Qt.AlignmentFlag.AlignTop)
        self.column.addLayout(line)

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
        """One button, for what is only read."""
        self.column.addStretch(1)
        self.main = MainButton("Close", self.appearance, "Esc")
        self.main.clicked.connect(self.accept)
        self._buttons.addStretch(1)
        self._buttons.addWidget(KeyHint("Esc", self.appearance))
        self._buttons.addWidget(self.main)
        self._fit()

    def finish(self, main: str, keep: Callable[[], None], *others: tuple[str, Callable[[], None]]) -> None:
        """The buttons: the main one, others, and the way out; Ctrl Enter is the main one's key."""
        self.column.addStretch(1)
        self.main = MainButton(main, self.appearance, "Ctrl Enter")
        self.main.clicked.connect(keep)
        self._buttons.addWidget(self.main)
        self._buttons.addWidget(KeyHint("Ctrl Enter", self.appearance))
        for text, action in others:
            button = QuietButton(text, self.appearance)
            button.clicked.connect(action)
            self._buttons.addWidget(button)
        self._buttons.addStretch(1)
        leave = QuietButton("Leave", self.appearance, "Esc")
        leave.clicked.connect(self.reject)
        self._buttons.addWidget(leave)
        for key in ("Ctrl+Return", "Ctrl+Enter"):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.activated.connect(keep)
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        """What a field proposes is typed over, not added to."""
        super().showEvent(event)
        first = self.focusWidget()
        if isinstance(first, QLineEdit):
            first.selectAll()

    def _fit(self) -> None:
        """As high as the fields ask, no higher than the screen."""
        factor = self.appearance.sizes.px(Role.BODY) / 15
        wanted = self._content.sizeHint().height() + 190
        screen = self.screen().availableGeometry()
        self.resize(
            min(round(self._width * factor), screen.width() - 40), min(round(wanted), screen.height() - 60)
        )

    def refuse(self, error: KilnlogError) -> None:
        """Say why nothing was kept: beside the field whose column the error names, else above the buttons."""
        row = self.rows.get(str(error.values.get("column", "")))
        if row is not None:
            row.refuse(worded(error).text)
            row.field.setFocus()
        else:
            self.tell(worded(error).text)

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
        row = Labelled(text, field, self.appearance, hint)
        self.rows[column] = row
        if isinstance(field, QLineEdit):
            field.returnPressed.connect(self.focusNextChild)
        return row


def decimal_mark() -> str:
    """What separates decimals where this machine stands."""
    return QLocale().decimalPoint()
