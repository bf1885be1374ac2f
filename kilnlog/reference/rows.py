"""One row of each published table: frozen, with where it is from and how firmly it stands."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How firmly a figure stands. A screen that shows anything but a verified one says so."""

    VERIFIED = "verified"  # read in the published text that the source names
    MEMORY = "memory"  # known, but not read: a default to check against one's own handbook
    COMPUTED = "computed"  # worked out from verified figures or plain algebra
    ASSUMED = "assumed"  # chosen here; common practice at best


class RateKind(StrEnum):
    """What a published drying rate says."""

    CEILING = "ceiling"  # the most a sound board may lose
    EXPECTED = "expected average"  # what is usually reached under that ceiling
    WEAKENED = "weakened stock"  # the most for stock already damaged


@dataclass(frozen=True, slots=True)
class Species:
    """A species by its common name."""

    species: str
    scientific_name: str
    wood_type: str  # hardwood, softwood
    basic_specific_gravity: float | None  # oven-dry weight on green volume
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class SafeRate:
    """How fast lumber of a species and thickness may dry."""

    species: str
    scientific_name: str
    thickness: str  # as traded: 4/4
    kind: RateKind
    max_pct_per_day: float | None  # [points of MC per day]; None where the table prints a dash
    max_pct_per_day_low: float | None  # the lower end, where a range is published
    note: str
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class TradeName:
    """A name a species goes by in the trade, where the published rates of that one species hold for it."""

    trade_name: str
    species: str  # as the table of safe rates has it
    note: str  # how the name was read: said with every rate found by it
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class PracticeLimit:
    """A threshold that findings and uncertainties rest on."""

    limit: str  # its name, ends in its unit where it has one
    value: float
    unit: str
    used_for: str
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class ConstantWeightRule:
    """When a section counts as oven-dry. Exactly one of the two changes is set.

    Attributes:
        name: What the setting calls it.
        max_change_pct: The change stays below this [% of the later weight].
        max_change_divisions: The change is at most so many divisions of the scale.
        interval_h: The two readings are at least this far apart [h].
    """

    name: str
    max_change_pct: float | None
    max_change_divisions: float | None
    interval_h: float
    source: str
    standing: Standing
