"""What somebody typed or chose in a form since it was shown, so that it is not lost by one key."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QPlainTextEdit, QTableWidget, QWidget

NOT_KEPT = "Typed and not kept. Esc once more leaves without keeping it."

State = dict[QWidget, object]


class TypedByHand:
    """Compares the fields under one widget with what they proposed; what the program fills in is none."""

    def __init__(self, content: QWidget) -> None:
        self._content = content
        self._proposed: State = {}
        self._chosen: set[QWidget] = set()
        self._warned: State = {}

    def begin(self) -> None:
        """What stands there now was proposed, not typed."""
        for field in self._fields():
            if field in self._proposed:
                continue  # shown again
            self._proposed[field] = _value(field)
            if isinstance(field, QComboBox):
                field.activated.connect(lambda _, field=field: self._chosen.add(field))
            elif isinstance(field, QCheckBox):
                field.clicked.connect(lambda _, field=field: self._chosen.add(field))

    def proposed(self, field: QWidget) -> object:
        """What stood in that field when the form was shown; None where nothing is known of it."""
        return self._proposed.get(field)

    def may_leave(self) -> bool:
        """Whether nothing typed would be lost, or it was warned of already as it stands."""
        typed = {
            field: _value(field)
            for field in self._fields()
            if self._is_by_hand(field) and _value(field) != self._proposed.get(field, "")
        }
        if not typed or typed == self._warned:
            return True
        self._warned = typed
        return False

    def _is_by_hand(self, field: QWidget) -> bool:
        if isinstance(field, QLineEdit):
            return field.isModified()
        if isinstance(field, QPlainTextEdit):
            return field.document().isModified()
        return isinstance(field, QTableWidget) or field in self._chosen

    def _fields(self) -> list[QWidget]:
        kinds = (QLineEdit, QPlainTextEdit, QComboBox, QCheckBox, QTableWidget)
        found: list[QWidget] = []
        for kind in kinds:
            found += self._content.findChildren(kind)
        tables = [field for field in found if isinstance(field, QTableWidget)]
        return [field for field in found if not any(table.isAncestorOf(field) for table in tables)]


def _value(field: QWidget) -> object:
    if isinstance(field, QLineEdit):
        return field.text().strip()
    if isinstance(field, QPlainTextEdit):
        return field.toPlainText().strip()
    if isinstance(field, QComboBox):
        return field.currentIndex()
    if isinstance(field, QCheckBox):
        return field.isChecked()
    if isinstance(field, QTableWidget):
        cells = (
            (row, column, item.text())
            for row in range(field.rowCount())
            for column in range(field.columnCount())
            if (item := field.item(row, column)) is not None and item.text()
        )
        return tuple(cells)
    return None
