"""A moisture meter, or a probe in the kiln, read on a sample board while the charge dries."""

from dataclasses import dataclass

from kilnlog.records.errors import MissingValue
from kilnlog.records.references import BoardRef, ChargeRef, InstrumentRef
from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class MeterCheck:
    """One reading, at the moment the entry says it was observed. A series of its own: no board's MC.

    Raises ``MissingValue`` where the wood's temperature has no unit.
    """

    charge: ChargeRef
    board: BoardRef
    reading_pct: float  # as the meter showed it [% of oven-dry weight]
    instrument: InstrumentRef | None = None
    wood_temperature: float | None = None  # [temperature_unit]
    temperature_unit: TemperatureUnit | None = None
    corrected_pct: float | None = None  # for temperature and species [% of oven-dry weight]

    def __post_init__(self) -> None:
        if self.wood_temperature is not None and self.temperature_unit is None:
            raise MissingValue(column="temperature_unit")
