"""Commands about files: open, new, bring in, hand out, verify, back up. All of it runs on the worker."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QElapsedTimer
from PySide6.QtWidgets import QFileDialog

from kilnlog.logbook.backing_up import backup
from kilnlog.logbook.clock import machine_clock
from kilnlog.logbook.sample_folder import temporary_folder
from kilnlog.logbook.seal_words import unfit_line
from kilnlog.logbook.seals import all_seals
from kilnlog.logbook.session import Clock, Logbook, new_logbook, open_logbook
from kilnlog.logbook.wording import worded_misfit
from kilnlog.records.errors import KilnlogError
from kilnlog.records.owner_name import distinct_owners
from kilnlog.records.version import current_entries
from kilnlog.ui.operations import Progress
from kilnlog.ui.register.owner_dialog import OwnerDialog, file_name_of

if TYPE_CHECKING:
    from kilnlog.ui.window import MainWindow

LOGBOOKS = "Logbooks (*.kilnlog);;All files (*)"
ENDING = ".kilnlog"
SHOWN_AFTER_MS = 500  # a progress line for less than this only flickers


class FileCommands:
    """What the Logbook and Papers menus do with files."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._desk = window.desk
        self.samples: list[Path] = []  # folders made for a copy of the sample: they go with the program

    def is_open(self) -> bool:
        """Whether a logbook is in hand."""
        return self._desk.is_open

    def open_path(self, path: Path, clock: Clock = machine_clock) -> None:
        """Open the logbook at ``path`` in place of the one in hand; a refusal is told across the window."""
        if self._desk.path is not None and path.resolve() == self._desk.path.resolve():
            self._desk.reread()  # opened a second time it would be held off by its own lock
            self._window.foot.say(f"{path.name} is open already, and was read anew", kept=False)
            return
        self._open(lambda: open_logbook(path, clock=clock), path if clock is machine_clock else None)

    def open(self) -> None:
        """Ask for a logbook and open it."""
        name, _ = QFileDialog.getOpenFileName(self._window, "Open logbook", self._beside(), LOGBOOKS)
        if name:
            self.open_path(Path(name))

    def new(self) -> None:
        """Ask for a name and make an empty logbook there."""
        name, _ = QFileDialog.getSaveFileName(self._window, "New logbook", self._beside(), LOGBOOKS)
        if name:
            path = Path(name)
            path = path if path.suffix else path.with_suffix(ENDING)
            self._open(lambda: new_logbook(path), path)

    def open_sample(self) -> None:
        """Open a fresh copy of the sample logbook; nothing typed there touches the original."""
        from kilnlog.logbook.demo import (  # noqa: PLC0415  # loads the readers, wanted here only
            clock_from,
            fresh_sample,
            sample_now,
        )

        def make() -> Logbook:
            folder = temporary_folder()
            self.samples.append(folder)
            book = open_logbook(fresh_sample(folder))
            return replace(book, clock=clock_from(sample_now(book), machine_clock))

        self._open(make, None)

    def _open(self, make: Callable[[], Logbook], path: Path | None) -> None:
        if not self._window.may_go():
            return

        def opened(book: Logbook) -> None:
            self._desk.opened(book)
            self._window.foot.say(f"{book.file.path.name} is open", kept=False)
            self._window.file_opened(path)

        self._desk.operations.open(make, opened, self._window.tell_refusal)

    def import_folder(self) -> None:
        """Ask for a folder of CSV files and read it in."""
        name = QFileDialog.getExistingDirectory(self._window, "Folder of CSV files", self._beside())
        if name:
            self._import(Path(name))

    def import_workbook(self) -> None:
        """Ask for a workbook and read it in."""
        name, _ = QFileDialog.getOpenFileName(
            self._window, "Workbook to read in", self._beside(), "Workbooks (*.xlsx)"
        )
        if name:
            self._import(Path(name))

    def _import(self, source: Path) -> None:
        from kilnlog.logbook.importing import import_into  # noqa: PLC0415  # loads the workbook reader

        def work(book: Logbook, progress: Progress) -> Any:
            return import_into(book, source, progress.report, progress.cancelled)

        def done(_: Any) -> None:
            self._desk.reread()
            self._say_kept(f"{source.name} read in")

        self.run_long(f"Reading {source.name}", work, done)

    def export_charge(self) -> None:
        """Write the workbook of the charge in hand."""
        record = self._desk.record
        if record is not None:
            self._export(record.entity, record.particulars.charge)

    def owners(self) -> tuple[str, ...]:
        """Whose lumber lies in the charge in hand, those that are named."""
        record = self._desk.record
        return distinct_owners(lot.fact.owner for lot in current_entries(record.lot)) if record else ()

    def export_for_owner(self) -> None:
        """Ask for one owner of the charge in hand and write the workbook that holds nothing of the others."""
        record, owners = self._desk.record, self.owners()
        if record is None or not owners:
            return
        charge, number = record.entity, record.particulars.charge

        def chosen(owner: str) -> None:
            self._export(charge, f"{number} {file_name_of(owner)}", owner)

        OwnerDialog(self._window, self._window.appearance, number, owners, chosen).open()

    def export_all(self) -> None:
        """Write the workbook of the whole logbook."""
        self._export(None, "logbook")

    def _export(self, charge: str | None, named: str, owner: str | None = None) -> None:
        name, _ = QFileDialog.getSaveFileName(
            self._window, "Workbook", str(Path(self._beside()) / f"{named}.xlsx"), "Workbooks (*.xlsx)"
        )
        if not name:
            return
        from kilnlog.logbook.exporting import export  # noqa: PLC0415  # loads the workbook writer

        to = Path(name)
        to = to if to.suffix else to.with_suffix(".xlsx")

        def work(book: Logbook, progress: Progress) -> Any:
            return export(book, to, charge, owner, progress.report, progress.cancelled)

        self.run_long(f"Writing {to.name}", work, lambda _: self._say_kept(f"{to.name} written"))

    def verify(self) -> None:
        """Check every row against the ledger and say what was found."""

        def work(book: Logbook, progress: Progress) -> Any:
            head = book.file.ledger_head()  # first: what others write meanwhile is not vouched for
            unfit = [worded_misfit(misfit) for misfit in book.file.verify(head)[:12]]
            return unfit + [unfit_line(seal) for seal in all_seals(book) if not seal.fits], head

        def done(found: Any) -> None:
            unfit, head = found
            if unfit:
                self._window.refusal.tell("\n".join(unfit[:12]))
            else:
                self._window.foot.say(
                    f"All {head.number} ledger rows fit; head {head.hash_hex[:12]}…", kept=True
                )

        self.run_long("Verifying", work, done)

    def back_up(self) -> None:
        """Ask for a folder and put a checked copy there."""
        name = QFileDialog.getExistingDirectory(self._window, "Folder for the backup", self._beside())
        if not name:
            return

        def work(book: Logbook, progress: Progress) -> Any:
            return backup(book, Path(name))

        self.run_long("Backing up", work, lambda made: self._say_kept(f"Backup {Path(made).name}"))

    def run_long(
        self, saying: str, work: Callable[[Logbook, Progress], Any], done: Callable[[Any], None]
    ) -> None:
        """Run on the worker; after half a second show how far it is, with the button that stops it."""
        foot = self._window.foot
        clock = QElapsedTimer()
        clock.start()

        def told(fraction: float) -> None:
            if clock.elapsed() >= SHOWN_AFTER_MS:
                foot.progress(saying, fraction, progress.cancel)

        def ended(outcome: Any) -> None:
            foot.end_progress()
            done(outcome)

        def failed(error: KilnlogError) -> None:
            foot.end_progress()
            foot.say("", kept=False)
            self._window.tell_refusal(error)

        progress = self._desk.run_long(work, told, ended, failed)

    def _say_kept(self, text: str) -> None:
        self._window.foot.say(f"{text}, {self._desk.now().local:%H:%M:%S}", kept=True)

    def _beside(self) -> str:
        path = self._desk.path
        return str(path.parent if path is not None else Path.home())
