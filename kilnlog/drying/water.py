"""Water in the lumber of a charge: how much there is, has left, and leaves now.

The sample boards speak for their lot: its lumber is taken at the mean of its usable boards. A volume in board
feet goes by nominal sizes and so overstates surfaced lumber, and the water in it by as much.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from kilnlog.drying.control import mean_of
from kilnlog.drying.figures import BoardFigures, ChargeWater, LotFigures, LotWater
from kilnlog.drying.lots import usable_mc
from kilnlog.drying.moisture_content import mean_mc_pct
from kilnlog.records.lot import Lot
from kilnlog.records.measures import cubic_metres
from kilnlog.reference.tables import Reference

#: Weight of a cubic metre of water [kg], which a specific gravity is told against.
WATER_KG_PER_M3 = 1000
OWN_GRAVITY = "the specific gravity typed for this lot"


def evaporated_kg(volume_m3: float, basic_specific_gravity: float, from_pct: float, to_pct: float) -> float:
    """Water between two moisture contents: V x 1000 x Gb x (MC1 - MC2)/100 [kg].

    Args:
        volume_m3: Green volume of the wood itself [m3].
        basic_specific_gravity: Oven-dry weight on green volume.
        from_pct: The wetter moisture content [%].
        to_pct: The drier one [%].

    >>> round(evaporated_kg(10, 0.56, 80, 7))
    4088
    """
    return dry_wood_kg(volume_m3, basic_specific_gravity) * (from_pct - to_pct) / 100


def dry_wood_kg(volume_m3: float, basic_specific_gravity: float) -> float:
    """Oven-dry weight of wood by its green volume [kg]."""
    return volume_m3 * WATER_KG_PER_M3 * basic_specific_gravity


def charge_water(
    lots: Sequence[LotFigures], boards: Sequence[BoardFigures], reference: Reference
) -> ChargeWater:
    """The water of the lots still in the kiln."""
    inside = [lot for lot in lots if not lot.is_out]
    told = tuple(_lots_told(inside, boards, reference))
    names = {lot.lot for lot in told}
    return ChargeWater(
        lots=told,
        left_out=tuple(lot.lot for lot in inside if lot.lot not in names),
        leaving_kg_per_day=_sum(lot.leaving_kg_per_day for lot in told),
        left_kg=_sum(lot.left_kg for lot in told),
        to_lose_kg=_sum(lot.to_lose_kg for lot in told),
    )


def specific_gravity(lot: Lot, reference: Reference) -> tuple[float, str] | None:
    """The lot's basic specific gravity and where it is from: typed, or published for its species."""
    if lot.basic_specific_gravity is not None:
        return lot.basic_specific_gravity, OWN_GRAVITY
    species = None if lot.species is None else reference.species_named(lot.species)
    if species is None or species.basic_specific_gravity is None:
        return None
    return species.basic_specific_gravity, species.source


def _lots_told(
    lots: Sequence[LotFigures], boards: Sequence[BoardFigures], reference: Reference
) -> Iterator[LotWater]:
    for lot in lots:
        own = [board for board in boards if board.lot_entity == lot.entity and board.usable]
        gravity = specific_gravity(lot.fact, reference)
        if gravity is None or lot.fact.volume is None or lot.fact.volume_unit is None or not own:
            continue
        volume_m3 = cubic_metres(lot.fact.volume, lot.fact.volume_unit)
        dry_kg = dry_wood_kg(volume_m3, gravity[0])
        now = mean_of(usable_mc(own))
        yield LotWater(
            lot=lot.lot,
            dry_wood_kg=dry_kg,
            volume_m3=volume_m3,
            basic_specific_gravity=gravity[0],
            gravity_source=gravity[1],
            leaving_kg_per_day=_water_kg(dry_kg, _mean(board.rate_pct_per_day for board in own), 0.0),
            left_kg=_water_kg(dry_kg, _mean(board.start_mc_pct for board in own), now),
            to_lose_kg=_water_kg(dry_kg, above_target_points(own, lot.target_mc_pct), 0.0),
        )


def above_target_points(boards: Sequence[BoardFigures], target_pct: float | None) -> float | None:
    """How far boards stand above a target, in the mean [MC points].

    One past it counts as at it: what it lost too much takes nothing off what another has still to lose.
    """
    told = usable_mc(boards)
    return (
        None if target_pct is None or not told else mean_mc_pct([max(mc - target_pct, 0.0) for _, mc in told])
    )


def _water_kg(dry_kg: float, from_pct: float | None, to_pct: float | None) -> float | None:
    return None if from_pct is None or to_pct is None else dry_kg * (from_pct - to_pct) / 100


def _mean(of_boards: Iterable[float | None]) -> float | None:
    """Their mean; None where one of them does not tell, since the rest speak for other lumber."""
    values = list(of_boards)
    told = [value for value in values if value is not None]
    return mean_mc_pct(told) if told and len(told) == len(values) else None


def _sum(parts: Iterable[float | None]) -> float | None:
    told = [part for part in parts if part is not None]
    return sum(told) if told else None
