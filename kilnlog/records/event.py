"""Something that happened at the kiln."""

from dataclasses import dataclass

from kilnlog.records.references import ChargeRef
from kilnlog.records.words import EventKind, EventState


@dataclass(frozen=True, slots=True)
class Event:
    """One event, at the moment the entry says it was observed."""

    charge: ChargeRef
    kind: EventKind
    state: EventState | None = None
    value: float | None = None
    unit: str | None = None
    note: str | None = None
