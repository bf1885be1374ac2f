"""The one worker thread that owns the logbook: the window never waits for the disk."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Signal

from kilnlog.logbook.session import Logbook
from kilnlog.records.errors import KilnlogError

#: How often a long operation is heard of at most.
TOLD_EVERY_S = 0.05


class Progress:
    """What a long operation is given: it reports how far it is, and asks whether to stop."""

    def __init__(self, report: Callable[[float], None]) -> None:
        self._report = report
        self._told_at = 0.0
        self._stop = threading.Event()

    def report(self, fraction: float) -> None:
        """Tell how far it is, 0 to 1; what comes faster than anybody can see is left out."""
        now = time.monotonic()
        if now - self._told_at >= TOLD_EVERY_S:
            self._told_at = now
            self._report(fraction)

    def cancel(self) -> None:
        """Ask the operation to stop; it undoes what it began."""
        self._stop.set()

    def cancelled(self) -> bool:
        """Whether it should stop."""
        return self._stop.is_set()


@dataclass(frozen=True)
class _Job:
    work: Callable[[Logbook], Any]
    done: Callable[[Any], None] | None
    failed: Callable[[KilnlogError], None] | None


class Operations(QObject):
    """Runs work on the logbook one piece after another, and brings the outcome back to the main thread.

    A piece of work that raises a ``KilnlogError`` reaches ``failed`` (or the ``refused`` signal); any other
    error is our defect and is raised again on the main thread.
    """

    refused = Signal(object)  # a KilnlogError nobody else took
    idle = Signal()  # nothing is waiting or running
    _ended = Signal(object, object, object)  # job, outcome, error; crosses the threads
    _reported = Signal(object, float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._jobs: queue.SimpleQueue[_Job | None] = queue.SimpleQueue()
        self._book: Logbook | None = None
        self._waiting = 0
        self._ended.connect(self._bring_back)
        self._reported.connect(self._tell)
        self._thread = threading.Thread(target=self._run, name="logbook")
        self._thread.start()

    @property
    def waiting(self) -> int:
        """How many pieces of work have not come back yet."""
        return self._waiting

    def open(
        self,
        open_book: Callable[[], Logbook],
        done: Callable[[Logbook], None] | None = None,
        failed: Callable[[KilnlogError], None] | None = None,
    ) -> None:
        """Open a logbook on the worker; the one open before is closed once the new one is there."""

        def replace(_: Logbook | None) -> Logbook:
            book = open_book()
            if self._book is not None:
                self._book.file.close()
            self._book = book
            return book

        self._put(_Job(replace, done, failed))

    def submit(
        self,
        work: Callable[[Logbook], Any],
        done: Callable[[Any], None] | None = None,
        failed: Callable[[KilnlogError], None] | None = None,
    ) -> None:
        """Run ``work(logbook)`` on the worker; ``done(outcome)`` follows on the main thread."""
        self._put(_Job(work, done, failed))

    def submit_long(
        self,
        work: Callable[[Logbook, Progress], Any],
        told: Callable[[float], None],
        done: Callable[[Any], None] | None = None,
        failed: Callable[[KilnlogError], None] | None = None,
    ) -> Progress:
        """As ``submit``, for work over half a second: ``told(fraction)`` follows it, the answer stops it."""
        progress = Progress(lambda fraction: self._reported.emit(told, fraction))
        self._put(_Job(lambda book: work(book, progress), done, failed))
        return progress

    def close(self) -> None:
        """Finish what was accepted, close the logbook, end the thread. Returns once all of it is on disk."""
        if self._thread.is_alive():
            self._jobs.put(None)
            self._thread.join()

    def _put(self, job: _Job) -> None:
        self._waiting += 1
        self._jobs.put(job)

    def _run(self) -> None:
        while (job := self._jobs.get()) is not None:
            outcome: Any = None
            error: Exception | None = None
            try:
                outcome = job.work(self._book)  # type: ignore[arg-type]  # nothing is submitted before open
            except Exception as caught:  # every error is carried to the main thread and raised or shown there
                error = caught
            self._ended.emit(job, outcome, error)
        if self._book is not None:
            self._book.file.close()

    def _bring_back(self, job: _Job, outcome: Any, error: Exception | None) -> None:
        self._waiting -= 1
        try:
            if error is None:
                if job.done is not None:
                    job.done(outcome)
            elif isinstance(error, KilnlogError):
                (job.failed or self.refused.emit)(error)
            else:
                raise error
        finally:
            if self._waiting == 0:
                self.idle.emit()

    @staticmethod
    def _tell(told: Callable[[float], None], fraction: float) -> None:
        told(fraction)
