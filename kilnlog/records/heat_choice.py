"""What heat the operator asks the probes' record for."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef
from kilnlog.records.words import TemperatureUnit


@dataclass(frozen=True, slots=True)
class HeatChoice:
    """A threshold and a time, with where they are from; the operator's own record, never a mark."""

    charge: ChargeRef
    at_least: float  # [temperature_unit]
    temperature_unit: TemperatureUnit
    for_minutes: float  # above 0
    limits_from: str | None = None  # the publication or the order that asks for it
    agency: str | None = None  # whom the operator has an agreement with, if anybody
    agreement: str | None = None  # its number
    note: str | None = None
