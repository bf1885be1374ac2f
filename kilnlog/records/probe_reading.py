"""A temperature probe read by hand while the wood is heated."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef
from kilnlog.records.words import ProbePlace, TemperatureUnit


@dataclass(frozen=True, slots=True)
class ProbeReading:
    """One probe, at the moment the entry says it was observed. Files of a logger are batches instead."""

    charge: ChargeRef
    probe: str  # its name
    placed_in: ProbePlace
    temperature: float  # [temperature_unit]
    temperature_unit: TemperatureUnit
