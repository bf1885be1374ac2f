"""How a charge came out, in one word to look for: its final moisture against what was asked of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import Any

from kilnlog.logbook.final_figures import final_moisture, sealed_limits
from kilnlog.records.lot import Lot


class Outcome(StrEnum):
    """How it came out."""

    OPEN = "still open"
    INSIDE = "all inside the limits"
    OUTSIDE = "some outside the limits"
    REACHED = "no limits, mean at target"  # or drier
    SHORT = "no limits, mean wetter than target"
    UNKNOWN = "no final figure to judge by"
    TAKEN_BACK = "taken back"


#: The worst of its lots is what a charge is looked for by.
_WORST_FIRST = (Outcome.OUTSIDE, Outcome.SHORT, Outcome.UNKNOWN, Outcome.INSIDE, Outcome.REACHED)


def outcome_of(sealed: Mapping[str, Any], lots: Sequence[Lot], target_mc_pct: float | None) -> Outcome:
    """The outcome of a closed charge.

    Args:
        sealed: What its seal holds; empty where it was closed without figures.
        lots: Its lots, with the limits asked of each, for seals that name none.
        target_mc_pct: The charge's own target, for lots that have neither limits nor a target.
    """
    told = {_of_lot(sealed, lot, target_mc_pct) for lot in lots}
    return next((outcome for outcome in _WORST_FIRST if outcome in told), Outcome.UNKNOWN)


def _of_lot(sealed: Mapping[str, Any], lot: Lot, target_mc_pct: float | None) -> Outcome | None:
    """None where nothing was asked of it; unknown where something was, and nobody measured it."""
    limits = sealed_limits(sealed, lot.lot) or (lot.mc_low_pct, lot.mc_high_pct)
    target = lot.target_mc_pct if lot.target_mc_pct is not None else target_mc_pct
    final = final_moisture(sealed, lot.lot)
    if final is None:
        return None if limits == (None, None) and target is None else Outcome.UNKNOWN
    if limits != (None, None):
        return Outcome.OUTSIDE if final.outside(*limits) else Outcome.INSIDE
    if target is None:
        return None
    # What is over the meter's range enters no mean, and is wetter than any target.
    is_reached = final.mean_pct is not None and not final.over and final.mean_pct <= target
    return Outcome.REACHED if is_reached else Outcome.SHORT
