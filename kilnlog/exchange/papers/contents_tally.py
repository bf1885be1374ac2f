"""The tally among what papers are drawn from (``contents``)."""

from __future__ import annotations

from typing import TypedDict


class TallyPart(TypedDict):
    """One line of the tally."""

    when: str  # green, net
    grade: str | None
    thickness: str | None
    width: float | None
    width_unit: str | None
    length: float | None
    length_unit: str | None
    pieces: int | None
    volume: float  # worked out, or the total typed
    volume_unit: str
    is_typed: bool
    note: str | None


class TallyTotals(TypedDict):
    """A lot's tally added up."""

    lines: list[TallyPart]
    rounding: str  # the option by name
    unit: str
    green: float | None
    net: float | None
    shrinkage_pct: float | None  # of the green volume, from the two totals
    expected_shrinkage_pct: float | None
    expected_from: str | None
    remarks: list[str]  # in words
