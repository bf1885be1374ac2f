"""What final moisture is corrected by, judged against and sampled by, as published."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from kilnlog.reference.reading import number, rows_of
from kilnlog.reference.rows import Standing


@dataclass(frozen=True, slots=True)
class MeterEquation:
    """A published correction of a reading R on the Douglas-fir scale for the wood's temperature t [C].

    MC = (R + added + per_c t + per_c_squared t^2) / (scale base^t), with no correction for the species.

    Attributes:
        coldest_c, warmest_c: Outside these temperatures a correction is carried further than was tabulated.
        least_pct, most_pct: Outside these readings likewise.
        source, standing: Of the coefficients.
        range_source, range_standing: Of the four limits.
    """

    added: float
    per_c: float
    per_c_squared: float
    scale: float
    base: float
    coldest_c: float
    warmest_c: float
    least_pct: float
    most_pct: float
    source: str
    standing: Standing
    range_source: str
    range_standing: Standing


@dataclass(frozen=True, slots=True)
class NamedLimits:
    """What a publication asks of the moisture of dried lumber [% MC]; None where it states no figure.

    Attributes:
        standard: Who states it, and for what.
        target_mc_pct: The target the figures are for, where there are several.
        low_pct, high_pct: For single pieces.
        average_low_pct, average_high_pct: For the average of a lot.
        share_pct: Of the pieces that must lie inside.
        remark: What was made of the print, where it does not speak for itself.
    """

    standard: str
    target_mc_pct: float | None
    low_pct: float | None
    high_pct: float | None
    average_low_pct: float | None
    average_high_pct: float | None
    share_pct: float | None
    remark: str | None
    source: str
    standing: Standing

    @property
    def named(self) -> str:
        """What it is offered and written as: ``EN 14298, 8 %``."""
        target = self.target_mc_pct
        return self.standard if target is None else f"{self.standard}, {target:g} %"


@dataclass(frozen=True, slots=True)
class SamplingRow:
    """How many pieces a plan asks for, of a lot of so many, and how many of them may lie outside."""

    plan: str
    lot_from_pieces: int
    lot_to_pieces: int
    pieces: int
    accepted_outside: int
    source: str
    standing: Standing


@lru_cache(maxsize=1)
def meter_equation() -> MeterEquation:
    """The published equation, with the range it was tabulated for."""
    rows = {row["term"]: row for row in rows_of("meter_equation")}
    value = {term: float(row["value"]) for term, row in rows.items()}
    return MeterEquation(
        **value,
        source=rows["scale"]["source"],
        standing=Standing(rows["scale"]["standing"]),
        range_source=rows["coldest_c"]["source"],
        range_standing=Standing(rows["coldest_c"]["standing"]),
    )


@lru_cache(maxsize=1)
def named_limits() -> tuple[NamedLimits, ...]:
    """The limits of publications that were read, in the order they are offered."""
    return tuple(
        NamedLimits(
            standard=row["standard"],
            target_mc_pct=number(row["target_mc_pct"]),
            low_pct=number(row["low_pct"]),
            high_pct=number(row["high_pct"]),
            average_low_pct=number(row["average_low_pct"]),
            average_high_pct=number(row["average_high_pct"]),
            share_pct=number(row["share_pct"]),
            remark=row["remark"] or None,
            source=row["source"],
            standing=Standing(row["standing"]),
        )
        for row in rows_of("mc_limits")
    )


@lru_cache(maxsize=1)
def sampling_plan() -> tuple[SamplingRow, ...]:
    """The plan's rows, the smallest lots first; they leave no gap between them."""
    return tuple(
        SamplingRow(
            plan=row["plan"],
            lot_from_pieces=int(row["lot_from_pieces"]),
            lot_to_pieces=int(row["lot_to_pieces"]),
            pieces=int(row["pieces"]),
            accepted_outside=int(row["accepted_outside"]),
            source=row["source"],
            standing=Standing(row["standing"]),
        )
        for row in rows_of("sampling_plan")
    )
