"""Measures the plausibility questions over simulated charges: ``python -m tests.drying.simulated_measure``.

Beside every clean weighing of a charge one slip is tried, of a kind drawn by lot, then the clean weight is
kept. A slip counts where it is worth more than 3 points of moisture. Of two boards swapped the next in
walking order is the other; it counts as caught where either of the two lines is asked about.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, field

import numpy as np

from kilnlog.drying.plausibility import Doubt, doubts
from kilnlog.records.weight import Weight, WeightUnit
from tests.drying.simulated_kiln import SCALES, Line, charges
from tests.drying.simulated_slips import TEXT_SLIPS, slipped

SWAPPED = "boards swapped"
KINDS = (*TEXT_SLIPS, "unit", SWAPPED)
WORTH_PCT = 3.0


@dataclass
class Measured:
    """Counts by slip kind, and by scale and pace for clean weighings."""

    clean: Counter[tuple[str, str]] = field(default_factory=Counter)
    asked: Counter[tuple[str, str]] = field(default_factory=Counter)
    small_gains: int = 0
    small_gains_asked: int = 0
    slips: Counter[str] = field(default_factory=Counter)
    caught: Counter[str] = field(default_factory=Counter)
    named: Counter[str] = field(default_factory=Counter)  # a likely truth was named
    true: Counter[str] = field(default_factory=Counter)  # and it was the true one

    @property
    def asked_share(self) -> float:
        return self.asked.total() / self.clean.total()

    def caught_share(self, kind: str) -> float:
        return self.caught[kind] / self.slips[kind]


def measure(seed: int, count: int, scales: list[tuple[WeightUnit, str]] = SCALES) -> Measured:
    """So many charges, every scale and pace in turn."""
    measured = Measured()
    rng = np.random.default_rng(seed + 1_000_000)
    for charge in charges(seed, count, scales):
        for line in charge.lines():
            group = (charge.pace, f"{charge.scale.division} {charge.scale.unit}")
            measured.clean[group] += 1
            measured.asked[group] += bool(_doubts(line, line.weight))
            _try_gain(measured, line, int(rng.integers(1, 3)))
            kind = KINDS[rng.integers(len(KINDS))]
            if kind == SWAPPED:
                _try_swap(measured, line)
            else:
                _try_slip(measured, line, kind, slipped(rng, kind, line.weight))
            line.keep(line.weight)
    return measured


def _doubts(line: Line, weight: Weight) -> tuple[Doubt, ...]:
    charge = line.charge
    return doubts(charge.record, charge.assessment, line.board, weight, line.at, line.at)


def _points(line: Line, wrong: Weight) -> float:
    dry_g = line.charge.boards[line.board].oven_dry_weight_g
    assert dry_g is not None
    return abs(wrong.g - line.weight.g) / dry_g * 100


def _try_gain(measured: Measured, line: Line, divisions: int) -> None:
    """One or two divisions more than last time."""
    last = line.charge.boards[line.board].points[-1].weight_g
    more = line.charge.scale.read(last + divisions * float(line.charge.scale.division_g))
    measured.small_gains += 1
    measured.small_gains_asked += bool(_doubts(line, more))


def _try_slip(measured: Measured, line: Line, kind: str, wrong: Weight | None) -> None:
    if wrong is None or _points(line, wrong) <= WORTH_PCT:
        return
    found = _doubts(line, wrong)
    measured.slips[kind] += 1
    measured.caught[kind] += bool(found)
    likely = found[0].likely if found else None
    if likely is not None:
        # A scale switched to another unit shows the weight to that unit's decimals.
        slack_g = float(likely.step_g) + float(line.weight.step_g) if kind == "unit" else 1e-6
        measured.named[kind] += 1
        measured.true[kind] += abs(likely.g - line.weight.g) <= slack_g


def _try_swap(measured: Measured, line: Line) -> None:
    if not line.later:
        return
    other, weight, at = line.later[0]
    if _points(line, weight) <= WORTH_PCT:
        return
    mixed_up_with = other
    found = _doubts(line, weight)
    if not found:
        charge = line.charge
        before = charge.record, charge.assessment, dict(charge.boards)
        line.keep(weight)
        found = doubts(charge.record, charge.assessment, other, line.weight, at, at)
        charge.record, charge.assessment, charge.boards = before
        mixed_up_with = line.board
    measured.slips[SWAPPED] += 1
    measured.caught[SWAPPED] += bool(found)
    if found and "slip" in found[0].finding.values:
        measured.named[SWAPPED] += 1
        measured.true[SWAPPED] += found[0].other_board == mixed_up_with


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 240
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    measured = measure(seed, count)
    print(f"{measured.clean.total()} clean weighings in {count} charges, asked {measured.asked_share:.5f}")
    for pace, scale in sorted(measured.clean):
        key = (pace, scale)
        print(f"  {pace:7} {scale:8} {measured.asked[key]:4} of {measured.clean[key]}")
    print(f"gains of one or two divisions: asked {measured.small_gains_asked} of {measured.small_gains}")
    print("slips worth more than 3 points       n  caught  named  named and true  true of those named")
    for kind in KINDS:
        total, named, true = measured.slips[kind], measured.named[kind], measured.true[kind]
        print(
            f"  {kind:28} {total:7}  {measured.caught_share(kind):6.4f}  {named / total:5.3f}"
            f"  {true / total:14.3f}  {true / max(named, 1):19.3f}"
        )


if __name__ == "__main__":
    main()
