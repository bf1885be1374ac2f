"""The names of the sheets of a workbook that are there to be read, not to be taken in again."""

from __future__ import annotations

import re
from collections.abc import Collection

SUMMARY = "Summary"
CHECKING = "Checking"

#: One sheet per charge: its moisture by day.
MOISTURE_PREFIX = "Moisture "

#: What no sheet's name may hold.
_NOT_ALLOWED = re.compile(r"[\\/*?:\[\]\x00-\x1f]")

_LONGEST = 31  # characters; more are cut by some programs and refused by others


def is_readable_sheet(title: str) -> bool:
    """Whether a sheet of that name is one of those that are only there to be read."""
    return title in (SUMMARY, CHECKING) or title.startswith(MOISTURE_PREFIX)


def moisture_sheet_name(charge: str, taken: Collection[str]) -> str:
    """A name for the sheet of this charge that no other sheet has."""
    return sheet_name(MOISTURE_PREFIX, charge, taken)


def sheet_name(prefix: str, name: str, taken: Collection[str]) -> str:
    """The prefix and the name as a sheet may be called and no other is (names differ by more than case)."""
    plain = _NOT_ALLOWED.sub("-", name).strip(" '") or "-"
    used = {other.casefold() for other in taken}
    title = (prefix + plain)[:_LONGEST].rstrip(" '")
    number = 2
    while title.casefold() in used:
        ending = f" ({number})"
        title = (prefix + plain)[: _LONGEST - len(ending)].rstrip(" '") + ending
        number += 1
    return title
