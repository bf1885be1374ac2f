"""How rules are written as triggers. Released migrations rest on this text: never change it.

A refusal reads ``kilnlog:<why>`` or ``kilnlog:<why>:<table>``. Each rule looks before the row is written: by
then REPLACE has not yet taken its victim, and without recursive_triggers no later trigger would see it go.
"""

import re


def before_insert(name: str, table: str, when: str, why: str) -> str:
    """Refuse a row, saying why, when something holds for it."""
    return f"""CREATE TRIGGER {name} BEFORE INSERT ON {table} WHEN {when}
BEGIN SELECT RAISE(ABORT, 'kilnlog:{why}'); END;
"""


def stays(table: str) -> str:
    """No row is altered or removed, by anybody."""
    return f"""CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, 'kilnlog:row-stays'); END;
CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, 'kilnlog:row-stays'); END;
"""


def versions(table: str) -> str:
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
    return "".join(before_insert(f"{table}_{name}", table, when, why) for name, when, why in rules)


def natural_key(table: str, columns: tuple[str, ...]) -> str:
    """A name stands for one thing among current rows."""
    same = " AND ".join(f"r.{column} = NEW.{column}" for column in columns)
    return before_insert(
        f"{table}_name",
        table,
        f"NEW.version <> 'void' AND EXISTS (SELECT 1 FROM current_{table} AS r"
        f" WHERE {same} AND r.entity <> NEW.entity)",
        "name-taken",
    )


def stays_in_its_charge(table: str) -> str:
    """A row's successors stay in its charge, and a closed charge takes no row."""
    return before_insert(
        f"{table}_same_charge",
        table,
        f"EXISTS (SELECT 1 FROM {table} AS r WHERE r.uid = NEW.supersedes AND r.charge <> NEW.charge)",
        "other-charge",
    ) + before_insert(
        f"{table}_charge_open",
        table,
        "EXISTS (SELECT 1 FROM closing AS r WHERE r.charge = NEW.charge)",
        "charge-closed",
    )


def reference(table: str, column: str, target: str, *, same_charge: bool) -> str:
    """A reference finds a first version, in its own charge, not taken back; what is referred to stays."""
    inside = " AND r.charge = NEW.charge" if same_charge else ""
    name = f"{table}_{column}" if column == target else f"{table}_{column}_{target}"
    return (
        before_insert(
            f"{name}_exists",
            table,
            f"NEW.{column} IS NOT NULL AND NOT EXISTS (SELECT 1 FROM {target} AS r"
            f" WHERE r.uid = NEW.{column} AND r.version = 'first'{inside})",
            f"no-such-{target}",
        )
        + before_insert(
            f"{name}_stands",
            table,
            f"NEW.version <> 'void' AND EXISTS (SELECT 1 FROM {target} AS r"
            f" WHERE r.entity = NEW.{column} AND r.version = 'void')",
            f"taken-back-{target}",
        )
        + before_insert(
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


def made_again(rules: str) -> str:
    """The same triggers taken away and made anew: then they are the last, and it is theirs to say why."""
    return (
        "".join(f"DROP TRIGGER {name};\n" for name in re.findall(r"^CREATE TRIGGER (\w+)", rules, re.M))
        + rules
    )
