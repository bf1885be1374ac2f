"""The figures of a lot's final moisture: frozen, complete, and all that a paper may show of it.

Moisture contents (MC) are in percent of oven-dry weight. Names are those of the parts that papers are drawn
from. What cannot be told is None, never 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kilnlog.drying.closing.order_words import UnreadableLimits
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight
from kilnlog.records.words import ReadingKind, TemperatureRule, TemperatureUnit
from kilnlog.reference.rows import Standing


class SeriesKind(StrEnum):
    """Where a series of final readings is from; two series are never averaged together."""

    PIN_METER = ReadingKind.PIN_METER.value
    PINLESS_METER = ReadingKind.PINLESS_METER.value
    OVEN_DRY = ReadingKind.OVEN_DRY.value
    SAMPLE_BOARDS = "sample boards"


class IntervalKind(StrEnum):
    """What a tolerance interval rests on."""

    NORMAL = "normal"  # the pieces follow a normal curve
    FREE = "free"  # nothing is assumed: the lowest and the highest reading


class Withheld(StrEnum):
    """Why no interval is stated."""

    CHOSEN = "chosen"  # sample boards are picked for the wettest and driest wood, not at random
    OVER = "over"  # a reading is above the meter's range: its figure is not known
    TWICE = "twice"  # a piece was read more than once, so that there are fewer pieces than readings
    FEW = "few"  # pieces are too few
    NO_SPREAD = "no spread"  # all read alike: their scatter is below what was read to
    BELOW_ZERO = "below zero"  # the normal curve would reach below 0 %, where no wood is


class SeriesRemark(StrEnum):
    """What a reader of a series has to know about how it was taken."""

    DEFAULT_CALIBRATION = "default calibration"  # nobody typed what the meter was calibrated for
    EQUATION_ON_SETTING = "equation on setting"  # it is for the Douglas-fir scale; another was set
    EQUATION_ON_PINLESS = "equation on pinless"  # it is for resistance meters
    PIECE_TWICE = "piece twice"  # a piece was read more than once


class LimitsRemark(StrEnum):
    """What a reader of limits has to know about how they were found."""

    TYPED_DIFFER = "typed differ"  # the lot's own figures, which govern, are not those of what is named
    TARGET_DIFFERS = "target differs"  # the lot's target is not the one that the named figures are for


class NoSample(StrEnum):
    """Why it is not said how many pieces should be read."""

    UNKNOWN = "unknown"  # nobody counted the pieces of the lot; a volume does not tell
    SMALLER = "smaller"  # the plan lists no lot as small as this
    LARGER = "larger"  # nor as large


@dataclass(frozen=True, slots=True)
class Limits:
    """What the pieces of a lot were asked to be [% MC]."""

    target_mc_pct: float | None
    low_pct: float | None  # of single pieces
    high_pct: float | None
    average_low_pct: float | None
    average_high_pct: float | None
    share_pct: float | None  # of the pieces that must lie inside
    named: str  # the standard, or the order's own words; empty where nobody set any
    standing: Standing | None  # of the figures, where they are of a publication
    remark: str | None  # what was made of the print
    source: str | None = None
    remarks: tuple[LimitsRemark, ...] = ()
    refused: UnreadableLimits | None = None  # why the words told no limits, where none were typed either

    @property
    def for_pieces(self) -> bool:
        """Whether single pieces have a limit."""
        return self.low_pct is not None or self.high_pct is not None


@dataclass(frozen=True, slots=True)
class ReadingFigures:
    """One piece read, with what its reading means."""

    entity: str
    pack: str | None
    piece: str | None  # of sample boards: the label
    read_at: Moment
    reading_pct: float | None  # as the meter showed it
    mc_pct: float | None  # None where the reading is over the range
    over: bool = False  # above what a meter measures: counted outside, in no mean
    extrapolated: bool = False  # the correction was carried beyond where it was published
    wood_temperature: float | None = None  # [temperature_unit]
    temperature_unit: TemperatureUnit | None = None
    temperature_rule: TemperatureRule | None = None
    calibration_temperature: float | None = None  # the rule started from [temperature_unit]
    calibration_is_default: bool = False
    temperature_correction_pct: float | None = None  # None: not corrected, or by the meter itself
    species_correction_pct: float | None = None
    instrument: str | None = None  # entity
    depth: str | None = None
    species_setting: str | None = None
    wet_weight: Weight | None = None
    oven_dry_weight: Weight | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True)
class PackFigures:
    """The figures of one pack, or of a whole series. Of those read, ``over`` are part of ``above``."""

    pack: str | None  # None: pieces of no named pack, or the whole series
    n: int
    over: int
    inside: int | None  # None: no limits for single pieces
    below: int | None
    above: int | None
    mean_pct: float | None
    sd_pct: float | None  # of the sample, n - 1
    lowest_pct: float | None
    highest_pct: float | None


@dataclass(frozen=True, slots=True)
class IntervalFigures:
    """At least ``share_pct`` of all pieces lie between the two, said with ``confidence_pct``."""

    kind: IntervalKind
    low_pct: float
    high_pct: float
    share_pct: float
    confidence_pct: float
    factor: float | None  # k of mean ± k·s


@dataclass(frozen=True, slots=True)
class BoundFigures:
    """At least ``share_pct`` of all pieces lie on the inner side of ``at_pct``, by the normal curve."""

    is_upper: bool  # whether they lie below it
    at_pct: float
    share_pct: float
    confidence_pct: float
    factor: float  # k of mean + k·s, or mean - k·s


@dataclass(frozen=True, slots=True)
class NoInterval:
    """An interval that is not stated, and why."""

    kind: IntervalKind
    why: Withheld
    needs_pieces: int | None = None  # how many would do, where they are too few


@dataclass(frozen=True, slots=True)
class SeriesMethod:
    """How a series was read: each different word once, in the order it first came."""

    instruments: tuple[str, ...]  # entities
    depths: tuple[str, ...]
    species_settings: tuple[str, ...]
    temperature_rules: tuple[TemperatureRule | None, ...]  # None: not corrected; empty where not by a meter


@dataclass(frozen=True, slots=True)
class SeriesFigures:
    """Readings of one kind, in order of time."""

    kind: SeriesKind
    method: SeriesMethod
    readings: tuple[ReadingFigures, ...]
    whole: PackFigures
    packs: tuple[PackFigures, ...]  # empty where no pack is named
    intervals: tuple[IntervalFigures, ...]
    withheld: tuple[NoInterval, ...]
    bound: BoundFigures | None  # only where pieces have one limit, and a normal interval is stated
    remarks: tuple[SeriesRemark, ...]
    average_inside: bool | None  # the mean within the limits of the average; None without either
    share_reached: bool | None  # as many inside as the limits ask for; None where they name no share
    read_enough: bool | None  # as many pieces read as the plan asks for; None where it asks for none


@dataclass(frozen=True, slots=True)
class PairFigures:
    """The same piece by meter and by oven."""

    kind: SeriesKind  # of the meter
    pack: str | None
    piece: str
    meter_pct: float
    oven_pct: float

    @property
    def difference_pct(self) -> float:
        """Meter minus oven [MC points]."""
        return self.meter_pct - self.oven_pct


@dataclass(frozen=True, slots=True)
class SampleFigures:
    """How many pieces should be read, by a published plan."""

    pieces: int
    accepted_outside: int  # the most of those that may lie outside
    of_lot_of: int  # pieces in the lot
    named: str
    standing: Standing
    source: str


@dataclass(frozen=True, slots=True)
class FinalMoisture:
    """A lot's final moisture."""

    lot_entity: str
    limits: Limits
    series: tuple[SeriesFigures, ...]  # pin, pinless, oven-dry, sample boards: those that were read
    pairs: tuple[PairFigures, ...]
    asked_for: SampleFigures | None
    not_asked_because: NoSample | None  # set where ``asked_for`` is None
