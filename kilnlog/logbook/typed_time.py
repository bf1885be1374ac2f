"""A time as somebody types it beside one that is shown: in full, or the clock alone."""

from __future__ import annotations

import re

from kilnlog.records.moment import Moment

_CLOCK = re.compile(r"(?P<hour>\d{1,2}):(?P<minute>\d{2})", re.ASCII)


def time_from_text(text: str, zone: str, day: Moment | None) -> Moment:
    """Read ``YYYY-MM-DD HH:MM``, or ``HH:MM`` of the day that is shown.

    Args:
        text: As typed.
        zone: Whose clock it is.
        day: The moment that stood where this is typed; None: none stood there, and a day is needed.

    Raises:
        UnreadableTime, as ``Moment.from_text`` does.
    """
    clock = _CLOCK.fullmatch(text.strip())
    if clock is not None and day is not None:
        shown = Moment(day.utc, zone).local
        text = f"{shown:%Y-%m-%d} {int(clock['hour']):02}:{clock['minute']}"
    return Moment.from_text(text, zone)
