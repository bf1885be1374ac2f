"""The rules of schema 3, as triggers. Released: never change it, write a later migration."""

from kilnlog.store.schema.rules import (
    before_insert,
    made_again,
    reference,
    stays,
    versions,
)
from kilnlog.store.schema.third_tables import THIRD_FACT_TABLES

_OF_A_LOT = ("final_reading", "stress_test", "defect", "tally_line", "step_answer", "later_note", "closing")

#: (table, column and table referred to, whether that lies in the same charge).
_REFERENCES = (
    *((table, "charge", False) for table in THIRD_FACT_TABLES),
    *((table, "lot", True) for table in _OF_A_LOT),
    ("final_reading", "instrument", False),
)

#: Tables of earlier schemas whose rows belong to a charge.
_EARLIER_IN_A_CHARGE = (
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
    "air_reading",
    "set_point",
    "meter_check",
    "logger_batch",
)

#: What a closed lot no longer takes: rows that name it, and rows that name a board of it.
_NAMES_A_LOT = ("board", "final_reading", "stress_test", "defect", "tally_line", "step_answer")
_NAMES_A_BOARD = (
    "section",
    "oven_weighing",
    "weighing",
    "recut",
    "breakage",
    "withdrawal",
    "meter_check",
)


def _closed(where: str) -> str:
    """Whether a closing in force, one that was not followed by a reopening, is such."""
    return f"EXISTS (SELECT 1 FROM current_closing AS r WHERE {where} AND r.reopened IS NOT 1)"


def _charge_closed(column: str) -> str:
    return _closed(f"r.charge = NEW.{column} AND r.lot IS NULL")


def _same_charge(table: str) -> str:
    return before_insert(
        f"{table}_same_charge",
        table,
        f"EXISTS (SELECT 1 FROM {table} AS r WHERE r.uid = NEW.supersedes AND r.charge <> NEW.charge)",
        "other-charge",
    )


def _charge_open(table: str) -> str:
    return before_insert(f"{table}_charge_open", table, _charge_closed("charge"), "charge-closed")


def _lot_open(table: str) -> str:
    """A closed lot takes no row, and none of its rows goes over to another lot."""
    before = f"FROM {table} AS p WHERE p.uid = NEW.supersedes"
    if table == "lot":
        lots = "NEW.entity"
    elif table in _NAMES_A_BOARD:
        lots = (
            f"SELECT b.lot FROM current_board AS b WHERE b.entity IN (NEW.board, (SELECT p.board {before}))"
        )
    else:
        lots = f"NEW.lot, (SELECT p.lot {before})"
    return before_insert(f"{table}_lot_open", table, _closed(f"r.lot IN ({lots})"), "lot-closed")


# Closing, reopening, closing again: each seal stays in the one chain of its charge or lot.
_CLOSING_RULES = (
    before_insert(
        "closing_reopens",
        "closing",
        "NEW.reopened = 1 AND (NEW.version <> 'change'"
        " OR EXISTS (SELECT 1 FROM closing AS r WHERE r.uid = NEW.supersedes AND r.reopened = 1))",
        "not-closed",
    )
    + before_insert(
        "closing_reopening_reason",
        "closing",
        "NEW.reopened = 1 AND trim(coalesce(NEW.version_reason, '')) = ''",
        "no-reason",
    )
    + before_insert("closing_stays", "closing", "NEW.version IN ('correction', 'void')", "closing-stays")
    + before_insert(
        "closing_same_lot",
        "closing",
        "EXISTS (SELECT 1 FROM closing AS r WHERE r.uid = NEW.supersedes AND r.lot IS NOT NEW.lot)",
        "other-lot",
    )
    + before_insert(
        "closing_one_chain",
        "closing",
        "NEW.version = 'first' AND EXISTS (SELECT 1 FROM closing AS r"
        " WHERE r.charge = NEW.charge AND r.lot IS NEW.lot)",
        "closed-before",
    )
)

_CLOSED_ALREADY = before_insert(
    "closing_lot_open",
    "closing",
    # A lot's closing in force is followed by nothing but a reopening.
    f"NEW.lot IS NOT NULL AND (NEW.version <> 'change' OR NEW.reopened IS NOT 1)"
    f" AND {_closed('r.lot = NEW.lot')}",
    "lot-closed",
) + before_insert(
    "closing_charge_open",
    "closing",
    # A lot closed earlier may be reopened and closed again while its charge is closed: no row comes of it.
    "(NEW.version <> 'change' OR (NEW.lot IS NULL AND NEW.reopened IS NOT 1))"
    f" AND {_charge_closed('charge')}",
    "charge-closed",
)

_CHARGE_OPEN = before_insert("charge_open", "charge", _charge_closed("entity"), "charge-closed")

_OPEN_AGAIN = "".join(
    f"DROP TRIGGER {name};\n"
    for name in (
        "charge_open",
        "closing_charge_open",
        *(f"{name}_charge_open" for name in _EARLIER_IN_A_CHARGE),
    )
)

# The plainest reasons stand at the end: what is closed, before it the row's place among its versions.
THIRD_RULES = (
    "".join(stays(table) for table in THIRD_FACT_TABLES)
    + "".join(
        reference(table, target, target, same_charge=same_charge)
        for table, target, same_charge in _REFERENCES
    )
    + _CLOSING_RULES
    + "".join(versions(table) for table in THIRD_FACT_TABLES)
    + made_again("".join(versions(table) for table in ("charge", "lot", "instrument", "closing")))
    + "".join(_same_charge(table) for table in THIRD_FACT_TABLES)
    + made_again(_same_charge("lot") + _same_charge("closing"))
    + "".join(_lot_open(table) for table in ("lot", *_NAMES_A_LOT, *_NAMES_A_BOARD))
    + _OPEN_AGAIN
    + _CHARGE_OPEN
    + _CLOSED_ALREADY
    + "".join(
        _charge_open(table) for table in (*_EARLIER_IN_A_CHARGE, *THIRD_FACT_TABLES) if table != "later_note"
    )
)
