"""Telling the moment a window is first painted, from inside the process that paints it."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QWidget


class FirstPaint(QObject):
    """Prints the system-wide monotonic clock [s] at the first painting and at the first that ``is_ready``.

    The second ends the process. The event is let through first: what is told is the turn of the event loop
    after the painting.
    """

    def __init__(self, app: QApplication, is_ready: Callable[[QWidget], bool]) -> None:
        super().__init__(app)
        self._is_ready = is_ready
        self._told: set[str] = set()
        self._painted = QEvent.Type(QEvent.registerEventType())
        app.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint and isinstance(watched, QWidget):
            if "window" not in self._told:
                self._tell_after_this("window")
            if "ready" not in self._told and self._is_ready(watched):
                self._tell_after_this("ready")
        return False

    def _tell_after_this(self, what: str) -> None:
        self._told.add(what)
        QApplication.postEvent(self, _Painted(self._painted, what), -1000)

    def customEvent(self, event: QEvent) -> None:
        if isinstance(event, _Painted):
            print(event.what, time.monotonic(), flush=True)
            if event.what == "ready":
                sys.stdout.flush()
                os._exit(0)  # the end of a process is not what is measured


class _Painted(QEvent):
    def __init__(self, kind: QEvent.Type, what: str) -> None:
        super().__init__(kind)
        self.what = what
