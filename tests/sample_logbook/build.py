"""Rebuild ``sample_db``: ``python -m tests.sample_logbook.build``. The same bytes every time."""

from __future__ import annotations

from pathlib import Path

from tests.sample_logbook.air import write_air
from tests.sample_logbook.charges_2025 import CHARGES_2025
from tests.sample_logbook.charges_2026 import CHARGES_2026
from tests.sample_logbook.charges_open import CHARGES_OPEN
from tests.sample_logbook.finishes_2025 import FINISHES_2025
from tests.sample_logbook.finishes_2026 import FINISHES_2026
from tests.sample_logbook.finishing import Finishing
from tests.sample_logbook.mill import INSTRUMENTS, KILNS, SCHEDULES, SETTINGS, ZONE
from tests.sample_logbook.plan import ChargePlan
from tests.sample_logbook.probes import write_heat
from tests.sample_logbook.run import Run
from tests.sample_logbook.tables import COLUMNS, Tables, number, uid_for

FOLDER = Path(__file__).parents[2] / "sample_db"


def build() -> dict[str, str]:
    """The text of every file by its name."""
    tables = Tables()
    for setting in SETTINGS:
        tables.add("settings", **setting)
    for kiln in KILNS:
        tables.add("kilns", **kiln)
    _instruments(tables)
    _schedules(tables)
    finishes = {finish.charge: finish for finish in (*FINISHES_2025, *FINISHES_2026)}
    for plan in (*CHARGES_2025, *CHARGES_2026, *CHARGES_OPEN):
        _lots(plan, tables)
        if plan.loaded:
            Run(plan, tables).go()
            if plan.charge in finishes:
                Finishing(plan, finishes[plan.charge], tables).go()
        else:
            tables.add(
                "charges",
                charge=plan.charge,
                kiln=plan.kiln,
                zone=ZONE,
                target_mc_pct=number(plan.target_mc_pct),
                control_rule=plan.control_rule,
                schedule=plan.schedule.name,
                notes=plan.notes,
            )
    write_air(tables)
    write_heat(tables)
    return {f"{name}.csv": tables.text(name) for name in COLUMNS}


def _instruments(tables: Tables) -> None:
    """Each with its first check, and a change for every later one."""
    for one in INSTRUMENTS:
        before = ""
        for at, result in one.checks:
            uid = uid_for("instrument", one.instrument, at)
            tables.add(
                "instruments",
                instrument=one.instrument,
                kind=one.kind,
                division=one.division,
                unit=one.unit,
                checked_at=f"{at}[{ZONE}]",
                check_result=result,
                observed_at=f"{at}[{ZONE}]",
                uid=uid,
                supersedes=before,
                version="change" if before else "first",
            )
            before = uid


def _schedules(tables: Tables) -> None:
    for schedule in SCHEDULES:
        for index, step in enumerate(schedule.steps):
            values = {
                "from_mc_pct": step.from_mc_pct,
                "to_mc_pct": step.to_mc_pct,
                "dry_bulb": step.dry_bulb,
                "wet_bulb": step.wet_bulb,
                "depression": step.depression,
                "rh_pct": step.rh_pct,
            }
            tables.add(
                "schedule_steps",
                schedule=schedule.name,
                step=str(index + 1),
                temperature_unit=schedule.temperature_unit,
                **{name: number(value) for name, value in values.items() if value is not None},
            )


def _lots(plan: ChargePlan, tables: Tables) -> None:
    for lot in plan.lots:
        low, high, source = lot.limits
        tables.add(
            "lots",
            charge=plan.charge,
            lot=lot.lot,
            owner=lot.owner,
            species=lot.called,
            thickness=lot.thickness,
            volume=lot.volume,
            volume_unit=lot.unit,
            target_mc_pct=lot.target,
            mc_low_pct=low,
            mc_high_pct=high,
            limits_from=source,
            safe_rate_pct_per_day=lot.safe_rate_text,
            basic_specific_gravity=f"{lot.species.specific_gravity:.2f}",
            governs=lot.governs,
            out_at=lot.out_at,
        )


def main() -> None:
    """Write the files."""
    for name, text in build().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
