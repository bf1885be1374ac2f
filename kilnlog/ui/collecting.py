"""Python's collector, kept on the thread of the window."""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 1000


class Collecting(QObject):
    """Frees what only refers to itself, now and then, on this thread alone.

    By itself the collector runs on whichever thread happens to allocate. On the worker it would take down
    drawn lines and closed dialogs while the window paints, and Qt's objects must go where they live.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        gc.disable()
        self._timer = QTimer(self)
        self._timer.timeout.connect(collect_what_piled_up)
        self._timer.start(EVERY_MS)

    def stop(self) -> None:
        """Let Python collect by itself again."""
        self._timer.stop()
        gc.enable()


def collect_what_piled_up() -> None:
    """Collect as far as Python itself would have by now."""
    counts, limits = gc.get_count(), gc.get_threshold()
    for generation in (2, 1, 0):
        if counts[generation] > limits[generation]:
            gc.collect(generation)
            return
