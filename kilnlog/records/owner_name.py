"""Whose lumber it is: when two ways of writing a name mean the same owner."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable


def owner_key(name: str | None) -> str:
    """What is compared where owners are compared: capitals, blanks and widths of letters do not count.

    "" where no owner is named.
    """
    return " ".join(unicodedata.normalize("NFKC", name or "").casefold().split())


def distinct_owners(names: Iterable[str | None]) -> tuple[str, ...]:
    """Each owner once, as first written, without the blanks around; those that name none are left out."""
    found: dict[str, str] = {}
    for name in names:
        if name and (key := owner_key(name)):
            found.setdefault(key, " ".join(name.split()))
    return tuple(found.values())
