"""What was worked out last, for whoever asks the same again.

A weight changes one board of a charge and the last of its rounds; the rest is asked for again with the very
same rows, at every weight. Found again, it is what working it out afresh would give: all that it follows from
is compared. Rows are compared by being the same object first, which is what makes this quick.
"""

from __future__ import annotations

from typing import Generic, TypeVar

Asked = TypeVar("Asked")
Told = TypeVar("Told")


class Remembered(Generic[Asked, Told]):
    """The last outcome under each name, with all it follows from. Any thread may ask."""

    def __init__(self, most: int) -> None:
        """Forgets everything once it holds more than ``most`` names."""
        self._most = most
        self._known: dict[str, tuple[Asked, Told]] = {}

    def find(self, name: str, asked: Asked) -> Told | None:
        """The outcome, if it was kept last under that name for an equal ``asked``."""
        known = self._known.get(name)
        return known[1] if known is not None and known[0] == asked else None

    def keep(self, name: str, asked: Asked, told: Told) -> None:
        """Remember it in place of what was known under that name."""
        if len(self._known) >= self._most and name not in self._known:
            self._known.clear()
        self._known[name] = (asked, told)
