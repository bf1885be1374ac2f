"""The small pieces that the figures of a charge share, now and once per round."""

from __future__ import annotations

from typing import Any

from kilnlog.drying.figures import AirFigures, Basis, Control, Extreme, ScheduleFigures

Figures = dict[str, Any]


def basis_figures(basis: Basis | None) -> Figures | None:
    """The basis of a board as plain data."""
    return {"kind": basis.kind.value, "at": basis.at.iso()} if basis else None


def control_figures(control: Control) -> Figures:
    """The controlling figure as plain data."""
    return {"rule": control.rule.value, "mc_pct": control.mc_pct, "boards": list(control.boards)}


def extreme_figures(extreme: Extreme | None) -> Figures | None:
    """The wettest or driest board as plain data."""
    return {"board": extreme.board, "mc_pct": extreme.mc_pct} if extreme else None


def schedule_parts(schedule: ScheduleFigures | None) -> Figures | None:
    """Where a charge stands in its schedule as plain data."""
    if schedule is None:
        return None
    return {
        "name": schedule.schedule,
        "step": schedule.step,
        "of": schedule.of,
        "due": schedule.due,
        "set_points": dict(schedule.set_points),
    }


def air_parts(air: AirFigures | None) -> Figures | None:
    """The last reading of the kiln's air as plain data."""
    if air is None:
        return None
    return {
        "dry_bulb_c": air.dry_bulb_c,
        "wet_bulb_c": air.wet_bulb_c,
        "depression_c": air.depression_c,
        "rh_pct": air.rh_pct,
        "emc_pct": air.emc_pct,
        "humidity_ratio": air.humidity_ratio,
        "pressure_pa": air.pressure_pa,
        "read_at": air.read_at.iso(),
        "source": air.source,
        "sensor": air.sensor,
    }
