"""A list of things to write anew, correct or take back: lots, kilns, instruments."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from kilnlog.logbook.writing import take_back
from kilnlog.records.version import Entry
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.register.reason import ReasonDialog

Lines = Callable[[], Sequence[tuple[Entry[Any], str]]]


class PickDialog(Form):
    """Enter or a double click opens the chosen one; Delete asks why and takes it back."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        *,
        title: str,
        said: str,
        lines: Lines,
        edit: Callable[[Entry[Any] | None], None],
        table: str,
        new_text: str,
        can_take_back: bool = True,
        remark: str = "",
    ) -> None:
        super().__init__(parent, appearance, title, said, width=620)
        self._desk, self._lines, self._edit, self._table = desk, lines, edit, table
        self.list = QListWidget()
        self.list.setFont(appearance.sizes.font(Role.BODY))
        self.list.setAccessibleName(title)
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.list.setMinimumHeight(200)
        self.list.itemActivated.connect(self._open)
        if can_take_back:
            delete = QShortcut(QKeySequence(Qt.Key.Key_Delete), self.list)
            delete.setContext(Qt.ShortcutContext.WidgetShortcut)
            delete.activated.connect(self._take_back)
        self.column.addWidget(self.list, 1)
        others = [("Correct…", self._open_current)]
        if can_take_back:
            others.append(("Take back…", self._take_back))
        if remark:
            self.remark(remark)
        self._nothing = self.remark("Nothing is written here yet.")
        self.finish(new_text, lambda: edit(None), *others)
        desk.record_changed.connect(self._follow)
        desk.register_changed.connect(self.renew)
        self.renew()
        first = self.list if self.list.count() or self.main is None else self.main
        first.setFocus()

    def renew(self) -> None:
        """Read the lines anew."""
        row = self.list.currentRow()
        self.list.clear()
        for entry, text in self._lines():
            item = QListWidgetItem(text)
            item.setData(Qt.ItemDataRole.UserRole, entry)
            self.list.addItem(item)
        there = bool(self.list.count())
        if there:
            self.list.setCurrentRow(min(max(row, 0), self.list.count() - 1))
        self._nothing.setVisible(not there)
        for button in self.others:
            button.setEnabled(there)
        if not there and self.main is not None:
            self.main.setFocus()

    def _follow(self, _: object) -> None:
        self.renew()

    def _open(self, item: QListWidgetItem) -> None:
        self._edit(item.data(Qt.ItemDataRole.UserRole))

    def _open_current(self) -> None:
        if (item := self.list.currentItem()) is not None:
            self._open(item)

    def _take_back(self) -> None:
        item = self.list.currentItem()
        if item is None:
            return
        entry: Entry[Any] = item.data(Qt.ItemDataRole.UserRole)
        text = item.text()

        def given(reason: str) -> None:
            self._desk.do(
                take_back,
                self._table,
                entry.entity,
                reason,
                saying=f"{text}: taken back",
                failed=lambda error: self.refuse_or_tell(self._desk, error),
            )

        ReasonDialog(
            self, self.appearance, "Take back", f"{text}. It stays in the record, struck through.", given
        ).open()
