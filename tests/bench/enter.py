"""From Enter on a weight to the painted answer, less a bare commit in the same run."""

from __future__ import annotations

import shutil
import sqlite3
import sys
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from PySide6.QtCore import QCoreApplication, QEvent, QEventLoop, QObject, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.logbook.demo import sample_now
from kilnlog.logbook.session import open_logbook
from kilnlog.reference.tables import load
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations
from kilnlog.ui.running import settle
from kilnlog.ui.views import BOARDS
from kilnlog.ui.weighing_round.typed import TypedState
from kilnlog.ui.window import MainWindow
from tests.bench.measured import Measured, percentile

CHARGE = "2026-15"  # twelve boards
ROUNDS = 26
HOURS_APART = 3  # more than two: another round
BAR_MS = 16.7  # one frame at 60 Hz
PATIENCE_S = 20.0
WOKEN_EVERY_MS = 200


class Painted(QObject):
    """Tells when a widget was painted after it was armed."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self._mark = QEvent.Type(QEvent.registerEventType())
        self._armed = False
        self.at: float | None = None
        widget.installEventFilter(self)

    def arm(self) -> None:
        """The next paint counts."""
        self._armed, self.at = True, None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self._armed and event.type() == QEvent.Type.Paint:
            self._armed = False
            QCoreApplication.postEvent(self, QEvent(self._mark), Qt.EventPriority.HighEventPriority.value)
        return False

    def customEvent(self, event: QEvent) -> None:
        if event.type() == self._mark:
            self.at = time.perf_counter()


class BareCommits:
    """One row a transaction, kept as safely as the logbook keeps it, and nothing else."""

    def __init__(self, path: Path) -> None:
        self._file = sqlite3.connect(path, isolation_level=None)
        for setting in ("journal_mode = TRUNCATE", "synchronous = EXTRA"):
            self._file.execute(f"PRAGMA {setting}")
        self._file.execute(
            "CREATE TABLE weighing (uid TEXT PRIMARY KEY, board TEXT, grams REAL, at TEXT) STRICT"
        )

    def one(self, number: int) -> float:
        """Milliseconds for one."""
        began = time.perf_counter()
        self._file.execute("BEGIN IMMEDIATE")
        self._file.execute(
            "INSERT INTO weighing VALUES (?, '5', 2337.0, '2026-11-25T12:44:00Z')", (str(number),)
        )
        self._file.execute("COMMIT")
        return (time.perf_counter() - began) * 1000

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()


class Clock:
    """A clock that stands still until it is moved on."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def measure(sample: Path, folder: Path) -> list[Measured]:
    """Type round after round of one charge in the whole window; after every Enter one bare commit."""
    own = folder / "entering.kilnlog"
    shutil.copy(sample, own)
    book = open_logbook(own)
    clock = Clock(sample_now(book).utc)
    entity = book.charge_numbered(CHARGE).entity
    book.close()
    app = QApplication(sys.argv[:1])
    appearance = Appearance("light", "regular")
    appearance.apply(app)
    operations = Operations()
    desk = Desk(operations, appearance, load(), clock, "UTC")
    window = MainWindow(desk, appearance)
    window.resize(1366, 768)
    commits = BareCommits(folder / "bare.sqlite")
    try:
        both = _type_rounds(window, own, entity, clock, commits)
    finally:
        window.close()
        window.deleteLater()
        operations.close()
        commits.close()
    lessened = [enter - commit for enter, commit in both]
    figures = "/".join(f"{percentile(lessened, share):.1f}" for share in (0.5, 0.95, 0.99))
    bare = "/".join(f"{percentile([commit for _, commit in both], share):.1f}" for share in (0.5, 0.95, 0.99))
    # Where the disk itself is slow now and then, ours and the bare one seldom meet it together.
    tails = percentile([enter for enter, _ in both], 0.99) - percentile([commit for _, commit in both], 0.99)
    detail = (
        f"{len(both)} weights: p50/p95/p99 {figures} ms, bare commit {bare} ms, p99 less p99 {tails:.1f} ms"
    )
    return [
        Measured(
            "Enter to painted, less a bare commit, p99", percentile(lessened, 0.99), BAR_MS, "ms", detail
        )
    ]


def _type_rounds(
    window: MainWindow, path: Path, entity: str, clock: Clock, commits: BareCommits
) -> list[tuple[float, float]]:
    built: list[bool] = []
    window.ready.connect(lambda: built.append(True))
    window.ready.connect(settle)  # as the program itself does
    window.show()
    window.files.open_path(path, clock)
    _wait(lambda: bool(built) and bool(window.desk.lines), "the window")
    window.desk.take_in_hand(entity)
    _wait(lambda: window.desk.record is not None and window.desk.record.entity == entity, "the charge")
    window.show_view(BOARDS)
    boards: Any = window.views[BOARDS]
    painted = Painted(boards.round_page.table.viewport())
    both: list[tuple[float, float]] = []
    for _ in range(ROUNDS):
        clock.now += timedelta(hours=HOURS_APART)
        window.desk.reassess()
        boards.keeper.choose_time(None)
        QApplication.processEvents()
        for row in range(len(boards.keeper.sheet.lines)):
            enter = _type_one(boards, row, painted)
            both.append((enter, commits.one(len(both))))
    return both


def _type_one(boards: Any, row: int, painted: Painted) -> float:
    """Type the weight that is expected on a line; milliseconds from Enter until its answer is painted."""
    table, keeper = boards.round_page.table, boards.keeper
    table.go_to(row)
    line = keeper.sheet.lines[row]
    QTest.keyClicks(table.field, str(round((line.expected_low_g + line.expected_high_g) / 2)))
    QApplication.processEvents()
    kept: list[str] = []
    connections = [keeper.kept.connect(kept.append), keeper.kept.connect(lambda _: painted.arm())]
    began = time.perf_counter()
    QTest.keyClick(table.field, Qt.Key.Key_Return)
    typed = keeper.stands(line.entity)
    if not kept and (typed is None or typed.state is not TypedState.SAVING):
        raise RuntimeError(f"the weight of board {line.board} was not kept: {typed}")
    _wait(lambda: painted.at is not None, f"board {line.board}")
    for connection in connections:
        keeper.kept.disconnect(connection)
    assert painted.at is not None
    took = (painted.at - began) * 1000
    painted.at = None
    return took


def _wait(until: Callable[[], bool], what: str) -> None:
    """Let the event loop run until then. It sleeps between events, as the program's own does.

    A loop that never slept would take the interpreter from the thread that writes.
    """
    deadline = time.monotonic() + PATIENCE_S
    waker = QTimer()
    waker.start(WOKEN_EVERY_MS)
    while not until():
        if time.monotonic() > deadline:
            raise TimeoutError(what)
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
