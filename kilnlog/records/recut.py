"""A fresh section cut from a sample board part-way through the run."""

from dataclasses import dataclass

from kilnlog.records.errors import SectionsSwapped
from kilnlog.records.moment import Moment
from kilnlog.records.references import BoardRef, ChargeRef
from kilnlog.records.weight import Weight


@dataclass(frozen=True, slots=True)
class Recut:
    """One recut, at the moment the entry says it was observed."""

    charge: ChargeRef
    board: BoardRef
    weight_before: Weight  # the whole board, just before cutting
    section_wet: Weight
    weight_after: Weight  # what remains, before its new end is coated
    section_oven_dry: Weight | None = None
    dried_at: Moment | None = None
    coating_weight: Weight | None = None  # the new end coat's own weight

    def __post_init__(self) -> None:
        dry = self.section_oven_dry
        if dry is not None and dry.grams > self.section_wet.grams:
            raise SectionsSwapped(piece="recut", wet=self.section_wet.text, oven_dry=dry.text)
