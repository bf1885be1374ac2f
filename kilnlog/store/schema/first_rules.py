"""The rules of schema 1, as triggers, so that they hold for every program that writes to the file.

Released: never change it, write a later migration. A refusal reads ``kilnlog:<why>`` or
``kilnlog:<why>:<table>``. Each rule looks before the row is written: by then REPLACE has not yet taken its
victim, and without recursive_triggers no later trigger would see it go.
"""

from kilnlog.store.schema.first_tables import FACT_TABLES

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


def _before_insert(name: str, table: str, when: str, why: str) -> str:
    return f"""CREATE TRIGGER {name} BEFORE INSERT ON {table} WHEN {when}
BEGIN SELECT RAISE(ABORT, 'kilnlog:{why}'); END;
"""


def _stays(table: str) -> str:
    """No row is altered or removed, by anybody."""
    return f"""CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, 'kilnlog:row-stays'); END;
CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, 'kilnlog:row-stays'); END;
"""


def _versions(table: str) -> str:
    """A row is a first version, or the one successor of its predecessor."""
    same = f"SELECT 1 FROM {table} AS r WHERE"
    rules = (
        (
            "reason",
            "NEW.version IN ('correction', 'void') AND trim(coalesce(NEW.version_reason, '')) = ''",
            "no-reason",
        ),
        (
            "void_is_last",
            f"EXISTS ({same} r.uid = NEW.supersedes AND r.version = 'void')",
            "taken-back",
        ),
        (
            "same_entity",
            f"EXISTS ({same} r.uid = NEW.supersedes AND r.entity <> NEW.entity)",
            "other-entity",
        ),
        (
            "predecessor",
            f"NEW.supersedes IS NOT NULL AND NOT EXISTS ({same} r.uid = NEW.supersedes)",
            "no-predecessor",
        ),
        (
            "first",
            "(NEW.version = 'first') <> (NEW.entity = NEW.uid)"
            " OR (NEW.version = 'first') <> (NEW.supersedes IS NULL)",
            "wrong-first",
        ),
        (
            "one_successor",
            f"NEW.supersedes IS NOT NULL AND EXISTS ({same} r.supersedes = NEW.supersedes)",
            "already-superseded",
        ),
        ("no_replace", f"EXISTS ({same} r.uid = NEW.uid OR r.id = NEW.id)", "uid-taken"),
    )
    return "".join(_before_insert(f"{table}_{name}", table, when, why) for name, when, why in rules)


def _natural_key(table: str, columns: tuple[str, ...]) -> str:
    same = " AND ".join(f"r.{column} = NEW.{column}" for column in columns)
    return _before_insert(
        f"{table}_name",
        table,
        f"NEW.version <> 'void' AND EXISTS (SELECT 1 FROM current_{table} AS r"
        f" WHERE {same} AND r.entity <> NEW.entity)",
        "name-taken",
    )


def _stays_in_its_charge(table: str) -> str:
    return _before_insert(
        f"{table}_same_charge",
        table,
        f"EXISTS (SELECT 1 FROM {table} AS r WHERE r.uid = NEW.supersedes AND r.charge <> NEW.charge)",
        "other-charge",
    ) + _before_insert(
        f"{table}_charge_open",
        table,
        "EXISTS (SELECT 1 FROM closing AS r WHERE r.charge = NEW.charge)",
        "charge-closed",
    )


def _reference(table: str, column: str, target: str) -> str:
    """A reference finds a first version in its own charge, not taken back; what is referred to stays."""
    inside = " AND r.charge = NEW.charge" if table in _IN_A_CHARGE and target in _IN_A_CHARGE else ""
    name = f"{table}_{column}" if column == target else f"{table}_{column}_{target}"
    return (
        _before_insert(
            f"{name}_exists",
            table,
            f"NEW.{column} IS NOT NULL AND NOT EXISTS (SELECT 1 FROM {target} AS r"
            f" WHERE r.uid = NEW.{column} AND r.version = 'first'{inside})",
            f"no-such-{target}",
        )
        + _before_insert(
            f"{name}_stands",
            table,
            f"NEW.version <> 'void' AND EXISTS (SELECT 1 FROM {target} AS r"
            f" WHERE r.entity = NEW.{column} AND r.version = 'void')",
            f"taken-back-{target}",
        )
        + _before_insert(
            f"{target}_void_without_{table}" + ("" if column == target else f"_{column}"),
            target,
            # What was changed later still counts before the change, so it rests on its parent too.
            f"NEW.version = 'void' AND EXISTS (SELECT 1 FROM {table} AS r WHERE r.{column} = NEW.entity"
            f" AND r.entity <> NEW.entity"
            f" AND NOT EXISTS (SELECT 1 FROM {table} AS v WHERE v.entity = r.entity AND v.version = 'void')"
            f" AND NOT EXISTS (SELECT 1 FROM {table} AS s"
            " WHERE s.supersedes = r.uid AND s.version = 'correction'))",
            f"has-current-children:{table}",
        )
    )


_SINGLE_RULES = (
    _before_insert(
        "charge_open",
        "charge",
        "EXISTS (SELECT 1 FROM closing AS r WHERE r.charge = NEW.entity)",
        "charge-closed",
    )
    + _before_insert("board_not_itself", "board", "NEW.replaces = NEW.entity", "replaces-itself")
    + _before_insert(
        "oven_weighing_section_of_board",
        "oven_weighing",
        "NEW.version <> 'void' AND EXISTS (SELECT 1 FROM current_section AS r"
        " WHERE r.entity = NEW.section AND r.board <> NEW.board)",
        "no-such-section",
    )
    + _before_insert(
        "section_stays_on_board",
        "section",
        "EXISTS (SELECT 1 FROM current_oven_weighing AS r"
        " WHERE r.section = NEW.entity AND r.board <> NEW.board)",
        "has-current-children:oven_weighing",
    )
    + _before_insert(
        "ledger_dense",
        "ledger",
        "NEW.number <> 1 + coalesce("
        "(SELECT max(r.number) FROM ledger AS r WHERE r.logbook = NEW.logbook), 0)",
        "ledger-not-dense",
    )
    + _before_insert(
        "ledger_no_replace",
        "ledger",
        "EXISTS (SELECT 1 FROM ledger AS r WHERE r.uid = NEW.uid)",
        "uid-taken",
    )
    + _before_insert("logbook_one", "logbook", "EXISTS (SELECT 1 FROM logbook)", "one-logbook")
)

#: Where a row breaks several rules, SQLite names the one made last: the plainest reasons stand at the end.
FIRST_RULES = (
    "".join(_stays(table) for table in ("logbook", "ledger", *FACT_TABLES))
    + "".join(_reference(*reference) for reference in _REFERENCES)
    + "".join(_natural_key(table, columns) for table, columns in _NATURAL_KEYS.items())
    + _SINGLE_RULES
    + "".join(_versions(table) for table in FACT_TABLES)
    + "".join(_stays_in_its_charge(table) for table in _IN_A_CHARGE)
)
