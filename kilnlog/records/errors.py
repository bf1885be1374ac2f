"""Errors an operator may read: a code and its values; the sentences live in one catalogue."""

from typing import ClassVar


class KilnlogError(Exception):
    """Base of every error an operator may read; worded by ``kilnlog.logbook.wording``.

    Anything raised that is not a ``KilnlogError`` is a defect of the program.
    """

    code: ClassVar[str] = "kilnlog-error"

    def __init__(self, **values: object) -> None:
        super().__init__(f"{self.code}: {values}")
        self.values = values


class UnreadableNumber(KilnlogError):
    """The typed text is no number this field can hold. Values: typed, why; mark: the decimal mark here."""

    code = "unreadable-number"


class AmbiguousNumber(KilnlogError):
    """The typed text can be read in two ways. Values: typed, readings (tuple of str)."""

    code = "ambiguous-number"


class UnreadableTime(KilnlogError):
    """The typed text is no moment in this zone. Values: typed, zone, why."""

    code = "unreadable-time"


class UnknownZone(KilnlogError):
    """No time zone of that name is known. Values: zone."""

    code = "unknown-zone"


class OutOfRange(KilnlogError):
    """A value lies outside what its column may hold. Values: column, value, low, high."""

    code = "out-of-range"


class UnknownWord(KilnlogError):
    """A column that takes one of a few words got another. Values: column, value, known (tuple)."""

    code = "unknown-word"


class MissingValue(KilnlogError):
    """A column that must be filled is empty. Values: column."""

    code = "missing-value"


class WetAboveDry(KilnlogError):
    """No air has a wet bulb above its dry bulb: are the two swapped? Values: wet_bulb, dry_bulb, unit."""

    code = "wet-above-dry"


class ImpossibleStep(KilnlogError):
    """A step of a schedule contradicts itself or the one before it. Values: why, column, and the figures.

    why: ``depression`` (above the dry bulb; depression, dry_bulb), ``to-above-from`` (from_mc_pct,
    to_mc_pct), ``not-falling`` (from_mc_pct, before_mc_pct), ``no-air`` (no air has the dry bulb and the
    other figure).
    """

    code = "impossible-step"


class SectionsSwapped(KilnlogError):
    """Oven-dry heavier than wet: are the two swapped? Values: wet, oven_dry, piece."""

    code = "sections-swapped"
