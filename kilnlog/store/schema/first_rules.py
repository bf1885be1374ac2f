"""The rules of schema 1, as triggers, so that they hold for every program that writes to the file.

Released: never change it, write a later migration.
"""

from kilnlog.store.schema.first_tables import FACT_TABLES
from kilnlog.store.schema.rules import (
    before_insert,
    natural_key,
    reference,
    stays,
    stays_in_its_charge,
    versions,
)

#: The columns that make a row's name among current rows.
_NATURAL_KEYS = {
    "setting": ("setting",),
    "kiln": ("kiln",),
    "instrument": ("instrument",),
    "schedule_step": ("schedule", "step"),
    "charge": ("charge",),
    "lot": ("charge", "lot"),
    "board": ("charge", "board"),
    "section": ("board", "section"),
}

_IN_A_CHARGE = (
    "stay",
    "lot",
    "board",
    "section",
    "oven_weighing",
    "weighing",
    "recut",
    "breakage",
    "withdrawal",
    "event",
    "step_taken",
    "decision",
    "closing",
)

#: (table, column, table referred to). References between tables of a charge stay inside the charge.
_REFERENCES = (
    ("charge", "kiln", "kiln"),
    ("stay", "kiln", "kiln"),
    *((table, "charge", "charge") for table in _IN_A_CHARGE),
    ("board", "lot", "lot"),
    ("board", "replaces", "board"),
    ("section", "board", "board"),
    ("oven_weighing", "board", "board"),
    ("oven_weighing", "section", "section"),
    ("weighing", "board", "board"),
    ("recut", "board", "board"),
    ("breakage", "board", "board"),
    ("withdrawal", "board", "board"),
)


CHARGE_OPEN = before_insert(
    "charge_open",
    "charge",
    "EXISTS (SELECT 1 FROM closing AS r WHERE r.charge = NEW.entity)",
    "charge-closed",
)

_SINGLE_RULES = (
    CHARGE_OPEN
    + before_insert("board_not_itself", "board", "NEW.replaces = NEW.entity", "replaces-itself")
    + before_insert(
        "oven_weighing_section_of_board",
        "oven_weighing",
        "NEW.version <> 'void' AND EXISTS (SELECT 1 FROM current_section AS r"
        " WHERE r.entity = NEW.section AND r.board <> NEW.board)",
        "no-such-section",
    )
    + before_insert(
        "section_stays_on_board",
        "section",
        "EXISTS (SELECT 1 FROM current_oven_weighing AS r"
        " WHERE r.section = NEW.entity AND r.board <> NEW.board)",
        "has-current-children:oven_weighing",
    )
    + before_insert(
        "ledger_dense",
        "ledger",
        "NEW.number <> 1 + coalesce("
        "(SELECT max(r.number) FROM ledger AS r WHERE r.logbook = NEW.logbook), 0)",
        "ledger-not-dense",
    )
    + before_insert(
        "ledger_no_replace",
        "ledger",
        "EXISTS (SELECT 1 FROM ledger AS r WHERE r.uid = NEW.uid)",
        "uid-taken",
    )
    + before_insert("logbook_one", "logbook", "EXISTS (SELECT 1 FROM logbook)", "one-logbook")
)

#: Where a row breaks several rules, SQLite names the one made last: the plainest reasons stand at the end.
FIRST_RULES = (
    "".join(stays(table) for table in ("logbook", "ledger", *FACT_TABLES))
    + "".join(
        reference(*each, same_charge=each[0] in _IN_A_CHARGE and each[2] in _IN_A_CHARGE)
        for each in _REFERENCES
    )
    + "".join(natural_key(table, columns) for table, columns in _NATURAL_KEYS.items())
    + _SINGLE_RULES
    + "".join(versions(table) for table in FACT_TABLES)
    + "".join(stays_in_its_charge(table) for table in _IN_A_CHARGE)
)
