"""Entry fields with their label above and, where something is wrong, the reason below."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen, QWheelEvent
from PySide6.QtWidgets import QComboBox, QCompleter, QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Text, Wrapped
from kilnlog.ui.look.sizes import GAP_2, Role


class TextField(QLineEdit):
    """A line to type in, as high as the text size asks."""

    def __init__(self, appearance: Appearance, placeholder: str = "", role: Role = Role.BODY) -> None:
        super().__init__()
        self._appearance = appearance
        self._role = role
        self.setPlaceholderText(placeholder)
        appearance.changed.connect(self._dress)
        self.textEdited.connect(lambda: set_wrong(self, False))
        self._dress()

    def event(self, event: QEvent) -> bool:
        """Ctrl with a letter is for the menus."""
        if event.type() == QEvent.Type.ShortcutOverride and is_for_window(event):
            event.ignore()
            return False
        return super().event(event)

    def _dress(self) -> None:
        self.setFont(self._appearance.sizes.font(self._role))
        self.setFixedHeight(self._appearance.sizes.field_h)


class ChoiceField(QComboBox):
    """One of a few words. ``value`` is the word's key; what is shown may be longer."""

    def __init__(self, appearance: Appearance, choices: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self._appearance = appearance
        for key, shown in choices:
            self.addItem(shown, key)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(6)  # a long word is cut in the field, and stands in full in its list
        appearance.changed.connect(self._dress)
        self.currentIndexChanged.connect(lambda: set_wrong(self, False))
        self._dress()

    def _dress(self) -> None:
        self.setFont(self._appearance.sizes.font(Role.BODY))
        self.setFixedHeight(self._appearance.sizes.field_h)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The style draws field and word; the open angle at the right is ours."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self._appearance.tokens.colour("ink2"), 1.6))
        x, y = self.width() - 17.0, self.height() / 2
        painter.drawPolyline([QPointF(x - 4, y - 2), QPointF(x, y + 2), QPointF(x + 4, y - 2)])

    def showPopup(self) -> None:
        """Whole words only: Qt measures the list before it has its font, and fills the screen to the edge."""
        super().showPopup()
        view = self.view()
        popup, screen = view.window(), self.screen().availableGeometry()
        row = view.visualRect(view.model().index(max(0, self.currentIndex()), self.modelColumn())).height()
        for _ in range(4):  # the arrows that roll it come and go with its height
            room = view.viewport().height()
            if row <= 0 or room % row == 0:
                return
            edge = popup.height() - room
            height = edge + row * max(1, min(self.count(), (screen.height() - edge) // row))
            top = max(screen.top(), min(popup.y(), screen.bottom() + 1 - height))
            popup.setGeometry(popup.x(), top, popup.width(), height)
            if (layout := popup.layout()) is not None:
                layout.activate()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel rolls the page: a unit or a sensor under the pointer must not change with it."""
        event.ignore()

    @property
    def value(self) -> str:
        """The key of the word chosen."""
        data = self.currentData()
        return data if isinstance(data, str) else ""

    def set_choices(self, choices: Sequence[tuple[str, str]]) -> None:
        """Offer other words; the one chosen stays where it is still among them."""
        chosen = self.value
        self.blockSignals(True)
        self.clear()
        for key, shown in choices:
            self.addItem(shown, key)
        self.set_value(chosen)
        self.blockSignals(False)

    def set_value(self, key: str) -> None:
        """Choose the word of that key; an unknown key leaves the choice."""
        index = self.findData(key)
        if index >= 0:
            self.setCurrentIndex(index)


class OpeningField(ChoiceField):
    """A choice whose last entry opens something else: a dialog in which what is missing is written.

    opened: that entry was clicked, or Enter or Space pressed on it. Going along the entries by the arrows
    opens nothing. ``value`` is never that entry: what was chosen before it stays chosen.
    """

    opened = Signal()

    def __init__(self, appearance: Appearance, choices: Sequence[tuple[str, str]], opens: str) -> None:
        """``opens``: the key of that entry."""
        super().__init__(appearance, choices)
        self._opens = opens
        self._chosen = self.value
        self._by_key = False
        self.currentIndexChanged.connect(self._remember)
        self.activated.connect(lambda _: self._open_if_meant())

    @property
    def value(self) -> str:
        """The key of the word chosen, or of the one before where the opening entry is in hand."""
        data = self.currentData()
        return self._chosen if data == self._opens else data if isinstance(data, str) else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys only go along; Enter and Space open."""
        keys = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)
        if self.currentData() == self._opens and event.key() in keys and not event.modifiers():
            self._open()
            return
        self._by_key = True
        super().keyPressEvent(event)
        self._by_key = False

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Left without opening anything, it shows again what is chosen."""
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason:
            self._show_chosen()

    def _remember(self, _: int) -> None:
        if self.currentData() != self._opens:
            self._chosen = self.value

    def _open_if_meant(self) -> None:
        if self.currentData() == self._opens and not self._by_key:
            self._open()

    def _open(self) -> None:
        self._show_chosen()
        self.opened.emit()

    def _show_chosen(self) -> None:
        if self.currentData() == self._opens:
            self.set_value(self._chosen)


class NotesField(QPlainTextEdit):
    """Several lines; Tab leaves it."""

    def __init__(self, appearance: Appearance, lines: int = 3) -> None:
        super().__init__()
        self._appearance = appearance
        self._lines = lines
        self.setTabChangesFocus(True)
        appearance.changed.connect(self._dress)
        self._dress()

    def _dress(self) -> None:
        self.setFont(self._appearance.sizes.font(Role.BODY))
        self.setFixedHeight(self.fontMetrics().lineSpacing() * self._lines + 16)


def offer_words(field: TextField, words: Iterable[str]) -> None:
    """Offer these words wherever the typed letters occur."""
    completer = QCompleter(list(words))
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    field.setCompleter(completer)


#: With Ctrl, what every field does itself: copy, paste, cut, take all, undo and redo what was typed.
_FIELD_KEYS = frozenset(Qt.Key(ord(letter)) for letter in "CVXAZY")


def is_for_window(event: QEvent) -> bool:
    """Whether a key is a command's: a line of text would take Ctrl E and others for moving its cursor."""
    if not isinstance(event, QKeyEvent) or event.modifiers() != Qt.KeyboardModifier.ControlModifier:
        return False
    return Qt.Key.Key_A <= event.key() <= Qt.Key.Key_Z and event.key() not in _FIELD_KEYS


def is_wrong(field: QWidget) -> bool:
    """Whether what the field holds was refused."""
    return bool(field.property("wrong"))


def set_wrong(field: QWidget, wrong: bool) -> None:
    """Mark a field as refused, or no longer; its text is left as typed."""
    if bool(field.property("wrong")) != wrong:
        field.setProperty("wrong", wrong)
        font = field.font()
        field.style().unpolish(field)
        field.style().polish(field)
        field.setFont(font)  # polishing puts back the one the program began with


class Labelled(QWidget):
    """A field under its label, with a line for what is wrong or what it means."""

    def __init__(self, text: str, field: QWidget, appearance: Appearance, hint: str = "") -> None:
        super().__init__()
        self.field = field
        self.name = text
        self.required = False
        self._refused = False  # the field itself forgets as soon as it is typed in
        self._appearance = appearance
        self._hint = hint
        self._hint_colour = "ink2"
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_2)
        self.title = Text(text, appearance, Role.LABEL, "ink2")
        self.title.setBuddy(field)
        column.addWidget(self.title)
        column.addWidget(field)
        self.reason = Wrapped(hint, appearance, Role.TINY, "ink2")
        self.reason.setVisible(bool(hint))
        self._below: Wrapped | None = None
        column.addWidget(self.reason)
        field.setAccessibleName(text)
        if hint:
            field.setAccessibleDescription(hint)
        if isinstance(field, QLineEdit):
            field.textEdited.connect(self.clear)
        elif isinstance(field, QComboBox):
            field.currentIndexChanged.connect(self.clear)
        elif isinstance(field, QPlainTextEdit):
            field.textChanged.connect(self.clear)

    def require(self, needed: bool = True) -> None:
        """Mark the field as one that has to be filled in, or no longer."""
        self.required = needed
        self.title.setText(f"{self.name} *" if needed else self.name)
        self.field.setAccessibleName(f"{self.name}, has to be filled in" if needed else self.name)

    def refuse_below(self) -> Wrapped:
        """The line for what is wrong, to be put where it has more room than below a narrow field."""
        self._below = Wrapped("", self._appearance, Role.TINY, "act")
        self._below.hide()
        return self._below

    @property
    def shown_reason(self) -> Wrapped:
        """The line that says what is wrong."""
        return self._below or self.reason

    @property
    def wrong(self) -> str:
        """The reason shown, or nothing."""
        return self.shown_reason.text() if self._refused else ""

    def set_hint(self, hint: str, colour: str = "ink2") -> None:
        """Another remark under the field; what is wrong with it is forgotten."""
        self.clear()
        self._hint, self._hint_colour = hint, colour
        self.reason.set_colour(colour)
        self.reason.setText(hint)
        self.reason.setVisible(bool(hint))
        self.field.setAccessibleDescription(hint)

    @property
    def hint(self) -> str:
        """The remark under the field, while nothing is wrong with it."""
        return self._hint

    def refuse(self, reason: str) -> None:
        """Say beside the field why it was not taken."""
        set_wrong(self.field, True)
        self._refused = True
        if self._below is not None and self.name not in reason:
            reason = f"{self.name}: {reason}"  # several fields share that place
        self.shown_reason.set_colour("act")
        self.shown_reason.setText(reason)
        self.shown_reason.show()
        self.field.setAccessibleDescription(reason)

    def clear(self) -> None:
        """Forget what was wrong."""
        if not self._refused:
            return
        self._refused = False
        set_wrong(self.field, False)
        if self._below is not None:
            self._below.setText("")
            self._below.hide()
        self.reason.set_colour(self._hint_colour)
        self.reason.setText(self._hint)
        self.reason.setVisible(bool(self._hint))
        self.field.setAccessibleDescription(self._hint)
