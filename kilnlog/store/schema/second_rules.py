"""The rules of schema 2, as triggers. Released: never change it, write a later migration."""

from kilnlog.store.schema.first_rules import CHARGE_OPEN
from kilnlog.store.schema.rules import (
    before_insert,
    made_again,
    reference,
    stays,
    stays_in_its_charge,
    versions,
)
from kilnlog.store.schema.second_tables import SECOND_FACT_TABLES

#: (table, column and table referred to, whether that lies in the same charge).
_REFERENCES = (
    *((table, "charge", False) for table in SECOND_FACT_TABLES),
    ("meter_check", "board", True),
    ("meter_check", "instrument", False),
)

# Only what had its digest worked out before it was written is a batch, and nothing joins it afterwards.
_LOGGER_RULES = (
    before_insert(
        "logger_batch_readings",
        "logger_batch",
        "NEW.version = 'first' AND NEW.rows IS NOT"
        " (SELECT sum(r.rows) FROM logger_day AS r WHERE r.batch = NEW.uid)",
        "no-readings",
    )
    + before_insert(
        "logger_batch_same_readings",
        "logger_batch",
        "EXISTS (SELECT 1 FROM logger_batch AS r WHERE r.uid = NEW.supersedes"
        " AND (r.rows <> NEW.rows OR r.digest <> NEW.digest))",
        "other-readings",
    )
    + before_insert(
        "logger_day_no_replace",
        "logger_day",
        "EXISTS (SELECT 1 FROM logger_day AS r"
        " WHERE r.id = NEW.id OR (r.batch = NEW.batch AND r.day = NEW.day))",
        "uid-taken",
    )
    + before_insert(
        "logger_day_before_batch",
        "logger_day",
        "EXISTS (SELECT 1 FROM logger_batch AS r WHERE r.uid = NEW.batch)",
        "batch-complete",
    )
)

# The plainest reasons stand at the end again, behind the new rules about what may be taken back.
_MADE_AGAIN = made_again(
    CHARGE_OPEN
    + "".join(versions(table) for table in ("charge", "board", "instrument"))
    + stays_in_its_charge("board")
)

SECOND_RULES = (
    "".join(stays(table) for table in (*SECOND_FACT_TABLES, "logger_day"))
    + "".join(
        reference(table, target, target, same_charge=same_charge)
        for table, target, same_charge in _REFERENCES
    )
    + _LOGGER_RULES
    + "".join(versions(table) for table in SECOND_FACT_TABLES)
    + "".join(stays_in_its_charge(table) for table in SECOND_FACT_TABLES)
    + _MADE_AGAIN
)
