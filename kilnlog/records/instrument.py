"""A scale, oven, meter or hygrometer, and when it was last checked."""

from dataclasses import dataclass

from kilnlog.records.moment import Moment
from kilnlog.records.words import InstrumentKind


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument the figures rest on."""

    instrument: str  # its name, unique in a logbook
    kind: InstrumentKind
    division: float | None = None  # smallest step it shows [unit], above 0
    unit: str | None = None
    checked_at: Moment | None = None
    check_result: str | None = None
