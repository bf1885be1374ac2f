"""What an event at the kiln is called where there is room for two or three words."""

from __future__ import annotations

from kilnlog.logbook import figures
from kilnlog.records.event import Event
from kilnlog.records.words import EventKind, EventState

BEGAN_ENDED: dict[EventKind, tuple[str, str]] = {
    EventKind.VENT: ("vent opened", "vent closed"),
    EventKind.FAN: ("fan on", "fan off"),
    EventKind.HEAT: ("heat on", "heat off"),
    EventKind.SPRAY: ("spray on", "spray off"),
    EventKind.POWER_CUT: ("power cut", "power back"),
    EventKind.DOOR: ("door opened", "door closed"),
    EventKind.EQUALIZING: ("equalizing began", "equalizing ended"),
    EventKind.CONDITIONING: ("conditioning began", "conditioning ended"),
}


def event_words(event: Event) -> str:
    """``vent opened``, ``water collected 12.5 kg``, ``power cut``."""
    began_ended = BEGAN_ENDED.get(event.kind)
    if began_ended is not None and event.state is not None:
        words = began_ended[event.state is EventState.END]
    else:
        words = event.kind.value
    if event.value is not None:
        words = f"{words} {figures.trimmed(event.value)} {event.unit or ''}".rstrip()
    return words
