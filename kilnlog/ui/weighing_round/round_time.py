"""When the weights of the round were read: the present minute, or a time the operator chose."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment

#: A time further back than this was not typed at the scale but copied from a sheet.
LATE_AFTER_H = 0.5
#: A chosen time is for the sheet at hand: unused for so long, it is dropped, or tomorrow's weights go to it.
LAPSES_AFTER_H = 1.0


@dataclass(frozen=True)
class _Chosen:
    at: Moment
    late: bool
    used: Moment


class RoundTime:
    """Follows the clock until a time is chosen, and again once that was not used for an hour."""

    def __init__(self, now: Callable[[], Moment]) -> None:
        self._now = now
        self._chosen: _Chosen | None = None
        self._lapsed: Moment | None = None
        self.unread: KilnlogError | None = None  # why what stands typed as the time is none

    @property
    def chosen(self) -> Moment | None:
        """The time chosen; None follows the clock."""
        return self._chosen.at if self._chosen is not None else None

    @property
    def is_late(self) -> bool:
        """Whether weights come from a sheet: as it stood when the time was chosen."""
        return self._chosen is not None and self._chosen.late

    @property
    def at(self) -> Moment:
        """The chosen time, else the present minute."""
        return self.chosen or to_the_minute(self._now())

    def choose(self, at: Moment | None) -> None:
        """Let weights be those of ``at``; None follows the clock again."""
        self.unread = self._lapsed = None
        now = self._now()
        late = at is not None and now.hours_since(at) > LATE_AFTER_H
        self._chosen = _Chosen(at, late, now) if at is not None else None

    def use(self) -> None:
        """A weight was offered for the chosen time."""
        if self._chosen is not None:
            self._chosen = _Chosen(self._chosen.at, self._chosen.late, self._now())

    def lapse(self) -> bool:
        """Drop the chosen time where it was not used for an hour; whether it was."""
        if self._chosen is None or abs(self._now().hours_since(self._chosen.used)) < LAPSES_AFTER_H:
            return False
        self._lapsed, self._chosen = self._chosen.at, None
        return True

    @property
    def lapsed(self) -> Moment | None:
        """The time that was dropped, until somebody was told."""
        return self._lapsed

    def told_lapsed(self) -> None:
        """The operator knows that the clock is followed again."""
        self._lapsed = None


def to_the_minute(moment: Moment) -> Moment:
    """The minute it falls in; no scale is read to the second."""
    utc: datetime = moment.utc.replace(second=0, microsecond=0)
    return Moment(utc, moment.zone)
