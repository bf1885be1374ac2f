"""How a run ends, as published: when to equalize, in what air, until when; in what air to condition.

The published rows are for whole targets; each is a number of points below or above the target, and by those
the rules hold for any. A row not read stands from memory and says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from kilnlog.reference.reading import rows_of
from kilnlog.reference.rows import Standing

HARDWOOD, SOFTWOOD = "hardwood", "softwood"


@dataclass(frozen=True, slots=True)
class EqualizingRule:
    """When to begin and to end equalizing.

    Attributes:
        name: What the setting calls it.
        start_below_points: The driest board is so far below its target [MC points]: begin.
        emc_below_points: The air is kept at an EMC so far below the target [MC points].
        end_above_points: The wettest board is within this of its target [MC points]: end.
    """

    name: str
    start_below_points: float
    emc_below_points: float
    end_above_points: float
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class ConditioningRule:
    """The air that relieves stress: its EMC so far above the target [MC points]."""

    wood_type: str
    emc_above_points: float
    source: str
    standing: Standing


#: What the setting calls the rules, and the rows of the table they are read from.
_RULES = {"2 points below the target": "equalize", "3 points below the target": "equalize, 3 points"}


@lru_cache(maxsize=1)
def equalizing_rules() -> Mapping[str, EqualizingRule]:
    """The published rules by name; the first is the default."""
    return MappingProxyType({name: _equalizing(name, record) for name, record in _RULES.items()})


def _equalizing(name: str, record: str) -> EqualizingRule:
    row = next(row for row in rows_of("equalize_condition") if row["record"] == record)
    target = float(row["target_mc_pct"])
    return EqualizingRule(
        name=name,
        start_below_points=target - float(row["start_driest_mc_pct"]),
        emc_below_points=target - float(row["equalize_emc_pct"]),
        end_above_points=float(row["end_wettest_mc_pct"]) - target,
        source=row["source"],
        standing=Standing(row["standing"]),
    )


@lru_cache(maxsize=8)
def equalizing_source(rule_name: str, wood_type: str) -> str:
    """Where a rule was read for that kind of wood, or read at all; and whether it is only remembered."""
    rows = [row for row in rows_of("equalize_condition") if row["record"] == _RULES[rule_name]]
    row = next((row for row in rows if row["wood_type"] == wood_type), rows[0])
    return (
        row["source"] if Standing(row["standing"]) is Standing.VERIFIED else f"{row['source']}; from memory"
    )


@lru_cache(maxsize=64)
def conditioning_rule(wood_type: str, target_mc_pct: float) -> ConditioningRule:
    """The rule for a kind of wood and a target [%]: of the published rows, that of the nearest target."""
    rows = [row for row in rows_of("equalize_condition") if row["record"] == "condition"]
    of_wood = [row for row in rows if row["wood_type"] == wood_type]
    row = min(of_wood, key=lambda row: abs(float(row["target_mc_pct"]) - target_mc_pct))
    return ConditioningRule(
        wood_type=wood_type,
        emc_above_points=float(row["condition_emc_pct"]) - float(row["target_mc_pct"]),
        source=row["source"],
        standing=Standing(row["standing"]),
    )
