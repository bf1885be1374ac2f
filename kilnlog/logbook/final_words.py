"""What is to be known before a final figure is relied on, in sentences for the window and for papers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kilnlog.drying.closing.figures import (
    IntervalKind,
    Limits,
    LimitsRemark,
    NoInterval,
    NoSample,
    SeriesRemark,
    Withheld,
)
from kilnlog.drying.closing.stress import STRESS_SOURCES, StressRemark
from kilnlog.drying.closing.tally import TallyRemark
from kilnlog.logbook import figures
from kilnlog.records.words import TemperatureRule

#: At this temperature the air of a heated room is taken to be [C]: common practice, no source.
ROOM_C = 21.0

_SERIES: Mapping[SeriesRemark, str] = {
    SeriesRemark.DEFAULT_CALIBRATION: (
        "Nobody wrote at what temperature the meter reads true; the usual one was taken."
    ),
    SeriesRemark.EQUATION_ON_SETTING: (
        "The temperature equation is for the Douglas-fir scale, and the meter was set to another."
    ),
    SeriesRemark.EQUATION_ON_PINLESS: "The temperature equation is for pin meters.",
    SeriesRemark.PIECE_TWICE: "A piece was read more than once, so there are fewer pieces than readings.",
}

_WITHHELD: Mapping[Withheld, str] = {
    Withheld.CHOSEN: "sample boards are picked, not drawn at random",
    Withheld.OVER: "a reading is above what a meter measures",
    Withheld.TWICE: "a piece was read more than once",
    Withheld.FEW: "too few pieces were read",
    Withheld.NO_SPREAD: "all pieces read alike",
    Withheld.BELOW_ZERO: "a normal spread would reach below 0 %",
}

_INTERVAL: Mapping[IntervalKind, str] = {
    IntervalKind.NORMAL: "No interval by a normal spread",
    IntervalKind.FREE: "No interval free of a spread",
}

_LIMITS: Mapping[LimitsRemark, str] = {
    LimitsRemark.TYPED_DIFFER: "The figures written for the lot govern; those of what is named differ.",
    LimitsRemark.TARGET_DIFFERS: "The lot's target is not the one the named figures are for.",
}

_STRESS: Mapping[StressRemark, str] = {
    StressRemark.GRADIENT: (
        "A moisture gradient bends prongs and slices as stress does: the test tells stress alone only once "
        "the moisture has evened out."
    ),
    StressRemark.MEASURED_GRADIENT: (
        "Shell and core were found so far apart that prongs and slices do not tell stress alone."
    ),
    StressRemark.TEST_MORE: "A piece failed: more pieces would tell how many do.",
    StressRemark.DISAGREE: "Of a test, the words and the limit disagree; the limit decided.",
}

_TALLY: Mapping[TallyRemark, str] = {
    TallyRemark.NOMINAL: "Thickness is in quarters of an inch, the same green and dry: that part of the "
    "shrinkage does not show.",
    TallyRemark.ROUNDED: "Surface measure rounds each piece by more than wood shrinks.",
    TallyRemark.OTHER_PIECES: "Not as many pieces were tallied net as green.",
    TallyRemark.GREW: "More was tallied net than green: one of the two is not right.",
}

_RULES: Mapping[TemperatureRule | None, str] = {
    None: "not corrected for temperature",
    TemperatureRule.RULE_OF_THUMB: "corrected for temperature by the Wood Handbook's rule of thumb",
    TemperatureRule.EQUATION: "corrected for temperature by the published equation of the Douglas-fir scale",
    TemperatureRule.TYPED: "temperature correction typed from the meter's chart",
    TemperatureRule.BY_THE_METER: "corrected for temperature by the meter itself",
}


def series_remark(remark: SeriesRemark) -> str:
    """A sentence about how a series was read."""
    return _SERIES[remark]


def withheld(ones: Sequence[NoInterval]) -> tuple[str, ...]:
    """Why intervals are not stated: a sentence each, or one where both are kept back for one reason."""
    why = {(one.why, one.needs_pieces) for one in ones}
    if len(ones) > 1 and len(why) == 1:
        return (_withheld("No tolerance interval", ones[0]),)
    return tuple(_withheld(_INTERVAL[one.kind], one) for one in ones)


def _withheld(which: str, one: NoInterval) -> str:
    needs = f": it takes {one.needs_pieces}" if one.needs_pieces is not None else ""
    return f"{which} is stated: {_WITHHELD[one.why]}{needs}."


def limits_remarks(limits: Limits) -> tuple[str, ...]:
    """What to know of the limits."""
    own = (limits.remark,) if limits.remark else ()
    return (*own, *(_LIMITS[remark] for remark in limits.remarks))


def stress_remark(remark: StressRemark) -> str:
    """A sentence about stress tests, with where it is from."""
    said, source = stress_said(remark), stress_source(remark)
    return said if source is None else f"{said} ({source})"


def stress_said(remark: StressRemark) -> str:
    """The same alone."""
    return _STRESS[remark]


def stress_source(remark: StressRemark) -> str | None:
    """Where it is printed; None where it follows from the tests themselves."""
    source = STRESS_SOURCES.get(remark)
    return None if source is None else source.source


def tally_remark(remark: TallyRemark) -> str:
    """A sentence about a shrinkage from two totals."""
    return _TALLY[remark]


def temperature_rule(rule: TemperatureRule | None) -> str:
    """How readings were corrected, for the middle of a sentence."""
    return _RULES[rule]


_NOT_ASKED: Mapping[NoSample, str] = {
    NoSample.UNKNOWN: "How many pieces to read is not said: nobody counted the lot's pieces.",
    NoSample.SMALLER: "The sampling plan lists no lot as small as this: read every piece.",
    NoSample.LARGER: "The sampling plan lists no lot as large as this.",
}


def not_asked(why: NoSample | None) -> str:
    """Why it is not said how many pieces should be read; empty where it is said."""
    return _NOT_ASKED[why] if why is not None else ""


def storage(mean_pct: float | None) -> str | None:
    """In what air lumber of this moisture stays as it is; None where that is not known.

    By the EMC equation of the Wood Handbook at 70 F.
    """
    if mean_pct is None or not 1 < mean_pct < 20:
        return None
    from kilnlog.drying.air.emc import rh_for_emc_pct  # noqa: PLC0415  # loads numpy

    rh_pct = float(rh_for_emc_pct(ROOM_C, mean_pct))
    return (
        f"Indoors at 70 °F (21 °C) near {figures.number(rh_pct)} % relative humidity it stays near "
        f"{figures.mc(mean_pct)} %. In damper air, an open shed most of all, it takes up water again."
    )
