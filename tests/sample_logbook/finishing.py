"""Writing down what is found of a charge as it comes out, and how it was closed."""

from __future__ import annotations

import random
import statistics
from datetime import datetime, timedelta

from tests.sample_logbook.finish import Finish, LotFinish, Reopened, Series
from tests.sample_logbook.handling import write_down
from tests.sample_logbook.plan import ChargePlan, LotPlan
from tests.sample_logbook.tables import Row, Tables, number, uid_for

READ_AT, TESTED_AT, LOOKED_AT, TALLIED_AT, ANSWERED_AT = "09:00", "10:40", "11:20", "13:30", "15:40"
DRIED_AFTER = timedelta(hours=25)
#: What the rules make of a reading, worked out here a second time; see ``drying/closing``.
POINTS_PER_F = 0.05
#: How packs lie beside one another [standard deviations].
_SHIFTS = (0.0, 0.3, -0.2)


class Finishing:
    """One charge being finished."""

    def __init__(self, plan: ChargePlan, finish: Finish, tables: Tables) -> None:
        self.plan, self.finish, self.tables = plan, finish, tables
        self.row = next(row for row in tables.rows["charges"] if row["charge"] == plan.charge)
        self.unloaded = datetime.fromisoformat(self.row["unloaded_at"])
        self.chance = random.Random(f"kilnlog sample finish {plan.charge}")
        self.lots = {lot.lot: lot for lot in plan.lots}
        self.read: dict[tuple[str, str], tuple[str, float]] = {}  # by lot and piece: its pack and MC

    def go(self) -> None:
        """Everything of it."""
        for lot in self.finish.lots:
            self._lot(lot, self.lots[lot.lot])
        for board, at, shown, corrected in self.finish.meter_checks:
            self._add(
                "meter_checks",
                board=board,
                read_at=at,
                instrument="pin meter",
                reading_pct=shown,
                wood_temperature="118",
                temperature_unit="F",
                corrected_pct=corrected,
            )
        for answer in self.finish.answers:
            self._add(
                "step_answers",
                step=answer.step,
                answer=answer.answer,
                note=answer.note,
                observed_at=self._at(self._read_on(), ANSWERED_AT),
            )
        if (reopened := self.finish.reopened) is not None:
            self._reopen(reopened)
        for at, text in self.finish.later_notes:
            self._add("later_notes", written_at=at, text=text)

    def _read_on(self) -> datetime:
        return self.unloaded + timedelta(days=self.finish.read_after_days)

    def _lot(self, lot: LotFinish, planned: LotPlan) -> None:
        day = datetime.fromisoformat(planned.out_at) if planned.out_at else self._read_on()
        for series in lot.readings:
            self._series(planned, series, day)
        for test in lot.stress:
            self._add(
                "stress_tests",
                lot=lot.lot,
                kind=test.kind,
                piece=test.piece,
                found=test.found,
                value=test.value,
                core_value=test.core,
                unit=test.unit,
                limit=test.limit,
                hours_waited=test.waited,
                note=test.note,
                observed_at=self._at(day, TESTED_AT),
            )
        for found in lot.defects:
            self._add(
                "defects",
                lot=lot.lot,
                kind=found.kind,
                severity=found.severity,
                pieces=found.pieces,
                volume=found.volume,
                volume_unit=found.unit,
                note=found.note,
                observed_at=self._at(day, LOOKED_AT),
            )
        self._tally(lot, day)
        for answer in lot.answers:
            self._add(
                "step_answers",
                lot=lot.lot,
                step=answer.step,
                answer=answer.answer,
                note=answer.note,
                observed_at=self._at(day, "15:00" if planned.out_at else ANSWERED_AT),
            )
        if lot.closed:
            self._add("closings", lot=lot.lot, closed_at=lot.closed, closing_reason=lot.closing)

    def _tally(self, lot: LotFinish, day: datetime) -> None:
        for line in lot.tally:
            is_sized = bool(line.width)
            self._add(
                "tally",
                **{"class": line.grade},
                lot=lot.lot,
                when=line.when,
                thickness=line.thickness,
                width=line.width,
                width_unit=line.width_unit if is_sized else "",
                length=line.length,
                length_unit=line.length_unit if is_sized else "",
                pieces=line.pieces,
                volume=line.volume,
                volume_unit=line.unit if line.volume else "",
                note=line.note,
                observed_at=self.plan.loaded if line.when == "green" else self._at(day, TALLIED_AT),
            )

    def _series(self, lot: LotPlan, series: Series, day: datetime) -> None:
        meter = series.meter
        at = datetime.fromisoformat(self._at(day, "10:00" if lot.out_at else READ_AT))
        at += timedelta(minutes=series.minutes_later)
        number_of = 0
        for pack, mcs in enumerate(series.figures or self._drawn(lot, series), start=1):
            for mc_pct in mcs:
                number_of += 1
                shown_pct, mc_now_pct = _shown(series, mc_pct)
                piece: Row = {
                    "lot": lot.lot,
                    "pack": str(pack),
                    "piece": str(number_of),
                    "read_at": write_down(at),
                }
                self._add(
                    "final_readings",
                    **piece,
                    kind=meter.kind,
                    instrument=meter.instrument,
                    depth=meter.depth,
                    species_setting=meter.setting,
                    reading_pct=f"{shown_pct:.1f}",
                    wood_temperature=number(meter.wood) if meter.rule else "",
                    calibration_temperature=number(meter.calibrated) if meter.calibrated is not None else "",
                    temperature_unit=meter.unit if meter.rule else "",
                    temperature_rule=meter.rule,
                    species_correction_pct=number(meter.species_pct) if meter.species_pct else "",
                )
                self.read[lot.lot, str(number_of)] = str(pack), mc_now_pct
                if number_of in series.oven:
                    dry_mc_pct = mc_now_pct - series.oven_off_pct + self.chance.gauss(0, 0.1)
                    self._oven(piece | {"read_at": write_down(at + DRIED_AFTER)}, dry_mc_pct)
                at += timedelta(minutes=1)

    def _drawn(self, lot: LotPlan, series: Series) -> tuple[tuple[float, ...], ...]:
        """Pieces about what the series aims at, with its spread; drawn anew until all keep to the limits."""
        low, high = float(lot.limits[0]), float(lot.limits[1])
        while True:
            drawn = [
                [shift + self.chance.gauss(0, 1) for _ in range(size)]
                for size, shift in zip(series.packs, _SHIFTS, strict=False)
            ]
            mean = statistics.fmean(value for pack in drawn for value in pack)
            spread = statistics.stdev(value for pack in drawn for value in pack)
            packs = [
                [round(series.aim_pct + series.spread_pct * (value - mean) / spread, 1) for value in pack]
                for pack in drawn
            ]
            if all(low <= mc_pct <= high for pack in packs for mc_pct in pack):
                break
        if series.stray_pct is not None:
            packs[-1][-1] = series.stray_pct
        return tuple(map(tuple, packs))

    def _oven(self, piece: Row, mc_pct: float) -> None:
        dry_g = round(self.chance.uniform(38, 62), 1)
        self._add(
            "final_readings",
            **piece,
            kind="oven-dry",
            wet_weight=f"{dry_g * (1 + mc_pct / 100):.1f}",
            oven_dry_weight=f"{dry_g:.1f}",
            weight_unit="g",
        )

    def _reopen(self, reopened: Reopened) -> None:
        """Closed as planned, opened again, closed again: a chain of versions."""
        first_at = datetime.fromisoformat(self.row["closed_at"])
        opened_at = first_at + timedelta(days=reopened.opened_after_days)
        opened_at = opened_at.replace(hour=8, minute=10)
        again_at = first_at + timedelta(days=reopened.closed_after_days)
        uids = [uid_for(self.plan.charge, "closing", str(version)) for version in range(3)]
        self._add(
            "closings",
            closed_at=write_down(first_at),
            closing_reason=self.row["closing_reason"],
            uid=uids[0],
            version="first",
        )
        self._add(
            "closings",
            closed_at=write_down(opened_at),
            reopened="yes",
            uid=uids[1],
            supersedes=uids[0],
            version="change",
            reason=reopened.reason,
        )
        self._add(
            "closings",
            closed_at=write_down(again_at),
            closing_reason=reopened.closing,
            uid=uids[2],
            supersedes=uids[1],
            version="change",
        )
        self.row |= {"closed_at": write_down(again_at), "closing_reason": reopened.closing}
        for piece, off_pct in reopened.oven:
            pack, mc_pct = self.read[reopened.lot, piece]
            at = write_down(opened_at + DRIED_AFTER)
            row = {"lot": reopened.lot, "pack": pack, "piece": piece, "read_at": at}
            self._oven(row, mc_pct - off_pct)

    def _add(self, table: str, **values: str) -> None:
        self.tables.add(table, charge=self.plan.charge, **values)

    def _at(self, day: datetime, clock: str) -> str:
        return f"{day:%Y-%m-%d} {clock}"


def _shown(series: Series, mc_pct: float) -> tuple[float, float]:
    """What the meter showed, to its tenth, and the MC that its corrections make of that."""
    meter = series.meter
    temperature_pct = 0.0
    if meter.rule == "equation":
        wood_c = (meter.wood - 32) / 1.8
        slope = 0.881 * 1.0056**wood_c
        start = 0.567 - 0.0260 * wood_c + 0.000051 * wood_c**2
        shown = round((mc_pct - meter.species_pct) * slope - start, 1)
        return shown, (shown + start) / slope + meter.species_pct
    if meter.rule and meter.calibrated is not None:
        degrees_f = (meter.calibrated - meter.wood) * (1 if meter.unit == "F" else 1.8)
        temperature_pct = degrees_f * POINTS_PER_F
    shown = round(mc_pct - temperature_pct - meter.species_pct, 1)
    return shown, shown + temperature_pct + meter.species_pct
