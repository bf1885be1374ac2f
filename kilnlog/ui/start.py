"""The door to the window. No Qt is imported here: whoever asks ``can_show`` first may not have it."""

from __future__ import annotations

from pathlib import Path

from kilnlog.logbook.clock import machine_clock
from kilnlog.logbook.session import Clock
from kilnlog.ui.can_show import can_show

__all__ = ["can_show", "open_window"]


def open_window(path: Path | None, clock: Clock = machine_clock) -> int:
    """Open the window on ``path``, else on the logbook last in hand; the exit code once it is closed.

    ``clock`` stands in for the machine's own: the sample opens on the morning it waits for.
    """
    from kilnlog.ui.running import run  # noqa: PLC0415  # brings Qt, which may be missing

    return run(path, clock=clock)
