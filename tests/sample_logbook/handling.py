"""What is done to sample boards between rounds: recut, broken, withdrawn, replaced."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.sample_logbook.run import Run

SAWDUST_SHARE = 0.12  # of a section's weight, lost to the saw


def write_down(when: datetime) -> str:
    """A local time as the files take it."""
    return when.strftime("%Y-%m-%d %H:%M")


def afterwards(run: Run, day: int, ended: datetime) -> None:
    """What is done to boards once the round of that day is over."""
    plan = run.plan
    for cut in plan.recuts:
        if cut.day == day:
            _recut(run, cut.board, ended, cut.section_g, cut.coating)
    for broken in plan.breaks:
        if broken.day == day:
            board = run.boards[broken.board]
            before, _ = plan.scale.read(board.weight_g, run.chance)
            board.oven_dry_g *= 1 - broken.share
            board.recorded_oven_dry_g = (board.recorded_oven_dry_g or 0) * (1 - broken.share)
            after, _ = plan.scale.read(board.weight_g, run.chance)
            run.tables.add(
                "breaks",
                charge=plan.charge,
                board=broken.board,
                at=write_down(ended),
                weight_before=before,
                weight_after=after,
                weight_unit=plan.scale.unit,
                reason=broken.reason,
            )
    for gone in plan.withdrawals:
        if gone.day == day:
            run.boards[gone.board].in_use = False
            run.tables.add(
                "withdrawals",
                charge=plan.charge,
                board=gone.board,
                at=write_down(ended),
                reason=gone.reason,
            )
    for late in plan.boards:
        if late.replaces and late.cut_on_day == day:
            sibling = run.boards[late.replaces]
            drawn = replace(late, start_mc_pct=sibling.mc_pct + run.chance.uniform(-1, 1))
            run.cut(drawn, ended + timedelta(minutes=30))


def _recut(run: Run, label: str, when: datetime, section_g: float, coating: str) -> None:
    plan, board = run.plan, run.boards[label]
    run.dry_until(max(when, run.clock))
    before, _ = plan.scale.read(board.weight_g, run.chance)
    wet, wet_g = plan.section_scale.read(section_g * (1 + board.mc_pct / 100), run.chance)
    dry, dry_g = plan.section_scale.read(section_g, run.chance)
    sawdust_g = section_g * SAWDUST_SHARE
    board.oven_dry_g -= section_g + sawdust_g
    after, after_g = plan.scale.read(board.weight_g, run.chance)
    section_mc_pct = 100 * (wet_g / dry_g - 1)
    board.recorded_oven_dry_g = 100 * (after_g - board.coating_g) / (100 + section_mc_pct)
    board.coating_g += float(coating or 0)
    run.tables.add(
        "recuts",
        charge=plan.charge,
        board=label,
        cut_at=write_down(when),
        weight_before=before,
        section_wet=wet,
        section_oven_dry=dry,
        dried_at=write_down(when + timedelta(days=1)),
        weight_after=after,
        coating_weight=coating,
        weight_unit=plan.scale.unit,
    )
