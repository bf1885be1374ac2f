"""“Show working” of a charge's water and of what must be vented for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from kilnlog.drying.figures import Assessment, BoardFigures, ChargeVenting, LotWater
from kilnlog.drying.water import WATER_KG_PER_M3, above_target_points
from kilnlog.logbook import figures
from kilnlog.logbook.kiln_air_words import temperature
from kilnlog.logbook.working_form import Working
from kilnlog.records.words import VolumeUnit

WATER_SOURCE = (
    "water = volume × 1000 × basic specific gravity × MC ÷ 100, worked out; the lumber of a lot is taken at "
    "the mean of its sample boards"
)
VENT_SOURCE = "water balance of the air; ASHRAE Fundamentals (2017), chapter 1"
HEAT_SOURCE = "heat balance of the air; ASHRAE Fundamentals (2017), chapter 1"
LEAKS = "However the air gets in and out: leaks count as vents do."


def _water_leaving(assessment: Assessment) -> Working | None:
    water = assessment.water
    if water is None or water.leaving_kg_per_day is None:
        return None
    told = [lot for lot in water.lots if lot.leaving_kg_per_day is not None]
    lines = [line for lot in told for line in _leaving(assessment, lot)]
    lines += _total([lot.leaving_kg_per_day for lot in water.lots], water.leaving_kg_per_day, "kg a day")
    return Working("Water leaving the charge", (*lines, *_notes(assessment)), _source(assessment))


def _leaving(assessment: Assessment, lot: LotWater) -> Iterator[str]:
    yield _dry_wood(lot)
    kg = lot.leaving_kg_per_day or 0.0
    rates = [board.rate_pct_per_day or 0.0 for board in _boards(assessment, lot)]
    mean = sum(rates) / len(rates)
    if len(rates) > 1:
        yield f"({' + '.join(figures.number(rate, 3) for rate in rates)}) ÷ {len(rates)} = {_pct(mean)} a day"
    yield f"{_kg(lot.dry_wood_kg)} × {_pct(mean)} ÷ 100 = {_kg(kg)} a day"


def _water_left(assessment: Assessment) -> Working | None:
    water = assessment.water
    if water is None or water.left_kg is None:
        return None
    lines: list[str] = []
    for lot in water.lots:
        boards = _boards(assessment, lot)
        if lot.left_kg is not None:
            start = _mean([board.start_mc_pct for board in boards])
            now = _mean([board.mc_pct for board in boards])
            lines += [_dry_wood(lot), _between(lot, start, now, lot.left_kg)]
    lines += _total([lot.left_kg for lot in water.lots], water.left_kg, "kg")
    return Working("Water that has left the charge", (*lines, *_notes(assessment)), _source(assessment))


def _water_to_lose(assessment: Assessment) -> Working | None:
    water = assessment.water
    if water is None or water.to_lose_kg is None:
        return None
    lines: list[str] = []
    targets = {lot.lot: lot.target_mc_pct for lot in assessment.lots}
    for lot in water.lots:
        if lot.to_lose_kg is not None:
            lines += _to_lose(assessment, lot, targets[lot.lot] or 0.0)
    lines += _total([lot.to_lose_kg for lot in water.lots], water.to_lose_kg, "kg")
    return Working("Water the charge has still to lose", (*lines, *_notes(assessment)), _source(assessment))


def _to_lose(assessment: Assessment, lot: LotWater, target_pct: float) -> Iterator[str]:
    boards = [board for board in _boards(assessment, lot) if board.mc_pct is not None]
    mean = f"{figures.number(above_target_points(boards, target_pct), 3)} %"
    past = [board.board for board in boards if (board.mc_pct or 0.0) < target_pct]
    above = [
        "0"
        if board.board in past
        else f"({figures.number(board.mc_pct, 3)} − {figures.number(target_pct, 3)})"
        for board in boards
    ]
    yield _dry_wood(lot)
    yield f"({' + '.join(above)}) ÷ {len(boards)} = {mean} above the target"
    yield f"{_kg(lot.dry_wood_kg)} × {mean} ÷ 100 = {_kg(lot.to_lose_kg or 0.0)}"
    if past:
        yield f"Past the target, and so counted as 0: {', '.join(past)}."


def _venting(assessment: Assessment) -> Working | None:
    vent = assessment.venting
    if vent is None:
        return None
    if vent.per_kg is None or vent.outside_m3_per_h is None:
        return Working("Outside air for the water", (_airs(assessment, vent), _too_humid(vent)), VENT_SOURCE)
    inside, outside = (
        figures.number(ratio, 6) for ratio in (vent.inside_humidity_ratio, vent.outside_humidity_ratio)
    )
    lines = [
        _airs(assessment, vent),
        _per_hour(assessment, vent),
        f"1 ÷ ({inside} − {outside})"
        f" = {figures.number(vent.per_kg.dry_air_kg, 1)} kg of dry air for each kg of water",
        f"{_kg_per_h(vent)} × {figures.number(vent.per_kg.outside_m3, 3)} m³ of outside air for each kg"
        f" = {figures.number(vent.outside_m3_per_h, 0)} m³ an hour",
        LEAKS,
    ]
    return Working("Outside air for the water", tuple(lines), VENT_SOURCE)


def _exhaust(assessment: Assessment) -> Working | None:
    vent = assessment.venting
    if vent is None or vent.per_kg is None or vent.exhaust_share is None or vent.kiln_m3_per_h is None:
        return None
    moves = f"{figures.trimmed(vent.exhaust_m3_per_h)} m³ an hour"
    carries = f"{figures.number(vent.kiln_m3_per_h, 1)} m³ an hour"
    lines = [
        _airs(assessment, vent),
        _per_hour(assessment, vent),
        f"{_kg_per_h(vent)} × {figures.number(vent.per_kg.kiln_m3, 4)} m³ of kiln air a kg = {carries}",
        f"{carries} ÷ {moves} × 100 = {share_pct(vent.exhaust_share)} %",
        exhaust_words(vent.exhaust_share),
        LEAKS,
    ]
    return Working("How long the exhaust must run", tuple(lines), VENT_SOURCE)


def _heat(assessment: Assessment) -> Working | None:
    vent = assessment.venting
    if vent is None or vent.per_kg is None or vent.evaporating_kw is None or vent.warming_kw is None:
        return None
    lines = [
        _airs(assessment, vent),
        _per_hour(assessment, vent),
        _kilowatts(vent, vent.per_kg.evaporating_kj, vent.evaporating_kw, "to evaporate the water"),
        _kilowatts(vent, vent.per_kg.warming_kj, vent.warming_kw, "to warm the outside air"),
        "What walls lose and what warms the wood comes on top.",
    ]
    return Working("Heat for the water", tuple(lines), HEAT_SOURCE)


def _kilowatts(vent: ChargeVenting, kj: float, kw: float, what: str) -> str:
    each = f"{figures.number(kj, 1)} kJ for each kg"
    return f"{_kg_per_h(vent)} × {each} ÷ 3600 = {figures.number(kw, 2)} kW {what}"


def exhaust_words(share: float) -> str:
    """``The exhaust must run about 35 % of the time.``"""
    if share > 1:
        return "The exhaust cannot keep up: more air must pass than it moves."
    return f"The exhaust must run about {share_pct(share)} % of the time."


def venting_line(vent: ChargeVenting) -> str:
    """``Venting: about 142 m³ an hour of outside air. The exhaust must run about 35 % of the time.``"""
    if vent.outside_m3_per_h is None:
        return f"Venting: {_too_humid(vent)}"
    amount = f"{figures.number(vent.outside_m3_per_h, 0)} m³ an hour"
    air = f"Venting: about {amount} of outside air, leaks included."
    return air if vent.exhaust_share is None else f"{air} {exhaust_words(vent.exhaust_share)}"


def share_pct(share: float) -> str:
    """A share in whole percent."""
    return figures.number(100 * share, 0)


def _airs(assessment: Assessment, vent: ChargeVenting) -> str:
    unit = assessment.temperature_unit
    outside = f"{temperature(vent.outside_dry_bulb_c, unit)}, RH {figures.trimmed(vent.outside_rh_pct, 1)} %"
    whose = "taken, as nobody set it" if vent.outside_is_default else "as set"
    return f"Kiln air as read on {vent.read_at.text()}; outside air {outside}, {whose}."


def _too_humid(vent: ChargeVenting) -> str:
    inside, outside = (
        f"{figures.number(1000 * ratio, 1)} g"
        for ratio in (vent.inside_humidity_ratio, vent.outside_humidity_ratio)
    )
    return f"Outside air holds {outside} of water in a kg, the kiln's {inside}: no venting dries the kiln."


def _per_hour(assessment: Assessment, vent: ChargeVenting) -> str:
    water = assessment.water
    a_day = None if water is None else water.leaving_kg_per_day
    return f"{_kg(a_day or 0.0, 2)} a day ÷ 24 h = {_kg_per_h(vent)}"


def _kg_per_h(vent: ChargeVenting) -> str:
    return f"{figures.number(vent.water_kg_per_h, 4)} kg an hour"


def _dry_wood(lot: LotWater) -> str:
    gravity = figures.trimmed(lot.basic_specific_gravity)
    sum_of = f"{figures.number(lot.volume_m3, 4)} m³ × {WATER_KG_PER_M3} kg × {gravity}"
    return f"{lot.lot}: {sum_of} = {_kg(lot.dry_wood_kg)} of dry wood"


def _between(lot: LotWater, wetter_pct: float, drier_pct: float, kg: float) -> str:
    apart = f"({figures.number(wetter_pct, 3)} − {figures.number(drier_pct, 3)})"
    return f"{_kg(lot.dry_wood_kg)} × {apart} ÷ 100 = {_kg(kg)}"


def _total(parts: list[float | None], total: float, unit: str) -> list[str]:
    told = [figures.number(part, 2) for part in parts if part is not None]
    return [f"{' + '.join(told)} = {figures.number(total, 1)} {unit}"] if len(told) > 1 else []


def _notes(assessment: Assessment) -> Iterator[str]:
    water = assessment.water
    told = {lot.lot for lot in water.lots} if water is not None else set()
    if any(lot.fact.volume_unit is VolumeUnit.BOARD_FEET for lot in assessment.lots if lot.lot in told):
        yield "Board feet go by nominal sizes: surfaced lumber holds less wood, and less water."
    if water is not None and water.left_out:
        yield f"Without {', '.join(water.left_out)}: no volume, specific gravity or usable board."


def _source(assessment: Assessment) -> str:
    lots = () if assessment.water is None else assessment.water.lots
    return "; ".join((WATER_SOURCE, *dict.fromkeys(lot.gravity_source for lot in lots)))


def _boards(assessment: Assessment, lot: LotWater) -> list[BoardFigures]:
    entity = next(one.entity for one in assessment.lots if one.lot == lot.lot)
    return [board for board in assessment.boards if board.lot_entity == entity and board.usable]


def _mean(values: list[float | None]) -> float:
    told = [value for value in values if value is not None]
    return sum(told) / len(told)


def _kg(kg: float, decimals: int = 1) -> str:
    return f"{figures.number(kg, decimals)} kg"


def _pct(mc_pct: float) -> str:
    return f"{figures.number(mc_pct, 4)} %"


CHARGE_FIGURES: Mapping[str, Callable[[Assessment], Working | None]] = {
    "water_leaving": _water_leaving,
    "water_left": _water_left,
    "water_to_lose_charge": _water_to_lose,
    "venting": _venting,
    "exhaust": _exhaust,
    "heat": _heat,
}
