"""What ``verify`` says of each thing in the file that is not as it was written."""

from __future__ import annotations

from collections.abc import Mapping

_ROW = "Row {uid} of the table {table}"

MISFITS: Mapping[str, str] = {
    "row-changed": _ROW + " was altered after it was written (ledger row {number}).",
    "row-missing": _ROW + " is gone (ledger row {number}).",
    "row-not-in-ledger": _ROW + " was slipped in: the ledger does not know it.",
    "order-changed": _ROW + " stands elsewhere than it was written (ledger row {number}).",
    "ledger-gap": "Ledger rows are missing before number {number}.",
    "ledger-changed": "Ledger row {number} does not follow from the one before it.",
    "seal-broken": "The seal of a closing (ledger row {number}) does not fit the ledger at its place.",
    "cut-short": "The ledger ends before its row {number}: what came after was cut off.",
    "head-differs": "Ledger row {number} is not the one noted earlier.",
    "rules-changed": "The rules kept in the file (tables, views, triggers) are not those kilnlog wrote.",
    "pages": "The file itself is damaged[: {detail}].",
    "readings-changed": "Readings of logger batch {uid} were altered after they were written[: {detail}].",
    "reference": "A row of the table {table} refers to something that is not there.",
}
