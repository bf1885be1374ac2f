"""The loggers' files that were read in, with how many readings count of each; any can be taken back."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from kilnlog.logbook.logger_files import LoggerFile, file_line, logger_files, take_back_file
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.watching import Watching
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.register.reason import ReasonDialog

TITLE = "Loggers' files read in"
FOLLOWS_NONE = "No file is followed now."


class LoggerFilesDialog(Form):
    """Delete asks why and takes the file in hand back, all its readings at once."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        read: Callable[[], None],
        watching: Watching,
    ) -> None:
        record = desk.record
        super().__init__(
            parent, appearance, TITLE, record.particulars.charge if record is not None else "", width=680
        )
        self._desk, self._whose = desk, record.entity if record is not None else ""
        self.list = QListWidget()
        self.list.setFont(appearance.sizes.font(Role.BODY))
        self.list.setAccessibleName(TITLE)
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.list.setMinimumHeight(200)
        self.list.setWordWrap(True)
        delete = QShortcut(QKeySequence(Qt.Key.Key_Delete), self.list)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        delete.activated.connect(self.take_back)
        self.column.addWidget(self.list, 1)
        self._watching = watching
        self.following = self.remark("")
        self._nothing = self.remark("No logger's file was read in for this charge.")
        self.finish("Read another…", lambda: self._read(read), ("Take back…", self.take_back))
        desk.record_changed.connect(self.renew)  # a method, so that the connection ends with the dialog
        watching.changed.connect(self.tell_following)
        self.renew()
        self.tell_following()
        self.list.setFocus()

    def renew(self, _: object = None) -> None:
        """Read the files anew."""
        row, record = self.list.currentRow(), self._desk.record
        self.list.clear()
        here = record is not None and record.entity == self._whose
        for file in logger_files(record) if record is not None and here else ():
            item = QListWidgetItem(file_line(file, self._desk.now()))
            item.setData(Qt.ItemDataRole.UserRole, file)
            self.list.addItem(item)
        there = bool(self.list.count())
        if there:
            self.list.setCurrentRow(min(max(row, 0), self.list.count() - 1))
        self._nothing.setVisible(not there)
        for button in self.others:
            button.setEnabled(there)

    def tell_following(self) -> None:
        """Which file is followed, how far, and what was set aside of it since."""
        text = self._watching.text
        self.following.setText(f"{text[0].upper()}{text[1:]}." if text else FOLLOWS_NONE)

    def take_back(self) -> None:
        """Ask why, and take it back."""
        item = self.list.currentItem()
        if item is None:
            return
        file: LoggerFile = item.data(Qt.ItemDataRole.UserRole)

        def given(reason: str) -> None:
            self._desk.do(
                take_back_file,
                file.batches,
                reason,
                saying=f"{file.name}, taken back",
                failed=lambda error: self.refuse_or_tell(self._desk, error),
            )

        what = f"{file.name}. All of them stay in the record, struck through, and count no more."
        such_as = "another kiln's logger, wrong clock, wrong unit"
        ReasonDialog(self, self.appearance, "Take a file back", what, given, such_as=such_as).open()

    def _read(self, read: Callable[[], None]) -> None:
        self.accept()
        read()
