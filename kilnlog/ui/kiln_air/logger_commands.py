"""The commands about loggers' files: read one in, follow one, stop following."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.logger_dialog import LoggerDialog
from kilnlog.ui.kiln_air.logger_files_dialog import LoggerFilesDialog
from kilnlog.ui.kiln_air.watching import Watching
from kilnlog.ui.look.appearance import Appearance

FILES = "Loggers' files (*.csv *.txt *.tsv *.log *.dat *.asc);;All files (*)"


class LoggerCommands:
    """What the Air menu does with loggers' files. ``watching`` tells what is followed."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        self._parent, self._desk, self._appearance = parent, desk, appearance
        self._folder: Path | None = None
        self.watching = Watching(desk, parent)

    def commands(self) -> tuple[Command, ...]:
        """The commands, in order."""
        air = MenuName.AIR
        return (
            Command(
                air,
                "Read a &logger's file…",
                self.read_file,
                possible=self._takes_rows,
                writes=True,
                begins_group=True,
            ),
            Command(
                air, "&Follow a logger's file…", self.follow_file, possible=self._takes_rows, writes=True
            ),
            Command(air, "Loggers' files read &in…", self.show_files, possible=self._takes_rows, writes=True),
            Command(
                air,
                "Stop follo&wing",
                self.watching.stop,
                possible=lambda: self.watching.is_following,
                writes=True,
            ),
        )

    def _takes_rows(self) -> bool:
        return self._desk.can_write

    def read_file(self) -> None:
        """Ask for a file and show what it would give."""
        self._ask("Logger's file to read", to_follow=False)

    def follow_file(self) -> None:
        """Ask for a file that a logger still writes, and show what it would give."""
        self._ask("Logger's file to follow", to_follow=True)

    def show_files(self) -> None:
        """What was read in, to be taken back where it was wrong."""
        if self._takes_rows():
            window = self._parent.window()
            LoggerFilesDialog(window, self._desk, self._appearance, self.read_file, self.watching).open()

    def _ask(self, title: str, *, to_follow: bool) -> None:
        if not self._takes_rows():
            return
        name, _ = QFileDialog.getOpenFileName(self._parent.window(), title, self._beside(), FILES)
        if name:
            self._folder = Path(name).parent
            self.show(Path(name), to_follow=to_follow)

    def show(self, source: Path, *, to_follow: bool = False) -> None:
        """Open the page on that file, for the charge in hand."""
        record = self._desk.record
        if record is not None and self._takes_rows():
            LoggerDialog(
                self._parent.window(),
                self._desk,
                self._appearance,
                record,
                source,
                self.watching.follow,
                to_follow=to_follow,
            ).open()

    def _beside(self) -> str:
        path = self._desk.path
        return str(self._folder or (path.parent if path is not None else Path.home()))
