"""Whether the air was damped on purpose: then wood may gain, and nobody asks about it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Protocol

from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.words import EventKind, EventState

#: How long damping the air goes on where nobody wrote down its end [h].
DAMP_H = 24.0

#: In air like that wood takes up water. Common practice conditions by 3 or 4 points; no source for the most.
_WETTING, WETTED_POINTS = (EventKind.CONDITIONING, EventKind.SPRAY), 5.0
#: The air of equalizing is drier than every board but the driest: no more than a dry shell takes up in it
#: [points of MC]. Common practice, no source.
EQUALIZED_POINTS = 1.0
_DAMPING = (EventKind.EQUALIZING, *_WETTING)


class _Happened(Protocol):
    """An event with its moment: an entry, or a fact as it was seen."""

    @property
    def at(self) -> Moment: ...

    @property
    def fact(self) -> Event: ...


def may_gain_points(events: Iterable[_Happened], since: Moment, until: Moment) -> float:
    """What a board may have taken up between the two at most, by what was done to the air [points of MC]."""
    told = tuple(events)
    if was_damped(told, since, until, _WETTING):
        return WETTED_POINTS
    return EQUALIZED_POINTS if was_damped(told, since, until) else 0.0


def was_damped(
    events: Iterable[_Happened], since: Moment, until: Moment, kinds: Collection[EventKind] = _DAMPING
) -> bool:
    """Whether the air was damped on purpose at any time between the two."""
    began: dict[EventKind, Moment] = {}
    for event in sorted(events, key=lambda event: event.at):
        kind, state = event.fact.kind, event.fact.state
        if kind not in kinds or event.at > until:
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
