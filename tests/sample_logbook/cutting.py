"""Cutting a sample board: its sections, their day in the oven, and what is written down about it."""

from __future__ import annotations

import math
import random
from datetime import datetime, timedelta

from tests.sample_logbook.plan import BoardPlan, ChargePlan, LotPlan
from tests.sample_logbook.tables import Tables
from tests.sample_logbook.wood import GRAMS_PER_OUNCE, GRAMS_PER_POUND, Scale, SimulatedBoard

BOARD_LENGTH_M = 0.71  # 28 in, what is left of 30 in once two sections are off
SECTION_LENGTH_M = 0.0254  # 1 in along the grain
GRAMS_PER_M3_OF_WATER = 1e6

#: How a section nears its oven-dry weight: the share of its water left e-folds in this time [h].
OVEN_HOURS = 2.4


def cut_board(
    plan: ChargePlan, lot: LotPlan, board: BoardPlan, when: datetime, chance: random.Random, tables: Tables
) -> SimulatedBoard:
    """Cut it, write it down, and return the truth about it."""
    width_m = chance.uniform(0.135, 0.175)
    volume_m3 = BOARD_LENGTH_M * width_m * lot.thickness_m
    density = lot.species.specific_gravity * chance.uniform(0.95, 1.05) * GRAMS_PER_M3_OF_WATER
    low, high = lot.species.green_mc_pct
    truth = SimulatedBoard(
        oven_dry_g=board.oven_dry_g or volume_m3 * density,
        mc_pct=board.start_mc_pct or chance.uniform(low, high),
        vigour=board.vigour or chance.uniform(0.9, 1.1),
    )
    start, start_g = plan.scale.read(truth.weight_g, chance)
    minutes = chance.randrange(2, 7)
    tables.add(
        "boards",
        charge=plan.charge,
        board=board.board,
        lot=board.lot,
        cut_at=when.strftime("%Y-%m-%d %H:%M"),
        start_weight=start,
        weight_unit=plan.scale.unit,
        coating_weight=board.coating,
        cut_from=f"{chance.choice(('8', '10', '12'))} ft board, {chance.choice(('2', '3'))} ft from the end",
        wood=board.wood,
        sawn=board.sawn,
        coated="yes",
        minutes_to_weighing=str(minutes),
        position=board.position,
        replaces=board.replaces,
        scale_division=""
        if plan.scale.decimals in {0, 1} or plan.scale.step == 0.01
        else str(plan.scale.step),
        notes=board.notes,
    )
    section_dry_g = SECTION_LENGTH_M * width_m * lot.thickness_m * density
    mcs = _sections(plan, board, truth, when, section_dry_g, chance, tables)
    truth.coating_g = float(board.coating or 0) * _grams(plan.scale)
    if not plan.in_oven:
        truth.recorded_oven_dry_g = 100 * start_g / (100 + sum(mcs) / len(mcs))
    return truth


def _grams(scale: Scale) -> float:
    return {"g": 1.0, "lb": GRAMS_PER_POUND, "lb oz": GRAMS_PER_OUNCE}[scale.unit]


def _sections(
    plan: ChargePlan,
    board: BoardPlan,
    truth: SimulatedBoard,
    when: datetime,
    dry_g: float,
    chance: random.Random,
    tables: Tables,
) -> list[float]:
    """Write down its sections; the MC of each that is accepted."""
    scale = plan.section_scale
    mcs = []
    for index, label in enumerate(("A", "B")):
        true_dry_g = dry_g * chance.uniform(0.96, 1.04)
        mc_pct = truth.mc_pct + board.section_bias_pct + chance.gauss(0, 0.5)
        wet, wet_g = scale.read(true_dry_g * (1 + mc_pct / 100), chance)
        dry, now_dry_g = scale.read(true_dry_g, chance)
        if board.sections:
            wet, dry = board.sections[index]
            wet_g, now_dry_g = float(wet), float(dry)
        rejected = ""
        if plan.spoiled[:2] == (board.board, label):
            rejected = plan.spoiled[2]
            dry, _ = scale.read(true_dry_g * 0.955, chance)
        else:
            mcs.append(100 * (wet_g / now_dry_g - 1))
        taken = when + timedelta(minutes=1 + index)
        typed = not (plan.in_oven or plan.by_oven_weighings) or bool(rejected)
        tables.add(
            "sections",
            charge=plan.charge,
            board=board.board,
            section=label,
            taken_at=taken.strftime("%Y-%m-%d %H:%M"),
            wet_weight=wet,
            oven_dry_weight=dry if typed else "",
            dried_at=(taken + timedelta(hours=24)).strftime("%Y-%m-%d %H:%M") if typed else "",
            method=plan.method,
            oven_temperature="103" if plan.celsius_oven else "217",
            temperature_unit="C" if plan.celsius_oven else "F",
            weight_unit=scale.unit,
            rejected_because=rejected,
        )
        if plan.in_oven:
            _oven(plan, board.board, label, taken, wet_g, true_dry_g, (5, 8, 10), scale, chance, tables)
        elif plan.by_oven_weighings and not rejected:
            _oven(plan, board.board, label, taken, wet_g, now_dry_g, (18, 21, 23, 25), scale, chance, tables)
    return mcs


def _oven(
    plan: ChargePlan,
    board: str,
    section: str,
    taken: datetime,
    wet_g: float,
    dry_g: float,
    hours: tuple[int, ...],
    scale: Scale,
    chance: random.Random,
    tables: Tables,
) -> None:
    """Its weighings on the way to constant weight."""
    for after in hours:
        text, _ = scale.read(dry_g + (wet_g - dry_g) * math.exp(-after / OVEN_HOURS), chance)
        tables.add(
            "oven_weighings",
            charge=plan.charge,
            board=board,
            section=section,
            weighed_at=(taken + timedelta(hours=after)).strftime("%Y-%m-%d %H:%M"),
            weight=text,
            weight_unit=scale.unit,
        )
