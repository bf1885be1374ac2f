"""Pictures without a display: Qt draws them in memory."""

from __future__ import annotations

import os

from kilnlog.records.errors import KilnlogError

_PLATFORM = {"QT_QPA_PLATFORM": "offscreen"}


def cannot_draw() -> KilnlogError | None:
    """None if pictures can be made, display or not, else the reason; from here on Qt draws in memory."""
    from kilnlog.ui.start import can_show

    os.environ.update(_PLATFORM)
    return can_show(_PLATFORM)
