r"""The canonical form of a row and the hashes of the ledger, so that anyone can work them out again.

**Canonical form.** Take every column of the row except ``id`` (which is only its place in the table). Leave
out those that are NULL: a column added in later years changes no hash. Write what remains as one JSON object
(RFC 8259) with the names in ascending order of their code points, no blanks between tokens, and

* text as a JSON string, escaping only ``"``, ``\``, and the control characters U+0000 to U+001F (``\n``,
  ``\r``, ``\t``, ``\b``, ``\f``, the others as ``\u00XX``); all other characters stand for themselves;
* integers in decimal digits;
* reals as the shortest digits that give the same 64-bit number back, always with a point or an exponent, as
  Python's ``repr`` writes them (``1842.5``, ``0.0``, ``1e-05``); minus zero does not occur.

Encode it as UTF-8.

**Row hash.** SHA-256 of the canonical form, 64 lower-case hexadecimal digits.

**Chain hash.** SHA-256, written likewise, of these six joined by line feeds (U+000A), encoded as UTF-8: the
chain hash of the ledger row before, the logbook's uid, the number of this ledger row in decimal digits, the
table's name, the row's uid, the row hash. In place of the chain hash before number 1 stands the SHA-256 of
``kilnlog ledger``, a line feed, and the logbook's uid.

Without a secret key this shows accident and casual editing, and shows any edit to whoever holds an earlier
chain hash outside the file; it is not a signature.
"""

from collections.abc import Mapping
from hashlib import sha256
from json import JSONEncoder

SqlValue = str | int | float | None

_encode = JSONEncoder(ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")).encode


def canonical_form(row: Mapping[str, SqlValue]) -> str:
    """The row's canonical form; ``row`` maps column names to values, without ``id``."""
    return _encode({name: value for name, value in row.items() if value is not None})


def row_hash(row: Mapping[str, SqlValue]) -> str:
    """SHA-256 of the row's canonical form, in hex."""
    return sha256(canonical_form(row).encode()).hexdigest()


def first_hash(logbook: str) -> str:
    """What stands for the chain hash before ledger number 1."""
    return sha256(f"kilnlog ledger\n{logbook}".encode()).hexdigest()


def chain_hash(before: str, logbook: str, number: int, table: str, uid: str, row: str) -> str:
    """The chain hash of a ledger row. ``row`` is the row hash, ``before`` the chain hash before it."""
    return sha256(f"{before}\n{logbook}\n{number}\n{table}\n{uid}\n{row}".encode()).hexdigest()
