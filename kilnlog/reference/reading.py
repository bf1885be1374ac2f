"""How a table in ``resources/tables`` is read."""

from __future__ import annotations

import csv

from kilnlog.reference.resources import resource


def rows_of(table: str) -> list[dict[str, str]]:
    """The rows of a table by its name, each a mapping from column to text."""
    with resource("tables", f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def plain_name(name: str) -> str:
    """A name as it is compared: small letters, hyphens like blanks, one blank between words."""
    return " ".join(name.casefold().replace("-", " ").split())


def number(text: str) -> float | None:
    """The number in a cell; None where it is empty."""
    return float(text) if text else None
