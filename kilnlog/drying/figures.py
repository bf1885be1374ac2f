"""The figures of an assessment: frozen, complete, and all that any view or paper may show.

Labels are as typed, ``entity`` is what other facts refer to. Weights are in grams, moisture contents (MC) in
percent of oven-dry weight, rates in points of MC lost per day (a loss is positive). What cannot be worked out
yet is None.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kilnlog.drying.finding import Finding
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.words import ControlRule, TemperatureUnit


class BoardState(StrEnum):
    """Where a board stands."""

    DRYING_OVEN = "drying oven"  # its sections are still in the oven
    IN_USE = "in use"
    WITHDRAWN = "withdrawn"
    OUT = "out"  # its lot has left


class ChargeState(StrEnum):
    """Where a charge stands."""

    PLANNED = "planned"
    DRYING = "drying"
    UNLOADED = "unloaded"
    CLOSED = "closed"
    TAKEN_BACK = "taken back"


class Phase(StrEnum):
    """What the operator is doing, by the events written down."""

    DRYING = "drying"
    EQUALIZING = "equalizing"
    EQUALIZED = "equalized"
    CONDITIONING = "conditioning"
    CONDITIONED = "conditioned"

    @property
    def is_treatment(self) -> bool:
        """Whether the air is kept by the end of the run now, and no longer by a step."""
        return self in (Phase.EQUALIZING, Phase.CONDITIONING)


class BasisKind(StrEnum):
    """What a board's oven-dry weight rests on."""

    SECTIONS = "sections"
    TYPED = "typed"
    RECUT = "recut"
    BREAK = "break"
    PROVISIONAL = "provisional"  # recut, its section still in the oven


class PointKind(StrEnum):
    """What a weight on the curve came from."""

    START = "start"
    WEIGHING = "weighing"
    RECUT = "recut"  # the whole board just before cutting
    BREAK = "break"  # the whole board just before breaking


@dataclass(frozen=True, slots=True)
class Basis:
    """One oven-dry weight of a board, from a moment on."""

    kind: BasisKind
    at: Moment
    oven_dry_weight_g: float
    corrected_oven_dry_weight_g: float | None = None  # of the same piece, by a later recut


@dataclass(frozen=True, slots=True)
class SectionFigures:
    """One section with its moisture content, or why it has none."""

    entity: str
    section: str
    wet_weight_g: float
    oven_dry_weight_g: float | None  # typed, or reached by its oven weighings under the rule in force
    from_oven_weighings: bool  # the oven-dry weight was found by the constant-weight rule
    constant_by_rule: bool | None  # None without oven weighings, or where the rule cannot judge them
    mc_pct: float | None
    rejected_because: str | None


@dataclass(frozen=True, slots=True)
class Point:
    """One weight of a board and what it means."""

    entity: str  # of the row it came from
    at: Moment
    kind: PointKind
    weight_g: float  # as weighed
    net_weight_g: float  # less the end coats then on the board
    oven_dry_weight_g: float | None  # that governs here
    mc_pct: float | None
    mc_uncertainty_pct: float | None  # expanded, k = 2
    first_estimate_mc_pct: (
        float | None
    )  # by the basis known at the time; None unless a later recut re-based it
    rate_pct_per_day: float | None  # since the point before


@dataclass(frozen=True, slots=True)
class BoardFigures:
    """One sample board."""

    entity: str
    board: str
    lot: str | None  # the lot's label
    lot_entity: str | None
    fact: Board
    cut_at: Moment
    state: BoardState
    usable: bool  # has a basis, is in use
    governs: bool  # usable, and of a lot that governs: the control is taken from among these
    feeds_control: bool  # the control figure was taken from it
    sections: tuple[SectionFigures, ...]
    start_mc_pct: float | None
    bases: tuple[Basis, ...]  # oldest first; the last is in force
    points: tuple[Point, ...]  # oldest first, the start weight leading
    oven_dry_weight_g: float | None  # of the board as it is now
    weight_g: float | None  # last, as weighed
    weight_at: Moment | None
    weight_at_target_g: float | None  # what the scale will show at the target (end coats included)
    water_to_lose_g: float | None
    target_mc_pct: float | None
    expected_low_g: float | None  # for a weighing at the moment of the assessment
    expected_high_g: float | None
    mc_pct: float | None
    mc_uncertainty_pct: float | None  # expanded, k = 2
    rate_pct_per_day: float | None
    loss_since_last_pct: float | None
    mc_per_division_pct: float | None  # what one scale division is worth
    scale_division_g: float | None
    carried: bool  # the last round missed it: its last MC is carried
    since: Moment | None  # when the MC was observed
    withdrawn_at: Moment | None

    @property
    def basis(self) -> Basis | None:
        """The basis in force."""
        return self.bases[-1] if self.bases else None

    @property
    def has_sections(self) -> bool:
        """Whether a section was cut from it, with the board or by a recut, that can tell its moisture."""
        cut = any(section.rejected_because is None for section in self.sections)
        return cut or any(point.kind is PointKind.RECUT for point in self.points)


@dataclass(frozen=True, slots=True)
class Extreme:
    """The wettest or driest usable board."""

    board: str
    mc_pct: float


@dataclass(frozen=True, slots=True)
class Control:
    """The controlling figure by its rule, with the boards it was taken from."""

    rule: ControlRule
    mc_pct: float | None
    boards: tuple[str, ...]  # labels, wettest first


@dataclass(frozen=True, slots=True)
class LotFigures:
    """One lot: the same figures over its own usable boards."""

    entity: str
    lot: str
    fact: Lot
    is_out: bool
    target_mc_pct: float | None
    boards: tuple[str, ...]
    control: Control
    wettest: Extreme | None
    driest: Extreme | None
    mean_mc_pct: float | None
    rate_limit_pct_per_day: float | None = (
        None  # its own, else the published one for its species and thickness
    )
    rate_limit_source: str | None = None


@dataclass(frozen=True, slots=True)
class RoundFigures:
    """The charge at one weighing round, by all that is known now."""

    at: Moment  # of the round's first weight
    until: Moment  # of its last
    weighed: tuple[str, ...]  # labels
    carried: tuple[str, ...]
    mc_pct: Mapping[str, float]  # by label: every usable board, weighed or carried
    rate_pct_per_day: Mapping[str, float]  # by label, of those weighed
    control: Control
    wettest: Extreme | None
    driest: Extreme | None
    mean_mc_pct: float | None


@dataclass(frozen=True, slots=True)
class ScheduleFigures:
    """Where the charge stands in its schedule."""

    schedule: str
    step: int  # the step in force: the last one taken, or the first
    of: int
    due: int | None  # the step the control calls for, where that is a later one and every board was weighed;
    # None while the charge is equalized, and from conditioning on
    called_for: int | None  # what the control figure calls for, due or not
    set_points: Mapping[str, float | str]  # of the step in force, in the terms it was written in


@dataclass(frozen=True, slots=True)
class LotWater:
    """Water of one lot's lumber [kg], by the mean of its usable boards; None where they do not tell yet."""

    lot: str
    dry_wood_kg: float
    volume_m3: float
    basic_specific_gravity: float
    gravity_source: str
    leaving_kg_per_day: float | None  # by the mean rate of its boards; below 0 where they gain
    left_kg: float | None  # since its boards were cut
    to_lose_kg: float | None  # to the lot's target, by the boards above it: never below 0


@dataclass(frozen=True, slots=True)
class ChargeWater:
    """Water of a charge, over the lots whose water can be worked out; None where none tells."""

    lots: tuple[LotWater, ...]
    left_out: tuple[str, ...]  # lots in the kiln without a volume, a specific gravity or a usable board
    leaving_kg_per_day: float | None
    left_kg: float | None
    to_lose_kg: float | None


@dataclass(frozen=True, slots=True)
class AirFigures:
    """One reading of the kiln's air; None what it does not tell."""

    dry_bulb_c: float | None
    wet_bulb_c: float | None
    depression_c: float | None
    rh_pct: float | None
    emc_pct: float | None
    humidity_ratio: float | None  # [kg water per kg dry air]
    pressure_pa: float  # barometric, at the kiln's altitude
    read_at: Moment
    source: str  # "read by hand", "logger"
    sensor: str | None


@dataclass(frozen=True, slots=True)
class Venting:
    """What goes with each kilogram of water that leaves the wood."""

    dry_air_kg: float  # of dry air, coming in and going out
    outside_m3: float  # of outside air drawn in, moist as it is
    kiln_m3: float  # of kiln air sent out
    warming_kj: float  # to bring that outside air to the kiln's dry bulb
    evaporating_kj: float  # to evaporate the water at the kiln's wet bulb


@dataclass(frozen=True, slots=True)
class ChargeVenting:
    """What carries off the water that leaves the charge now, however the air gets in and out: leaks count.

    None where the outside air is as humid as the kiln's and carries nothing off.
    """

    outside_dry_bulb_c: float
    outside_rh_pct: float
    outside_is_default: bool  # nobody set it
    water_kg_per_h: float
    inside_humidity_ratio: float  # [kg water per kg dry air]
    outside_humidity_ratio: float
    per_kg: Venting | None
    outside_m3_per_h: float | None  # outside air drawn in
    kiln_m3_per_h: float | None  # kiln air sent out
    evaporating_kw: float | None  # heat that goes into the vapour
    warming_kw: float | None  # heat that warms the outside air
    exhaust_m3_per_h: float | None  # what the kiln's exhaust moves while it runs
    exhaust_share: float | None  # of the time it must run; above 1 it cannot keep up
    read_at: Moment  # of the kiln's air it was worked out with


@dataclass(frozen=True)
class Assessment:
    """All that follows from one charge's record at one moment."""

    charge: Charge
    entity: str
    at: Moment
    state: ChargeState
    kiln: str | None  # its name
    loaded_at: Moment | None
    days: float | None  # since loading, until it was unloaded or closed
    target_mc_pct: float | None
    boards: tuple[BoardFigures, ...]  # in walking order
    lots: tuple[LotFigures, ...]
    rounds: tuple[RoundFigures, ...]  # oldest first
    control: Control
    wettest: Extreme | None
    driest: Extreme | None
    mean_mc_pct: float | None
    schedule: ScheduleFigures | None
    findings: tuple[Finding, ...]  # most urgent first
    water: ChargeWater | None = None  # None only where nothing was worked out yet
    air: AirFigures | None = None  # of the air that enters the load, as last read
    venting: ChargeVenting | None = None  # None unless it dries in air read lately, and water leaves
    temperature_unit: TemperatureUnit = TemperatureUnit.FAHRENHEIT  # what its kiln's thermometers show
    air_leaving: AirFigures | None = None  # of the air that leaves it, where that is read as well
    phase: Phase = Phase.DRYING  # of a charge that dries; by the events written down
    phase_since: Moment | None = None  # None while it is that of drying

    def board_named(self, label: str) -> BoardFigures:
        """The board of that label; raises KeyError."""
        for board in self.boards:
            if board.board == label:
                return board
        raise KeyError(label)
