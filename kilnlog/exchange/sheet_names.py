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
    """A name for the sheet of this charge that no other sheet has (names differ by more than case)."""
    plain = _NOT_ALLOWED.sub("-", charge).strip(" '") or "-"
    used = {name.casefold() for name in taken}
    name = (MOISTURE_PREFIX + plain)[:_LONGEST].rstrip(" '")
    number = 2
    while name.casefold() in used:
        ending = f" ({number})"
        name = (MOISTURE_PREFIX + plain)[: _LONGEST - len(ending)].rstrip(" '") + ending
        number += 1
    return name
