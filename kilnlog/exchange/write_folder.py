"""Write the tables as a folder of CSV files, one table each."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from pathlib import Path

from kilnlog.exchange.to_tables import TableRows


def write_folder(folder: Path, tables: Iterable[TableRows]) -> None:
    """Write ``<table>.csv`` for every table that has rows, UTF-8 with commas; the folder must be there."""
    for rows in tables:
        if not rows.rows:
            continue
        with (folder / f"{rows.table.name}.csv").open("w", encoding="utf-8", newline="") as file:
            # The ending is the csv module's own: it is what makes it quote a lone carriage return.
            writer = csv.writer(file)
            writer.writerow(rows.columns)
            writer.writerows(rows.rows)
