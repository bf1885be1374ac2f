"""A lot: lumber of one owner, species and thickness within a charge."""

from dataclasses import dataclass

from kilnlog.records.moment import Moment
from kilnlog.records.references import ChargeRef
from kilnlog.records.words import VolumeUnit


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot with its own target and limits; what is None falls back to the charge."""

    charge: ChargeRef
    lot: str  # its label, unique in the charge
    owner: str | None = None
    species: str | None = None
    thickness: str | None = None  # as typed: 4/4, 1 1/4 in, 27 mm
    volume: float | None = None  # [volume_unit], above 0
    volume_unit: VolumeUnit | None = None
    target_mc_pct: float | None = None
    mc_low_pct: float | None = None
    mc_high_pct: float | None = None
    limits_from: str | None = None  # who set the limits: a standard, the order's words
    safe_rate_pct_per_day: float | None = None  # the most it may lose, above 0
    basic_specific_gravity: float | None = None  # oven-dry weight on green volume
    governs: bool = False  # whether its boards feed the control figure
    out_at: Moment | None = None  # when it left the charge before the rest
