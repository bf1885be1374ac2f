"""One board's recent net weights, as if it had always been the piece it is at a moment.

A recut or a break makes a board lighter without drying it. Weights on the other side of it are scaled by what
was left, so that one line runs through; the same holds before the sections are dry, when there is no moisture
content to compare by.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kilnlog.drying.expectation import Expectation, RoundPace, expect
from kilnlog.drying.figures import BoardFigures, Point, PointKind
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.records.weight import Weight

#: Points before the moment that are of interest: the pace of a board is learned from its recent past.
RECENT_POINTS = 12

_CUTS = (PointKind.RECUT, PointKind.BREAK)


@dataclass(frozen=True, slots=True)
class NetLine:
    """Net weights [g] of one board about a moment, on the piece as it was then."""

    figures: BoardFigures
    at: Moment
    points: tuple[tuple[Moment, float], ...]  # oldest first; at most one after ``at``
    coat_g: float  # end coats on the board at that moment
    oven_dry_weight_g: float | None
    division_g: float
    last_read_at: Moment | None  # of ``last``; earlier than it where a weight stands for that at loading

    @property
    def last(self) -> tuple[Moment, float] | None:
        """The last point at or before the moment."""
        return next((point for point in reversed(self.points) if point[0] <= self.at), None)

    @property
    def following(self) -> tuple[Moment, float] | None:
        """The point after the moment, where the weight is entered late."""
        return next((point for point in self.points if point[0] > self.at), None)

    def expected(
        self, round_pace: RoundPace | None = None, *, may_gain_points: float = 0.0
    ) -> Expectation | None:
        """What the board should weigh at the moment; None where it has no other weight."""
        if not self.points:
            return None
        return expect(
            self.points,
            self.oven_dry_weight_g,
            self.division_g,
            self.at,
            round_pace=round_pace,
            may_gain_points=may_gain_points,
        )


def net_line(
    record: ChargeRecord,
    figures: BoardFigures,
    at: Moment,
    loaded_at: Moment | None,
    *,
    without: str | None = None,
) -> NetLine:
    """The line of one board about ``at``.

    Args:
        record: The charge's record; recuts and breaks are looked up in it.
        figures: The board.
        at: The moment the board is weighed.
        loaded_at: When the kiln was loaded. What happened before says little about the pace in the kiln, so
            the last weight before it stands for the weight at loading.
        without: Entity of a row to leave out, because it is about to be corrected.
    """
    # Lighter than its own end coats: no board weighs that, and nothing can be learned from it.
    given = [point for point in figures.points if point.entity != without and point.net_weight_g > 0]
    ahead = [point for point in given if point.at > at]
    past = [point for point in given if point.at <= at][-RECENT_POINTS:]
    fresh_coat_g, left = 0.0, {}
    if any(point.kind in _CUTS for point in given):
        left = _shares_left(record, figures.entity)
        fresh_coat_g = sum(coat_g for cut_at, _, coat_g in left.values() if cut_at <= at)
    line: list[tuple[Moment, float]] = []
    for point in past:
        if point.kind in _CUTS and point.entity in left:
            share = _share(point, left[point.entity][1])
            line.append((point.at, point.net_weight_g))
            line = [(when, net_g * share) for when, net_g in line] if share > 0 else []
        else:
            line.append((point.at, point.net_weight_g))
    if loaded_at is not None and at > loaded_at:
        line = _since_loading(line, loaded_at)
    line.extend((point.at, point.net_weight_g) for point in ahead[:1])
    coat = figures.fact.coating_weight
    return NetLine(
        figures=figures,
        at=at,
        points=tuple(line),
        coat_g=(coat.g if coat else 0.0) + fresh_coat_g,
        oven_dry_weight_g=ahead[0].oven_dry_weight_g if ahead else figures.oven_dry_weight_g,
        division_g=figures.scale_division_g or float(figures.fact.start_weight.step_g),
        last_read_at=past[-1].at if past else None,
    )


def as_typed(record: ChargeRecord, weighing: str) -> Weight | None:
    """The weight of one weighing as typed; looked for from the latest back, where a round's weights are."""
    for line in reversed(record.weighing):
        if line.entity == weighing:
            return line.current.fact.weight if line.current else None
    return None


@dataclass(frozen=True, slots=True)
class ScaleHabit:
    """How a board's weights are usually read."""

    step_g: Decimal  # the step of the text as typed
    division_g: Decimal  # what every reading is a multiple of

    def can_show(self, weight: Weight) -> bool:
        """Whether the scale could have shown this weight."""
        return weight.grams % self.division_g == 0


def scale_habit(record: ChargeRecord, figures: BoardFigures) -> ScaleHabit:
    """The habit by the board's last weighing, or its start weight.

    Where that is no multiple of the scale division written down, another scale is in use than was said, and
    only the step of the text is relied on.
    """
    last = figures.fact.start_weight
    for line in reversed(record.weighing):
        current = line.current
        if current is not None and current.fact.board == figures.entity:
            last = current.fact.weight
            break
    told = figures.fact.scale_division
    division_g = told.grams if told is not None and last.grams % told.grams == 0 else last.step_g
    return ScaleHabit(last.step_g, division_g)


def _shares_left(record: ChargeRecord, board: str) -> dict[str, tuple[Moment, float, float]]:
    """By entity of each recut and break: when, the weight after it [g], the fresh end coat [g]."""
    cuts: dict[str, tuple[Moment, float, float]] = {}
    for recut in current_entries(record.recut):
        fresh = recut.fact.coating_weight
        if recut.fact.board == board:
            cuts[recut.entity] = (recut.at, recut.fact.weight_after.g, fresh.g if fresh else 0.0)
    for breakage in current_entries(record.breakage):
        if breakage.fact.board == board:
            cuts[breakage.entity] = (breakage.at, breakage.fact.weight_after.g, 0.0)
    return cuts


def _share(before: Point, weight_after_g: float) -> float:
    """What a cut left of the board's net weight."""
    coat_g = before.weight_g - before.net_weight_g
    return (weight_after_g - coat_g) / before.net_weight_g


def _since_loading(line: list[tuple[Moment, float]], loaded_at: Moment) -> list[tuple[Moment, float]]:
    """The line from loading on; the last weight before it is taken for the weight at loading."""
    earlier = [point for point in line if point[0] < loaded_at]
    if not earlier:
        return line
    return [(loaded_at, earlier[-1][1]), *(point for point in line if point[0] >= loaded_at)]
