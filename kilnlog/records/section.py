"""A moisture section cut beside a sample board."""

from dataclasses import dataclass

from kilnlog.records.errors import SectionsSwapped
from kilnlog.records.moment import Moment
from kilnlog.records.references import BoardRef, ChargeRef
from kilnlog.records.weight import Weight
from kilnlog.records.words import OvenMethod, TemperatureUnit


@dataclass(frozen=True, slots=True)
class Section:
    """One section; it was cut and weighed wet when the entry says it was observed."""

    charge: ChargeRef
    board: BoardRef
    section: str  # its label, unique on the board
    wet_weight: Weight
    oven_dry_weight: Weight | None = None  # None while it is in the oven
    dried_at: Moment | None = None  # when the oven-dry weight was read
    method: OvenMethod | None = None
    oven_temperature: float | None = None  # [temperature_unit]
    temperature_unit: TemperatureUnit | None = None
    scale_division: Weight | None = None
    rejected_because: str | None = None  # scorched, bark lost: kept, not counted

    def __post_init__(self) -> None:
        dry = self.oven_dry_weight
        if dry is not None and dry.grams > self.wet_weight.grams and self.rejected_because is None:
            raise SectionsSwapped(piece=self.section, wet=self.wet_weight.text, oven_dry=dry.text)
