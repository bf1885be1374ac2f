"""What a sample board should weigh at a moment, judged from its own recent weights.

The moisture content (MC) is taken to fall towards a floor at a pace of its own, so the loss per day shrinks
as the board dries. The pace is learned from the last few weighings; how far it may be out is what makes the
range. The constants are our own, set by simulation (``tests/drying/test_plausibility_simulated.py``): they
decide when to ask, never what is computed. Weights are net of end coats and in grams.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, hypot, log
from statistics import median

from kilnlog.records.moment import Moment

#: MC that a drying board tends to [%]. Kiln-dry air rarely holds less for long.
FLOOR_MC_PCT = 3.5
#: How much lower the floor may lie on a dry day [points of MC].
FLOOR_BELOW = 1.0
#: Least distance from the floor that a pace is reckoned with [points of MC].
LEAST_DRIVE = 3.0
#: MC taken for a board whose sections are still in the oven [%]: half way between air-dry and sappy green.
ASSUMED_START_MC_PCT = 60.0
#: Pace of a board that was weighed once only, and how far out it may be [1/day, log units].
FIRST_PACE, FIRST_SPREAD = 0.09, 0.85
#: How far out a pace from one interval may be [log units]: the kiln may just have been heating up.
ONE_INTERVAL_SPREAD = 0.5
#: Spread of tomorrow's pace about the recent one: step changes, doors, fans, the weather [log units].
SPREAD = 0.34
#: The spread left once one, two, or more boards of the same round have shown today's pace [log units]: for
#: boards with a pace of their own, and for those without.
LEFT_AFTER = (0.29, 0.22, 0.18)
LEFT_OF_FIRST = (0.6, 0.42, 0.34)
#: The more the pace has changed since, the less alike the boards take it [share of the change, log units].
UNLIKE_WHEN_CHANGED = 0.25
#: From so many others on, too small a loss is asked about as well: the kiln was not standing still.
OTHERS_THAT_PROVE = 2
#: How many spreads wide the shown range and the range not asked about are.
SHOWN, ASKED = 1.1, 2.1
#: Gains up to two divisions are noise [divisions]; a hair more, so that exactly two pass in pounds as well.
NOISE_DIVISIONS = 2.001
#: What handling and the scale may do to any weighing, beyond its divisions [points of MC].
HANDLING = 0.4
#: An interval at less than this share of the fastest recent pace says that the kiln stood, not how it runs.
STOOD_STILL = 0.25
#: The recent past: at least so many intervals and so many scale divisions of loss, at most the last few.
FEWEST_INTERVALS, LEAST_DIVISIONS, MOST_INTERVALS = 3, 8, 10


@dataclass(frozen=True, slots=True)
class Expectation:
    """Net weights [g] of one board at one moment: the range shown, inside the range not asked about."""

    low_g: float
    likely_g: float
    high_g: float
    asked_below_g: float
    asked_above_g: float

    def shows(self, net_weight_g: float) -> bool:
        """Whether the weight lies in the shown range."""
        return self.low_g <= net_weight_g <= self.high_g

    def lets_pass(self, net_weight_g: float) -> bool:
        """Whether the weight needs no question."""
        return self.asked_below_g <= net_weight_g <= self.asked_above_g


@dataclass(frozen=True, slots=True)
class RoundPace:
    """What the other boards of a round say about the time since the round before.

    Attributes:
        against_recent: Their pace over that time as a share of their recent pace; None where none had one.
        boards: How many boards that share was taken from.
        scatter: How far those boards typically lie from the share [log units].
        pace: Their pace itself [1/day], for a board that has none yet; None where none was weighed.
        paces: How many boards that pace was taken from.
    """

    against_recent: float | None
    boards: int
    scatter: float
    pace: float | None
    paces: int


@dataclass(frozen=True, slots=True)
class Recent:
    """A board's recent pace."""

    pace: float  # share of the distance from the floor lost per day [1/day]
    drift: float  # how far the kiln may have gone from it by today [log units]
    blur: float  # how far out it may be for want of a finer scale [log units]
    known: bool  # False where the board was weighed once only


def expect(
    points: Sequence[tuple[Moment, float]],
    oven_dry_weight_g: float | None,
    division_g: float,
    at: Moment,
    *,
    round_pace: RoundPace | None = None,
    may_gain_points: float = 0.0,
) -> Expectation:
    """Expected net weight of one board at ``at``.

    Args:
        points: Its net weights [g], oldest first, on one basis; at least one. Those after ``at`` count as
            well: a weight entered late must lie between its neighbours.
        oven_dry_weight_g: Oven-dry weight on that basis [g]; None while its sections are in the oven.
        division_g: Smallest step of the scale [g], above 0.
        at: The moment asked about.
        round_pace: What the boards already weighed in the same round tell.
        may_gain_points: What it may take up at most where the air is being damped on purpose [points of MC].
    """
    if not points:
        raise ValueError("a board without any weight has no expectation")
    dry_g = oven_dry_weight_g or points[0][1] / (1 + ASSUMED_START_MC_PCT / 100)
    before = [point for point in points if point[0] <= at]
    after = [point for point in points if point[0] > at]
    noise_g = division_g + HANDLING * dry_g / 100
    if not before:
        return _before_the_first(after[0], dry_g, noise_g, at)
    last_at, last_g = before[-1]
    if after:
        return _between((last_at, last_g), after[0], noise_g, division_g, at)

    days = at.hours_since(last_at) / 24
    recent = recent_pace(before, dry_g, division_g)
    pace, spread, proven = _todays_pace(recent, round_pace)
    drive_g = drive(last_g, dry_g) * dry_g / 100

    def weight_at(todays_pace: float) -> float:
        return last_g - drive_g * (1 - exp(-todays_pace * days))

    fastest = pace * exp(ASKED * spread)
    # A kiln may stand still for a day, so no loss at all is no reason to ask, unless others show that it ran.
    if may_gain_points:
        gain_points = min(_gain_allowed(days), may_gain_points)
        asked_above_g = last_g + NOISE_DIVISIONS * division_g + gain_points * dry_g / 100
    elif proven:
        asked_above_g = min(
            weight_at(pace * exp(-ASKED * spread)) + noise_g, last_g + NOISE_DIVISIONS * division_g
        )
    else:
        asked_above_g = last_g + NOISE_DIVISIONS * division_g
    return Expectation(
        low_g=weight_at(pace * exp(SHOWN * spread)) - division_g / 2,
        likely_g=weight_at(pace),
        high_g=weight_at(pace * exp(-SHOWN * spread)) + division_g / 2,
        asked_below_g=weight_at(fastest) - noise_g - FLOOR_BELOW * dry_g / 100 * (1 - exp(-fastest * days)),
        asked_above_g=asked_above_g,
    )


def recent_pace(points: Sequence[tuple[Moment, float]], dry_g: float, division_g: float) -> Recent:
    """The pace of the last few intervals, one odd interval among them not counting for more than its share.

    Args:
        points: Net weights [g] on one basis, oldest first.
        dry_g: Oven-dry weight on that basis [g].
        division_g: Smallest step of the scale [g].
    """
    losses: list[tuple[float, float]] = []  # [g lost, drive in g times days], newest first
    lost_g = 0.0
    for (later_at, later_g), (earlier_at, earlier_g) in pairwise(reversed(points)):
        days = later_at.hours_since(earlier_at) / 24
        if days <= 0:
            continue
        losses.append((earlier_g - later_g, _mean_drive(earlier_g, later_g, dry_g) * dry_g / 100 * days))
        lost_g += earlier_g - later_g
        enough = len(losses) >= FEWEST_INTERVALS and lost_g >= LEAST_DIVISIONS * division_g
        if enough or len(losses) >= MOST_INTERVALS:
            break
    if not losses:
        return Recent(FIRST_PACE, FIRST_SPREAD, 0.0, known=False)
    losses = _telling(losses)
    lost_g, driven_g = sum(lost for lost, _ in losses), sum(driven for _, driven in losses)
    # A loss the scale could not show is still possible: half a division over the whole time is the least.
    lost_g = max(lost_g, division_g / 2)
    pace = lost_g / driven_g
    drift = hypot(SPREAD, ONE_INTERVAL_SPREAD / len(losses) ** 1.5)
    blur = min(0.5 * division_g / lost_g, 0.6)
    if pace < FIRST_PACE:
        # Little is known yet of a slow one: it is drawn towards the usual by what either is worth.
        share = 1 / (1 + FIRST_SPREAD**2 / (drift**2 + blur**2)) / len(losses)
        pace *= (FIRST_PACE / pace) ** share
    return Recent(pace, drift, blur, known=True)


def _telling(losses: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The intervals in which the kiln ran, an oddly large loss among them cut to what is believable."""
    fastest = max(lost / driven for lost, driven in losses)
    ran = [(lost, driven) for lost, driven in losses if lost / driven >= STOOD_STILL * fastest]
    if len(ran) < FEWEST_INTERVALS:
        return ran or losses
    most = 2 * median(lost / driven for lost, driven in ran)
    return [(min(lost, most * driven), driven) for lost, driven in ran]


def pace_between(earlier: tuple[Moment, float], later: tuple[Moment, float], dry_g: float) -> float:
    """Pace between two net weights [1/day]; negative where the board gained."""
    days = later[0].hours_since(earlier[0]) / 24
    return (earlier[1] - later[1]) / (_mean_drive(earlier[1], later[1], dry_g) * dry_g / 100 * days)


def drive(net_weight_g: float, dry_g: float) -> float:
    """How far a board of that net and oven-dry weight is from the floor [points of MC]."""
    return max((net_weight_g / dry_g - 1) * 100 - FLOOR_MC_PCT, LEAST_DRIVE)


def _mean_drive(earlier_g: float, later_g: float, dry_g: float) -> float:
    """Mean distance from the floor over an interval [points of MC]: the logarithmic mean, as it decays."""
    first, last = drive(earlier_g, dry_g), drive(later_g, dry_g)
    return (first - last) / log(first / last) if abs(first - last) > 0.01 else first


def _todays_pace(recent: Recent, others: RoundPace | None) -> tuple[float, float, bool]:
    """The pace to expect, its spread, and whether the others of the round prove that the kiln ran."""
    own_spread = hypot(recent.drift, recent.blur)
    if others is None:
        return recent.pace, own_spread, False
    if not recent.known:
        if others.pace is None:
            return recent.pace, own_spread, False
        left = LEFT_OF_FIRST[min(others.paces, len(LEFT_OF_FIRST)) - 1]
        return others.pace, left, others.paces >= OTHERS_THAT_PROVE
    if others.against_recent is None:
        return recent.pace, own_spread, False
    left = max(LEFT_AFTER[min(others.boards, len(LEFT_AFTER)) - 1], others.scatter)
    left = hypot(left, UNLIKE_WHEN_CHANGED * log(others.against_recent))
    return recent.pace * others.against_recent, hypot(left, recent.blur), others.boards >= OTHERS_THAT_PROVE


def _gain_allowed(days: float) -> float:
    """What a board may take up in that time, however damp the air is [points of MC]."""
    return 1.0 + 2.0 * days


def _between(
    earlier: tuple[Moment, float], later: tuple[Moment, float], noise_g: float, division_g: float, at: Moment
) -> Expectation:
    """A weight entered late lies between its neighbours in time."""
    share = at.hours_since(earlier[0]) / later[0].hours_since(earlier[0])
    step_g = earlier[1] - later[1]
    upper_g, lower_g = max(earlier[1], later[1]), min(earlier[1], later[1])
    likely_g = earlier[1] - share * step_g
    half_g = max(abs(step_g) * 0.6 * share * (1 - share), division_g)
    return Expectation(
        low_g=max(likely_g - half_g, lower_g - division_g),
        likely_g=likely_g,
        high_g=min(likely_g + half_g, upper_g + division_g),
        asked_below_g=lower_g - noise_g,
        asked_above_g=upper_g + noise_g,
    )


def _before_the_first(first: tuple[Moment, float], dry_g: float, noise_g: float, at: Moment) -> Expectation:
    """A weight earlier than every other: the board was heavier then, by no more than a fast loss."""
    days = first[0].hours_since(at) / 24
    drive_g = drive(first[1], dry_g) * dry_g / 100

    def weight_at(pace: float) -> float:
        return first[1] + drive_g * (exp(min(pace * days, 3.0)) - 1)

    return Expectation(
        low_g=weight_at(FIRST_PACE * exp(-SHOWN * FIRST_SPREAD)),
        likely_g=weight_at(FIRST_PACE),
        high_g=weight_at(FIRST_PACE * exp(SHOWN * FIRST_SPREAD)),
        asked_below_g=first[1] - noise_g,
        asked_above_g=weight_at(FIRST_PACE * exp(ASKED * FIRST_SPREAD)) + noise_g,
    )
