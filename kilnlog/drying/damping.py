"""Whether the air was damped on purpose: then wood may gain, and nobody asks about it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.words import EventKind, EventState

#: How long damping the air goes on where nobody wrote down its end [h].
DAMP_H = 24.0

_DAMPING = (EventKind.EQUALIZING, EventKind.CONDITIONING, EventKind.SPRAY)


class _Happened(Protocol):
    """An event with its moment: an entry, or a fact as it was seen."""

    @property
    def at(self) -> Moment: ...

    @property
    def fact(self) -> Event: ...


def was_damped(events: Iterable[_Happened], since: Moment, until: Moment) -> bool:
    """Whether the air was damped on purpose at any time between the two."""
    began: dict[EventKind, Moment] = {}
    for event in sorted(events, key=lambda event: event.at):
        kind, state = event.fact.kind, event.fact.state
        if kind not in _DAMPING or event.at > until:
            continue
        if state is EventState.END:
            began.pop(kind, None)
            if event.at >= since:
                return True
        elif state is EventState.START:
            began[kind] = event.at
        elif event.at.plus_hours(DAMP_H) >= since:
            return True
    return bool(began)
