"""The form of a sum written out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Working:
    """A sum written out."""

    title: str
    lines: tuple[str, ...]
    source: str
