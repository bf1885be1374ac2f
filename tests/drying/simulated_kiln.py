"""Simulated charges for measuring what the plausibility questions catch and how often they trouble anybody.

Every assumption is invented, none is published. A board dries by ``dM/dt = -k (M - floor)^p``:

- ``k`` is that of the lot (slow, medium or fast: 0.03 to 0.30 per day, the fastest green to dry in about a
  week) times a board's own factor (15 %); start moisture 25 to 115 %, 12 % from board to board; oven-dry
  weight 1.1 to 2.6 kg, or 3 to 7 kg where the scale reads to 0.1 lb (one division is then 0.6 to 1.5 points:
  such a scale cannot follow a light board). The sections are 1.2 % out on the oven-dry weight.
- ``p`` 0.75 to 1.15 and a floor of 3.5 to 6.5 %: not the law the questions assume.
- From day to day the kiln as a whole varies by 15 %, each board besides by 8 %; at four or five steps of the
  schedule the whole kiln goes 8 to 35 % faster; on 1.5 % of the days it stands still.
- Boards are cut up to three days before loading and do not dry until then.
- Weighings at 07:30 give or take an hour, 40 s from board to board, none on 8 % of the days; two of five
  mills weigh on no weekend; one board in a hundred is forgotten. Handling adds 0.05 points of noise, the
  scale rounds to its division.
- Below 8 % on the average the kiln equalizes for two days: the floor rises by 2 points, dry boards gain.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import numpy as np

from kilnlog.drying.figures import (
    Assessment,
    Basis,
    BasisKind,
    BoardFigures,
    BoardState,
    ChargeState,
    Control,
    Point,
    PointKind,
    RoundFigures,
)
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.event import Event
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History, Version, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit
from kilnlog.records.words import ControlRule, EventKind, EventState

ZONE = "America/New_York"
START = datetime(2024, 3, 4, 12, 30, tzinfo=UTC)
SCALES = [
    (WeightUnit.G, "1"),
    (WeightUnit.G, "2"),
    (WeightUnit.G, "5"),
    (WeightUnit.LB, "0.02"),
    (WeightUnit.LB, "0.1"),
]
PACES = {"slow": (0.03, 0.06), "medium": (0.07, 0.16), "fast": (0.17, 0.3)}


@dataclass(frozen=True)
class Scale:
    unit: WeightUnit
    division: Decimal

    @property
    def division_g(self) -> Decimal:
        return self.division * GRAMS_PER_UNIT[self.unit]

    def read(self, grams: float) -> Weight:
        """What is typed for a true weight: the nearest division, in the scale's unit."""
        steps = round(grams / float(self.division_g))
        return typed(str(self.division * steps), self.unit)


def typed(text: str, unit: WeightUnit) -> Weight:
    value = Decimal(text)
    exponent = value.as_tuple().exponent
    assert isinstance(exponent, int)
    factor = GRAMS_PER_UNIT[unit]
    return Weight(text, unit, value * factor, Decimal(1).scaleb(exponent) * factor)


@dataclass
class Line:
    """One weighing about to be typed."""

    charge: SimulatedCharge
    board: str
    weight: Weight  # true reading
    at: Moment
    later: list[tuple[str, Weight, Moment]]  # the rest of the round

    def keep(self, weight: Weight) -> None:
        self.charge.keep(self.board, weight, self.at)


class SimulatedCharge:
    """A charge that dries, and what has been written about it so far."""

    def __init__(self, rng: np.random.Generator, scale: Scale, pace: str) -> None:
        self.rng, self.scale, self.pace = rng, scale, pace
        low, high = PACES[pace]
        count = int(rng.integers(4, 13))
        self.k = rng.uniform(low, high) * rng.lognormal(0, 0.15, count)
        self.power = rng.uniform(0.75, 1.15)
        self.floor = rng.uniform(3.5, 6.5)
        self.mc = np.clip(rng.uniform(30, 105) * rng.normal(1, 0.12, count), 25, 115)
        heavy = scale.division_g > 40
        self.dry_g = rng.uniform(3000, 7000) * rng.normal(1, 0.1, count).clip(0.7, 1.3)
        if not heavy:
            self.dry_g = rng.uniform(1100, 2600) * rng.normal(1, 0.1, count).clip(0.7, 1.3)
        self.weekends = rng.random() < 0.4
        self.steps = sorted(rng.uniform(10, 60, int(rng.integers(4, 6))), reverse=True)
        self.faster = 1.0
        self.loaded = Moment(START, ZONE)
        self.names = [f"board-{number}" for number in range(1, count + 1)]
        self._start(count)

    def _start(self, count: int) -> None:
        cut_at = self.loaded.plus_hours(-24 * self.rng.uniform(0.1, 3))
        charge = Charge("24-07", ZONE, loaded_at=self.loaded, target_mc_pct=7.0)
        self.record = ChargeRecord(charge=(History((entry(charge, "charge-1", self.loaded),)),))
        nobody = Control(ControlRule.WETTEST_HALF, None, ())
        self.boards: dict[str, BoardFigures] = {}
        for place in range(count):
            name = self.names[place]
            reading = self.reading(place)
            division = Weight(
                str(self.scale.division), self.scale.unit, self.scale.division_g, reading.step_g
            )
            fact = Board("charge-1", name[6:], reading, scale_division=division)
            point = self._point(name, cut_at, reading, PointKind.START, self.estimated_dry(place))
            self.boards[name] = BoardFigures(
                entity=name,
                board=name[6:],
                lot="A",
                lot_entity="lot-1",
                fact=fact,
                cut_at=cut_at,
                state=BoardState.IN_USE,
                usable=True,
                governs=True,
                feeds_control=True,
                sections=(),
                start_mc_pct=None,
                bases=(Basis(BasisKind.SECTIONS, cut_at, point.oven_dry_weight_g or 0.0),),
                points=(point,),
                oven_dry_weight_g=point.oven_dry_weight_g,
                weight_g=reading.g,
                weight_at=cut_at,
                weight_at_target_g=None,
                water_to_lose_g=None,
                target_mc_pct=None,
                expected_low_g=None,
                expected_high_g=None,
                mc_pct=point.mc_pct,
                mc_uncertainty_pct=None,
                rate_pct_per_day=None,
                loss_since_last_pct=None,
                mc_per_division_pct=None,
                scale_division_g=float(self.scale.division_g),
                carried=False,
                since=cut_at,
                withdrawn_at=None,
            )
        self.assessment = Assessment(
            charge=charge,
            entity="charge-1",
            at=self.loaded,
            state=ChargeState.DRYING,
            kiln=None,
            loaded_at=self.loaded,
            days=0.0,
            target_mc_pct=7.0,
            boards=tuple(self.boards.values()),
            lots=(),
            rounds=(),
            control=nobody,
            wettest=None,
            driest=None,
            mean_mc_pct=None,
            schedule=None,
            findings=(),
        )

    def estimated_dry(self, place: int) -> float:
        """The oven-dry weight the sections gave: one or two percent out."""
        return float(self.dry_g[place] * self.rng.normal(1, 0.012))

    def reading(self, place: int) -> Weight:
        handled = self.mc[place] + self.rng.normal(0, 0.05)
        return self.scale.read(self.dry_g[place] * (1 + handled / 100))

    def _point(self, row: str, at: Moment, weight: Weight, kind: PointKind, dry_g: float) -> Point:
        mc_pct = (weight.g / dry_g - 1) * 100
        return Point(row, at, kind, weight.g, weight.g, dry_g, mc_pct, None, None, None)

    def keep(self, board: str, weight: Weight, at: Moment) -> None:
        row = f"weighing-{len(self.record.weighing) + 1}"
        fact = Weighing("charge-1", board, weight)
        self.record = replace(self.record, weighing=(*self.record.weighing, History((entry(fact, row, at),))))
        figures = self.boards[board]
        assert figures.oven_dry_weight_g is not None
        point = self._point(row, at, weight, PointKind.WEIGHING, figures.oven_dry_weight_g)
        self.boards[board] = replace(figures, points=(*figures.points, point))
        rounds = self.assessment.rounds
        if not rounds or at.hours_since(rounds[-1].until) >= 2:
            nobody = Control(ControlRule.WETTEST_HALF, None, ())
            rounds = (*rounds, RoundFigures(at, at, (), (), {}, {}, nobody, None, None, None))
        self.assessment = replace(self.assessment, boards=tuple(self.boards.values()), rounds=rounds)

    def note_equalizing(self, at: Moment) -> None:
        fact = Event("charge-1", EventKind.EQUALIZING, EventState.START)
        self.record = replace(self.record, event=(History((entry(fact, "event-1", at),)),))

    def dry_for(self, hours: float, *, equalizing: bool) -> None:
        rng, day = self.rng, self.rng.lognormal(0, 0.15)
        if rng.random() < 0.015:
            day *= 0.05
        own = day * rng.lognormal(0, 0.08, len(self.mc))
        floor = self.floor + (2.0 if equalizing else 0.0)
        for _ in range(8):
            while self.steps and self.mc.mean() < self.steps[0]:
                self.steps.pop(0)
                self.faster *= rng.uniform(1.08, 1.35)
            drive = np.sign(self.mc - floor) * (np.abs(self.mc - floor) / 30) ** self.power * 30
            lost = self.k * self.faster * own * drive * hours / 24 / 8
            self.mc = self.mc - np.clip(lost, -0.2, np.maximum(self.mc - floor, 0) * 0.9)

    def lines(self) -> Iterator[Line]:
        """Every weighing of the charge in turn; ``Line.keep`` writes it before the next is asked for."""
        rng = self.rng
        now = self.loaded
        equalizing_days = 0
        for day in range(1, 90):
            at = Moment(START + timedelta(days=day, hours=float(rng.uniform(-1, 1))), ZONE)
            self.dry_for(at.hours_since(now), equalizing=equalizing_days > 0)
            now = at
            weekend = self.weekends and (START + timedelta(days=day)).weekday() >= 5
            if weekend or rng.random() < 0.08:
                continue
            waiting = [
                (name, self.reading(place), at.plus_hours(place * 40 / 3600))
                for place, name in enumerate(self.names)
                if rng.random() >= 0.01
            ]
            while waiting:
                name, weight, weighed_at = waiting.pop(0)
                yield Line(self, name, weight, weighed_at, waiting)
            if equalizing_days or self.mc.mean() < 8:
                if equalizing_days == 0:
                    self.note_equalizing(at.plus_hours(1))
                equalizing_days += 1
            if equalizing_days > 2:
                return


def entry(fact, uid: str, at: Moment):
    return Entry(Version(uid, uid, None, VersionKind.FIRST, None, at, at.utc, "simulation"), fact)


def charges(
    seed: int, count: int, scales: list[tuple[WeightUnit, str]] = SCALES
) -> Iterator[SimulatedCharge]:
    """So many charges, every scale and pace in turn."""
    rng = np.random.default_rng(seed)
    for number in range(count):
        unit, division = scales[number % len(scales)]
        pace = list(PACES)[number // len(scales) % 3]
        yield SimulatedCharge(rng, Scale(unit, Decimal(division)), pace)
