"""The digest by which a logger batch's readings are covered by its row, and so by the ledger.

**Day hash.** SHA-256 of the day's text, as kept, encoded as UTF-8; 64 lower-case hexadecimal digits.

**Digest of a batch.** SHA-256, written likewise, of one line for each day in ascending order: the day
(``YYYY-MM-DD``), a blank, its day hash, a line feed; encoded as UTF-8.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from hashlib import sha256


def day_hash(text: str) -> str:
    """SHA-256 of a day's text, in hex."""
    return sha256(text.encode()).hexdigest()


class BatchDigest:
    """The digest of a batch, day by day in ascending order."""

    def __init__(self) -> None:
        self._hash = sha256()

    def add(self, day: str, hashed: str) -> None:
        """Take in the next day."""
        self._hash.update(f"{day} {hashed}\n".encode())

    @property
    def hex(self) -> str:
        """The digest of the days so far."""
        return self._hash.hexdigest()


def changed_days(connection: sqlite3.Connection, batch: str, digest: str) -> Iterator[str]:
    """The days whose text or count is not what was written; an empty one where they are not the digest's."""
    whole = BatchDigest()
    for day, text, hashed, rows in connection.execute(
        "SELECT day, readings, sha256, rows FROM logger_day WHERE batch = ? ORDER BY day", (batch,)
    ):
        whole.add(day, hashed)
        if day_hash(text) != hashed or text.count("[") - 1 != rows:  # a list of lists of figures
            yield day
    if whole.hex != digest:
        yield ""
