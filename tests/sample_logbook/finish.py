"""What is found of a lot as it comes out: plans for ``finishing`` to write down."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Meter:
    """How a series was read. Corrections for species are those of the invented meter's own chart."""

    kind: str = "pin meter"
    instrument: str = "pin meter"
    depth: str = "1/4 in"
    setting: str = "Douglas-fir scale"
    species_pct: float = 0.0
    wood: float = 62  # [unit]
    calibrated: float | None = 70  # [unit]
    unit: str = "F"
    rule: str = "rule of thumb"  # empty: not corrected for the temperature


@dataclass(frozen=True)
class Series:
    """Pieces read with a meter, so many in each pack.

    Attributes:
        packs: How many pieces of each.
        aim_pct: What they lie about.
        spread_pct: Their standard deviation, the stray one left out.
        stray_pct: What the last piece of the last pack is at, outside the lot's limits as no other is.
        figures: The MC of every piece, pack by pack, where they are given.
        oven: Places of pieces, counted over all packs from 1, that a section was cut from for the oven.
        oven_off_pct: How much drier the oven finds them.
    """

    meter: Meter
    packs: tuple[int, ...] = ()
    aim_pct: float = 7.0
    spread_pct: float = 0.42
    stray_pct: float | None = None
    figures: tuple[tuple[float, ...], ...] = ()
    oven: tuple[int, ...] = ()
    oven_off_pct: float = 0.3
    minutes_later: int = 0


@dataclass(frozen=True)
class Stress:
    """One piece tested."""

    kind: str
    piece: str
    found: str = ""
    value: str = ""
    core: str = ""
    unit: str = ""
    limit: str = ""
    waited: str = ""
    note: str = ""


@dataclass(frozen=True)
class Defect:
    """One kind of defect."""

    kind: str
    severity: str = ""
    pieces: str = ""
    volume: str = ""
    unit: str = ""
    note: str = ""


@dataclass(frozen=True)
class Tally:
    """A line: sizes and pieces, or a total."""

    when: str
    volume: str = ""
    unit: str = "bf"  # of the volume
    grade: str = ""
    pieces: str = ""
    thickness: str = ""
    width: str = ""
    length: str = ""
    width_unit: str = "in"
    length_unit: str = "ft"
    note: str = ""


@dataclass(frozen=True)
class Answer:
    """What is said of a heading nothing was written under."""

    step: str
    answer: str = "none found"
    note: str = ""


@dataclass(frozen=True)
class LotFinish:
    """One lot; closed by itself where its plan says when it left."""

    lot: str
    readings: tuple[Series, ...] = ()
    stress: tuple[Stress, ...] = ()
    defects: tuple[Defect, ...] = ()
    tally: tuple[Tally, ...] = ()
    answers: tuple[Answer, ...] = ()
    closed: str = ""
    closing: str = ""


@dataclass(frozen=True)
class Reopened:
    """A charge closed, opened again for something and closed again; days after the first closing."""

    opened_after_days: int
    closed_after_days: int
    reason: str
    closing: str
    lot: str
    oven: tuple[tuple[str, float], ...]  # piece, how much drier the oven finds it than the meter [% MC]


@dataclass(frozen=True)
class Finish:
    """One charge."""

    charge: str
    lots: tuple[LotFinish, ...]
    read_after_days: int = 1
    answers: tuple[Answer, ...] = ()  # of the whole charge
    reopened: Reopened | None = None
    meter_checks: tuple[tuple[str, str, str, str], ...] = ()  # board, when, shown, what it comes to [%]
    later_notes: tuple[tuple[str, str], ...] = ()  # when, text
