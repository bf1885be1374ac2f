"""The moisture content of a finished piece, as a meter showed it or an oven told it."""

from dataclasses import dataclass

from kilnlog.records.errors import MissingValue, SectionsSwapped
from kilnlog.records.references import ChargeRef, InstrumentRef, LotRef
from kilnlog.records.weight import Weight
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit


@dataclass(frozen=True, slots=True)
class FinalReading:
    """One piece, once. What a meter showed stands beside its corrections; neither replaces the other.

    Raises ``MissingValue`` where a meter reading has no figure, an oven-dried piece lacks a weight, the
    wood's temperature has no unit or a correction by a rule has no temperature; ``SectionsSwapped`` where
    an oven-dried piece weighs more dry than wet.
    """

    charge: ChargeRef
    lot: LotRef
    kind: ReadingKind
    pack: str | None = None
    piece: str | None = None
    instrument: InstrumentRef | None = None
    depth: str | None = None  # of the pins or of the field, as typed: 1/4 in, 8 mm
    species_setting: str | None = None  # what the meter was set to
    reading_pct: float | None = None  # as the meter showed it [% of oven-dry weight]
    wood_temperature: float | None = None  # [temperature_unit]
    calibration_temperature: float | None = None  # what the meter reads true at [temperature_unit]
    temperature_unit: TemperatureUnit | None = None
    temperature_rule: TemperatureRule | None = None  # None: not corrected for temperature
    temperature_correction_pct: float | None = None  # typed, by the rule ``typed`` alone [% MC]
    species_correction_pct: float | None = None  # from the meter's own chart, typed [% MC]
    wet_weight: Weight | None = None
    oven_dry_weight: Weight | None = None
    note: str | None = None

    def __post_init__(self) -> None:
        needed: tuple[str, ...] = ("reading_pct",)
        if self.kind is ReadingKind.OVEN_DRY:
            needed = ("wet_weight", "oven_dry_weight")
        if self.wood_temperature is not None or self.calibration_temperature is not None:
            needed = (*needed, "temperature_unit")
        if self.temperature_rule in (TemperatureRule.RULE_OF_THUMB, TemperatureRule.EQUATION):
            needed = (*needed, "wood_temperature")
        if self.temperature_rule is TemperatureRule.TYPED:
            needed = (*needed, "temperature_correction_pct")
        for column in needed:
            if getattr(self, column) is None:
                raise MissingValue(column=column)
        wet, dry = self.wet_weight, self.oven_dry_weight
        if wet is not None and dry is not None and dry.grams > wet.grams:
            raise SectionsSwapped(piece=self.piece or "", wet=wet.text, oven_dry=dry.text)
