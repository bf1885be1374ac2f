"""Whether the charge in hand takes rows: neither closed, nor taken back, nor of a file that is only read."""

from __future__ import annotations

from kilnlog.ui.desk import Desk


def is_taken_back(desk: Desk) -> bool:
    """Whether the charge in hand was taken back: nothing may follow that."""
    return desk.record is not None and desk.record.charge[0].is_void


def takes_rows(desk: Desk) -> bool:
    """Whether anything can be written about the charge in hand."""
    return desk.can_write and not is_taken_back(desk)
