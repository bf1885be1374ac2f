"""What a charge of the sample logbook is meant to show: plans for the simulation to carry out."""

from __future__ import annotations

from dataclasses import dataclass

from tests.sample_logbook.mill import Schedule
from tests.sample_logbook.wood import BENCH, SECTION_BALANCE, THICK_FACTOR, Scale, Species


@dataclass(frozen=True)
class LotPlan:
    """One lot."""

    lot: str
    species: Species
    called: str  # the species as the mill writes it
    thickness: str
    volume: str
    owner: str
    unit: str = "bf"
    slowed_by: float = 1.0
    target: str = ""
    limits: tuple[str, str, str] = ("6", "8", "the mill's own rule")  # low, high, from
    governs: str = ""
    out_at: str = ""  # when it left before the rest, local, to the minute
    thickness_m: float = 0.0285  # rough, as sawn

    @property
    def safe_rate_text(self) -> str:
        """The published limit for 4/4, or 8/4 where the lot is that thick; empty where none is printed."""
        printed = self.species.safe_rate_pct_per_day
        if printed is None:
            return ""
        return f"{printed / (THICK_FACTOR if self.thickness == '8/4' else 1):.1f}"


@dataclass(frozen=True)
class BoardPlan:
    """One sample board; what is None is drawn."""

    board: str
    position: str
    lot: str = "A"
    sawn: str = "flat"
    wood: str = "heart"
    oven_dry_g: float | None = None
    start_mc_pct: float | None = None
    mc_at_end_pct: float | None = None  # what it is to have dried to by the last round
    vigour: float | None = None
    section_bias_pct: float = 0.0  # by how much its sections misjudge it
    sections: tuple[tuple[str, str], ...] = ()  # wet and oven-dry, where they are given
    coating: str = ""  # the weighed end coat, in the scale's unit
    replaces: str = ""
    cut_on_day: int = -1  # days after loading; a replacement is cut once that day's round is over
    cut_at: str = "13:05"
    notes: str = ""


@dataclass(frozen=True)
class RecutPlan:
    """A fresh section, cut from the board after the round of that day."""

    board: str
    day: int
    coating: str = ""
    section_g: float = 105.0  # oven-dry


@dataclass(frozen=True)
class BreakPlan:
    """A piece that comes off after the round of that day."""

    board: str
    day: int
    share: float
    reason: str


@dataclass(frozen=True)
class WithdrawalPlan:
    """A board taken out after the round of that day."""

    board: str
    day: int
    reason: str


@dataclass(frozen=True)
class Misread:
    """A weight first written down wrong, put right the same day."""

    board: str
    day: int
    wrong: str
    reason: str
    at: str = "08:05"


@dataclass(frozen=True)
class Happening:
    """An event."""

    day: int
    at: str
    kind: str
    state: str = ""
    value: str = ""
    unit: str = ""
    note: str = ""


@dataclass(frozen=True)
class ChargePlan:
    """One charge. Days are counted from the day it was loaded, which is day 0."""

    charge: str
    kiln: str
    schedule: Schedule
    loaded: str  # local, to the minute; empty while planned
    lots: tuple[LotPlan, ...]
    boards: tuple[BoardPlan, ...] = ()
    target_mc_pct: float = 7
    control_rule: str = "wettest half"
    scale: Scale = BENCH
    section_scale: Scale = SECTION_BALANCE
    celsius_oven: bool = True
    method: str = "oven"
    round_at: str = "07:20"
    every_day_until: int = 99  # afterwards every third day
    last_day: int | None = None  # the charge still runs: its last round
    steps: tuple[tuple[int, int, str], ...] = ()  # step, day, reason; empty: by the control figure
    first_step: int = 1
    recuts: tuple[RecutPlan, ...] = ()
    breaks: tuple[BreakPlan, ...] = ()
    withdrawals: tuple[WithdrawalPlan, ...] = ()
    misreads: tuple[Misread, ...] = ()
    late_days: tuple[int, ...] = ()  # rounds copied from the sheet in the evening
    pinned: tuple[tuple[str, int, str], ...] = ()  # board, day, weight as written
    happenings: tuple[Happening, ...] = ()
    decisions: tuple[tuple[int, str, str, str, str], ...] = ()  # day, time, code, subject, note
    moves: tuple[tuple[str, int], ...] = ()  # kiln, day it goes in
    stopped_on_day: int | None = None  # given up before its target
    closing: str = ""  # why it was closed; empty: not closed
    closed_after_days: int = 2
    spoiled: tuple[str, str, str] = ("", "", "")  # board, section, why it was rejected
    by_oven_weighings: bool = False  # sections weighed in the oven until constant
    in_oven: bool = False  # sections not dry yet
    notes: str = ""
