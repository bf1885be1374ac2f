"""What the Papers menu writes: asked for, written on the worker, shown by the system's own viewer."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.papers import Paper, Written, file_name, write_paper
from kilnlog.logbook.session import Logbook
from kilnlog.records.version import current_entries
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.papers.mill_dialog import MillDialog
from kilnlog.ui.papers.paper_dialog import Asked, PaperDialog

#: Runs work on the worker with a progress line: what it is called, the work, what follows.
Long = Callable[[str, Callable[[Logbook, Any], Any], Callable[[Any], None]], None]

_MENU = (
    (Paper.QUALITY_RECORD, "&Quality record…", "Ctrl+P"),
    (Paper.CUSTOMER_WORKBOOK, "&Customer workbook…", ""),
    (Paper.CHARGE_REPORT, "Charge &report, all owners…", ""),
    (Paper.WEIGH_SHEET, "Weigh s&heet…", ""),
    (Paper.BOARD_LABELS, "Board la&bels…", ""),
)
_OF_BOARDS = (Paper.WEIGH_SHEET, Paper.BOARD_LABELS)


class PaperCommands:
    """The papers of the charge in hand."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance, long: Long) -> None:
        self._parent, self._desk, self._appearance, self._long = parent, desk, appearance, long

    def commands(self) -> tuple[Command, ...]:
        """One for each paper, and the name at their head."""
        papers = tuple(
            Command(MenuName.PAPERS, text, partial(self.ask, paper), key, partial(self._can, paper))
            for paper, text, key in _MENU
        )
        name = Command(
            MenuName.PAPERS,
            "&Name on the papers…",
            lambda: MillDialog(self._parent, self._desk, self._appearance).open(),
            possible=lambda: self._desk.is_open,
            writes=True,
        )
        return (*papers, name)

    def ask(self, paper: Paper) -> None:
        """Ask what it is to hold, then where it goes, then write it."""
        record = self._desk.record
        if record is None:
            return
        charge, number = record.entity, record.particulars.charge

        def asked(answer: Asked) -> None:
            self._write(charge, number, answer)

        PaperDialog(self._parent, self._appearance, record, paper, asked).open()

    def _can(self, paper: Paper) -> bool:
        record = self._desk.record
        if record is None:
            return False
        lines = record.board if paper in _OF_BOARDS else record.lot
        return next(current_entries(lines), None) is not None or paper is Paper.CHARGE_REPORT

    def _write(self, charge: str, number: str, asked: Asked) -> None:
        paper = asked.paper
        folder = self._desk.path.parent if self._desk.path is not None else Path.home()
        named = folder / file_name(paper, number, asked.lot, asked.owner)
        kind = "Workbooks (*.xlsx)" if paper is Paper.CUSTOMER_WORKBOOK else "PDF (*.pdf)"
        name, _ = QFileDialog.getSaveFileName(self._parent, f"Write the {paper.value}", str(named), kind)
        if not name:
            return
        to = Path(name) if Path(name).suffix.lower() == named.suffix else Path(f"{name}{named.suffix}")

        def work(book: Logbook, _: Any) -> Written:
            return write_paper(
                book, paper, charge, to, lot=asked.lot, owner=asked.owner, options=asked.options
            )

        def done(written: Written) -> None:
            self._desk.saved.emit(_said(written))
            if asked.opens:
                QDesktopServices.openUrl(QUrl.fromLocalFile(str(written.path)))

        self._long(f"Writing {to.name}", work, done)


def _said(written: Written) -> str:
    pages = f", {figures.count(written.pages, 'page')}" if written.pages is not None else ""
    seal = f", seal {written.short_form}" if written.short_form is not None else ""
    lost = f"; no face has {' '.join(written.replaced)}" if written.replaced else ""
    return f"{written.path.name} written{pages}{seal}{lost}"
