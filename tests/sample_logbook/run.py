"""Carrying out one charge's plan: the wood dries, the mill weighs, steps, cuts and writes down."""

from __future__ import annotations

import math
import random
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from tests.sample_logbook.cutting import cut_board
from tests.sample_logbook.handling import afterwards, write_down
from tests.sample_logbook.mill import ZONE
from tests.sample_logbook.plan import BoardPlan, ChargePlan
from tests.sample_logbook.tables import Tables, number, uid_for
from tests.sample_logbook.wood import SimulatedBoard

DAY = timedelta(days=1)
OPERATORS = ("Maren", "Tobias")
LONGEST_RUN_DAYS = 140
NEARLY_DRY_PCT = 12.0
MINUTES_FOR_A_BOARD = timedelta(minutes=8)


def days_between(earlier: datetime, later: datetime) -> float:
    """True elapsed time [d] between two local times of the mill."""
    zone = ZoneInfo(ZONE)
    return (later.replace(tzinfo=zone).timestamp() - earlier.replace(tzinfo=zone).timestamp()) / 86400


class Run:
    """One charge on its way."""

    def __init__(self, plan: ChargePlan, tables: Tables) -> None:
        self.plan = plan
        self.tables = tables
        self.chance = random.Random(f"kilnlog sample 2026-11-25 {plan.charge}")
        self.lots = {lot.lot: lot for lot in plan.lots}
        self.boards: dict[str, SimulatedBoard] = {}
        self.loaded = datetime.fromisoformat(plan.loaded)
        self.clock = self.loaded
        self.step = plan.first_step
        self.phase = "schedule"
        self.last: dict[str, float] = {}  # the MC of each board at the last round

    def go(self) -> None:
        """From cutting the boards to the last thing written down."""
        plan = self.plan
        for place, board in enumerate(plan.boards):
            if not board.replaces:
                at = self.on_day(board.cut_on_day, board.cut_at) + place * MINUTES_FOR_A_BOARD
                self.cut(board, at)
        if plan.first_step > 1:
            self._take_step(plan.first_step, self.loaded + timedelta(minutes=20), "air-dried when it came")
        events_before = len(self.tables.rows["events"])
        unloaded = self._rounds()
        self._write_charge(unloaded)
        self.tables.in_order_of_time("events", events_before)

    def _write_charge(self, unloaded: datetime | None) -> None:
        plan = self.plan
        closed = unloaded + plan.closed_after_days * DAY if unloaded and plan.closing else None
        self.tables.add(
            "charges",
            charge=plan.charge,
            kiln=plan.kiln,
            loaded_at=plan.loaded,
            zone=ZONE,
            target_mc_pct=number(plan.target_mc_pct),
            control_rule=plan.control_rule,
            schedule=plan.schedule.name,
            unloaded_at=write_down(unloaded) if unloaded else "",
            closed_at=write_down(closed.replace(hour=16, minute=30)) if closed else "",
            closing_reason=plan.closing.format(
                low=min(self.last.values(), default=0), high=max(self.last.values(), default=0)
            ),
            notes=plan.notes,
        )
        moves = [(kiln, self.loaded + day * DAY) for kiln, day in plan.moves]
        for index, (kiln, came) in enumerate(moves):
            left = moves[index + 1][1] - timedelta(hours=1) if index + 1 < len(moves) else unloaded
            self.tables.add(
                "stays",
                charge=plan.charge,
                kiln=kiln,
                in_at=write_down(came),
                out_at=write_down(left) if left else "",
            )
        for happening in plan.happenings:
            self._event(
                self.on_day(happening.day, happening.at),
                happening.kind,
                happening.state,
                happening.value,
                happening.unit,
                happening.note,
            )
        for day, at, code, subject, note in plan.decisions:
            when = write_down(self.on_day(day, at))
            self.tables.add("decisions", charge=plan.charge, at=when, code=code, subject=subject, note=note)

    def _rounds(self) -> datetime | None:
        """Every weighing round; when the charge was unloaded, or None while it runs."""
        plan = self.plan
        for day in range(1, LONGEST_RUN_DAYS):
            if plan.last_day is not None and day > plan.last_day:
                return None
            if self._is_skipped(day):
                continue
            figures = self.last = self._round(day)
            ended = self.on_day(day, plan.round_at) + timedelta(minutes=25)
            afterwards(self, day, ended)
            if plan.last_day is None and (unloaded := self._next_phase(day, ended, figures)):
                return unloaded
            self._steps(day, ended, figures)
        raise RuntimeError(f"{plan.charge} is still wet after {LONGEST_RUN_DAYS} days")

    def _is_skipped(self, day: int) -> bool:
        """Whether nobody weighs that day: slow wood in mid-run is weighed every third."""
        nearly_dry = bool(self.last) and max(self.last.values()) < NEARLY_DRY_PCT
        return (
            day > self.plan.every_day_until and (day - self.plan.every_day_until) % 3 != 0 and not nearly_dry
        )

    def _round(self, day: int) -> dict[str, float]:
        """Weigh every board in use; the MC the mill works out for each."""
        plan = self.plan
        start = self.on_day(day, plan.round_at) + timedelta(minutes=self.chance.randrange(-4, 5))
        self.dry_until(start)
        misreads = {(misread.board, misread.day): misread for misread in plan.misreads}
        pinned = {(board, on): weight for board, on, weight in plan.pinned}
        figures = {}
        for place, (label, board) in enumerate(self.boards.items()):
            if not board.in_use or self._has_left(label, start):
                continue
            when = start + timedelta(minutes=place)
            text, weight_g = plan.scale.read(board.weight_g, self.chance)
            if (label, day) in pinned:
                text = pinned[label, day]
                weight_g = float(text)
            row = {
                "charge": plan.charge,
                "board": label,
                "weighed_at": write_down(when),
                "weight": text,
                "weight_unit": plan.scale.unit,
            }
            if day in plan.late_days:
                evening = when.replace(hour=18, minute=40 + place)
                row |= {
                    "entered_late_from": "sheet",
                    "entered_at": write_down(evening),
                    "entered_by": OPERATORS[0],
                }
            if misread := misreads.get((label, day)):
                uid = uid_for(plan.charge, label, str(day))
                first = row | {
                    "uid": uid,
                    "version": "first",
                    "weight": misread.wrong,
                    "entered_by": OPERATORS[1],
                    "entered_at": write_down(when),
                }
                self.tables.add("weighings", **first)
                row |= {
                    "uid": uid_for(plan.charge, label, str(day), "put right"),
                    "supersedes": uid,
                    "version": "correction",
                    "reason": misread.reason,
                    "entered_by": OPERATORS[0],
                    "entered_at": write_down(self.on_day(day, misread.at)),
                }
            self.tables.add("weighings", **row)
            if board.recorded_oven_dry_g is not None:
                figures[label] = board.recorded_mc_pct(weight_g)
        return figures

    def _has_left(self, label: str, when: datetime) -> bool:
        """Whether a board's lot went before the rest of the charge."""
        out_at = next(self.lots[board.lot].out_at for board in self.plan.boards if board.board == label)
        return bool(out_at) and datetime.fromisoformat(out_at) <= when

    def dry_until(self, when: datetime) -> None:
        """Let the air work until then."""
        lots = {board.board: self.lots[board.lot] for board in self.plan.boards}
        left = days_between(self.clock, when)
        schedule, step = self.plan.schedule, self.step
        pull = schedule.steps[step - 1].pull_pct
        if self.phase == "equalizing":
            pull = self.plan.target_mc_pct - 1.5
        elif self.phase == "conditioning":
            pull = self.plan.target_mc_pct + 0.2
        for label, board in self.boards.items():
            lot = lots[label]
            rate = lot.species.rate_at_110f / lot.slowed_by
            board.dry(left, rate, schedule.dry_bulb_f(step), pull)
        self.clock = when

    def control_pct(self, figures: dict[str, float]) -> float:
        """The control figure by the plan's rule, worked out here a second time."""
        wet_first = sorted(figures.values(), reverse=True)
        governing = [lot.lot for lot in self.plan.lots if lot.governs == "yes"]
        if governing:
            lots = {board.board: board.lot for board in self.plan.boards}
            wet_first = sorted(
                (mc for label, mc in figures.items() if lots[label] in governing), reverse=True
            )
        if self.plan.control_rule == "wettest board":
            return wet_first[0]
        if self.plan.control_rule == "wettest half":
            wet_first = wet_first[: math.ceil(len(wet_first) / 2)]
        return sum(wet_first) / len(wet_first)

    def _steps(self, day: int, ended: datetime, figures: dict[str, float]) -> None:
        """Set the step the plan or the control figure calls for."""
        for step, on, reason in self.plan.steps:
            if on == day:
                self._take_step(step, ended, reason)
        if self.plan.steps or not figures or self.phase != "schedule":
            return
        control = self.control_pct(figures)
        steps = self.plan.schedule.steps
        called_for = max(
            index + 1
            for index, step in enumerate(steps)
            if step.from_mc_pct is None or step.from_mc_pct >= control
        )
        if called_for > self.step:
            self._take_step(self.step + 1, ended, "")

    def _take_step(self, step: int, when: datetime, reason: str) -> None:
        self.dry_until(max(when, self.clock))
        self.step = step
        self.tables.add(
            "steps_taken", charge=self.plan.charge, at=write_down(when), step=str(step), reason=reason
        )

    def _next_phase(self, day: int, ended: datetime, figures: dict[str, float]) -> datetime | None:
        """Equalize when the driest is nearly there, condition when the wettest is, then unload."""
        target = self.plan.target_mc_pct
        if day == self.plan.stopped_on_day:
            return ended.replace(hour=11, minute=0)
        if self.phase == "conditioning":
            self._event(ended + timedelta(minutes=5), "conditioning", "end")
            return ended.replace(hour=11, minute=0)
        wettest, driest = max(figures.values()), min(figures.values())
        if wettest <= target + 0.6:
            if self.phase == "equalizing":
                self._event(ended, "equalizing", "end")
            self._event(ended + timedelta(minutes=5), "conditioning", "start")
            self.phase = "conditioning"
        elif driest <= target - 0.9 and self.phase == "schedule":
            self._event(ended, "equalizing", "start")
            self.phase = "equalizing"
        return None

    def cut(self, board: BoardPlan, when: datetime) -> None:
        """Cut a sample board and its sections; where its MC at the end is given, find the vigour for it."""
        self.boards[board.board] = cut_board(
            self.plan, self.lots[board.lot], board, when, self.chance, self.tables
        )
        if board.mc_at_end_pct is not None:
            self.boards[board.board].vigour = self._vigour_for(
                board, self.boards[board.board], board.mc_at_end_pct
            )

    def _vigour_for(self, plan: BoardPlan, board: SimulatedBoard, mc_at_end_pct: float) -> float:
        """The vigour that brings a board to its MC at the last round, by halving."""
        lot = self.lots[plan.lot]
        last = self.on_day(self.plan.last_day or 0, self.plan.round_at)
        changes = [(self.on_day(day, self.plan.round_at), step) for step, day, _ in self.plan.steps]
        spans, since, step = [], self.loaded, self.plan.first_step
        for when, next_step in [*changes, (last, 0)]:
            spans.append((days_between(since, when), step))
            since, step = when, next_step
        low, high = 0.05, 10.0
        for _ in range(60):
            middle = (low + high) / 2
            trial = SimulatedBoard(board.oven_dry_g, board.mc_pct, middle)
            for days, step in spans:
                trial.dry(
                    days,
                    lot.species.rate_at_110f / lot.slowed_by,
                    self.plan.schedule.dry_bulb_f(step),
                    self.plan.schedule.steps[step - 1].pull_pct,
                )
            low, high = (middle, high) if trial.mc_pct > mc_at_end_pct else (low, middle)
        return low

    def on_day(self, day: int, at: str) -> datetime:
        hour, minute = at.split(":")
        return self.loaded.replace(hour=int(hour), minute=int(minute)) + day * DAY

    def _event(
        self, when: datetime, kind: str, state: str, value: str = "", unit: str = "", note: str = ""
    ) -> None:
        self.tables.add(
            "events",
            charge=self.plan.charge,
            at=write_down(when),
            kind=kind,
            state=state,
            value=value,
            unit=unit,
            note=note,
        )
