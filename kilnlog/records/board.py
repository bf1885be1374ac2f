"""A sample board: how it was cut and where it stands."""

from dataclasses import dataclass

from kilnlog.records.references import BoardRef, ChargeRef, LotRef
from kilnlog.records.weight import Weight
from kilnlog.records.words import Sawn, Wood


@dataclass(frozen=True, slots=True)
class Board:
    """A sample board as prepared; it was cut when the entry says it was observed."""

    charge: ChargeRef
    board: str  # its label, unique in the charge
    start_weight: Weight  # weighed the moment it was cut, before coating
    lot: LotRef | None = None
    coating_weight: Weight | None = None  # the end coat's own weight
    oven_dry_weight: Weight | None = None  # typed, where sections were lost
    cut_from: str | None = None
    wood: Wood | None = None
    sawn: Sawn | None = None
    coated: bool | None = None
    minutes_to_weighing: float | None = None
    position: str | None = None
    replaces: BoardRef | None = None
    scale_division: Weight | None = None
    notes: str | None = None
