"""A finding: what a check noticed, as data. Its sentences come from one catalogue by code."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from kilnlog.records.moment import Moment

Value = str | int | float | bool | None | tuple[str, ...] | Moment


class Severity(StrEnum):
    """How soon the operator should turn to it."""

    ACT = "act"
    LOOK = "look"
    NOTE = "note"


@dataclass(frozen=True)
class Finding:
    """One finding. ``values`` carry their units in their names (``rate_pct_per_day``)."""

    code: str
    severity: Severity
    subject: str  # "charge", "board 5", "lot B"
    values: Mapping[str, Value] = field(default_factory=dict)
    source: str | None = None  # the publication, or "common practice, no source"
    since: Moment | None = None  # when it began
    answered: bool = False  # a decision with its code and subject stands in the record
    board: str | None = None  # the entity of the board it is about
    lot: str | None = None  # the entity of the lot it is about
