"""The named steps from one schema to the next, and what a file of each schema must look like inside."""

from __future__ import annotations

import sqlite3
from hashlib import sha256
from typing import TYPE_CHECKING

from kilnlog.store.connection import APPLICATION_ID
from kilnlog.store.schema.first_rules import FIRST_RULES
from kilnlog.store.schema.first_tables import FACT_TABLES, FIRST_TABLES
from kilnlog.store.schema.second_rules import SECOND_RULES
from kilnlog.store.schema.second_tables import SECOND_FACT_TABLES, SECOND_TABLES
from kilnlog.store.schema.third_rules import THIRD_RULES
from kilnlog.store.schema.third_tables import THIRD_FACT_TABLES, THIRD_TABLES

if TYPE_CHECKING:
    from sqlite_utils import Database

#: The schema this version writes; kept in the file as ``user_version``.
SCHEMA = 3

#: The fingerprint of each schema ever released.
FINGERPRINTS = {
    1: "0a10860ced845c374058a53d2c1cde368811664dbce2f9a841da248fb1b7a474",
    2: "3bbca425829e957308ca043a22ce6c999c9e54d74854ac5eae9dfb2b60a1c942",
    3: "5f18d00dafe8ca5ecbc21d1331fa9988a53457dc25371f4d684a2762ae104407",
}

#: The fact tables a file of each schema has.
TABLES_OF = {
    1: FACT_TABLES,
    2: (*FACT_TABLES, *SECOND_FACT_TABLES),
    3: (*FACT_TABLES, *SECOND_FACT_TABLES, *THIRD_FACT_TABLES),
}


def fingerprint(connection: sqlite3.Connection) -> str:
    """SHA-256 over every table, index, view and trigger that is the logbook's own, in hex."""
    # The migration log and SQLite's statistics vary with the versions of those who keep them.
    rows = connection.execute(
        "SELECT type, name, sql FROM sqlite_schema"
        " WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\'"
        " AND tbl_name <> '_sqlite_migrations' ORDER BY type, name"
    )
    # In a damaged file even a name may be no text.
    return sha256("\n".join("\t".join(map(str, row)) for row in rows).encode()).hexdigest()


def migrate(connection: sqlite3.Connection) -> None:
    """Bring the file to ``SCHEMA``, all steps or none, inside the caller's transaction."""
    # Opening a logbook of today needs none of this.
    from sqlite_utils import Database  # noqa: PLC0415 - slow to load
    from sqlite_utils.migrations import Migrations  # noqa: PLC0415 - slow to load

    steps = Migrations("kilnlog")

    @steps(name="first schema")
    def first_schema(db: Database) -> None:
        for statement in statements(FIRST_TABLES + FIRST_RULES):
            db.execute(statement)

    @steps(name="kiln air")
    def kiln_air(db: Database) -> None:
        for statement in statements(SECOND_TABLES + SECOND_RULES):
            db.execute(statement)

    @steps(name="finished charges")
    def finished_charges(db: Database) -> None:
        for statement in statements(THIRD_TABLES + THIRD_RULES):
            db.execute(statement)

    # Plugins installed on the machine have no business in the file.
    steps.apply(Database(connection, execute_plugins=False, strict=True))
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {SCHEMA}")


def schema_of(connection: sqlite3.Connection) -> int:
    """The schema of the file."""
    (schema,) = connection.execute("PRAGMA user_version").fetchone()
    return int(schema)


def statements(script: str) -> list[str]:
    """The statements of a script. ``executescript`` would commit the transaction they belong to."""
    found, begun = [], ""
    for line in script.splitlines(keepends=True):
        begun += line
        if sqlite3.complete_statement(begun):
            found.append(begun.strip())
            begun = ""
    return found
