"""How the simulated wood dries: one rate law, and what a scale then reads."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

GRAMS_PER_POUND = 453.59237  # exact, international avoirdupois pound
GRAMS_PER_OUNCE = 28.349523125  # exact


@dataclass(frozen=True)
class Species:
    """A species as it comes green from the saw.

    Specific gravity (oven-dry weight on green volume) and green MC: USDA Wood Handbook, tables 4-1 and 5-3a,
    as far as printed there. ``rate_at_110f`` is our own: chosen so that 4/4 boards stay under the rate limits
    printed in University of Kentucky Extension FOR-128, table 9.
    """

    name: str
    specific_gravity: float
    green_mc_pct: tuple[float, float]  # the range boards are drawn from
    rate_at_110f: float  # part of the way to the air's pull covered in a day, 4/4 at 110 F
    safe_rate_pct_per_day: float | None  # 4/4, table 9; None where none is printed


RED_OAK = Species("northern red oak", 0.56, (69, 83), 0.048, 3.8)
WHITE_OAK = Species("white oak", 0.60, (62, 74), 0.036, 2.5)
HARD_MAPLE = Species("hard maple", 0.56, (64, 73), 0.105, 6.5)
SOFT_MAPLE = Species("soft maple", 0.49, (62, 86), 0.170, 13.8)
YELLOW_POPLAR = Species("yellow-poplar", 0.40, (83, 104), 0.150, 13.8)
CHERRY = Species("black cherry", 0.47, (52, 61), 0.090, 5.8)
WALNUT = Species("black walnut", 0.51, (74, 90), 0.110, 8.2)
BEECH = Species("European beech", 0.56, (55, 70), 0.085, None)
ASH = Species("white ash", 0.55, (17, 23), 0.100, 10.4)  # air-dried before it came
BASSWOOD = Species("basswood", 0.32, (84, 118), 0.150, None)

#: 8/4 may lose about 1/2.5 of what 4/4 may (FOR-128, page 74); the wood is slowed by the same factor.
THICK_FACTOR = 2.5


@dataclass
class SimulatedBoard:
    """The truth behind one sample board, which nobody in the mill can see."""

    oven_dry_g: float
    mc_pct: float
    vigour: float = 1.0  # how fast it dries beside its neighbours
    coating_g: float = 0.0
    recorded_oven_dry_g: float | None = None  # what the mill works with, from the sections
    in_use: bool = field(default=True)

    @property
    def weight_g(self) -> float:
        """What a perfect scale would read [g]."""
        return self.oven_dry_g * (1 + self.mc_pct / 100) + self.coating_g

    def dry(self, days: float, rate_at_110f: float, dry_bulb_f: float, pull_pct: float) -> None:
        """Move towards ``pull_pct``: exponentially, twice as fast for every 26 F more."""
        rate = rate_at_110f * self.vigour * 2 ** ((dry_bulb_f - 110) / 26)
        self.mc_pct = pull_pct + (self.mc_pct - pull_pct) * math.exp(-rate * days)

    def recorded_mc_pct(self, weight_g: float) -> float:
        """The MC the mill's own sum gives for a reading."""
        if self.recorded_oven_dry_g is None:
            raise ValueError("its sections are still in the oven")
        return 100 * ((weight_g - self.coating_g) / self.recorded_oven_dry_g - 1)


@dataclass(frozen=True)
class Scale:
    """A scale: its unit and the step it shows, in that unit (ounces for ``lb oz``)."""

    unit: str
    step: float
    decimals: int

    def read(self, weight_g: float, chance: random.Random) -> tuple[str, float]:
        """What is written down for a true weight, and the grams it stands for."""
        seen_g = max(weight_g + chance.gauss(0, 0.3) * min(self.step_g, 1.0), self.step_g)
        steps = round(seen_g / self.step_g)
        return self.text(steps), steps * self.step_g

    @property
    def step_g(self) -> float:
        """One step [g]."""
        return self.step * {"g": 1.0, "lb": GRAMS_PER_POUND, "lb oz": GRAMS_PER_OUNCE}[self.unit]

    def text(self, steps: int) -> str:
        """That many steps as they are written down."""
        value = steps * self.step
        if self.unit == "lb oz":
            pounds, ounces = divmod(round(value, self.decimals), 16)
            return f"{pounds:.0f} lb {ounces:.{self.decimals}f} oz"
        return f"{value:.{self.decimals}f}"


BENCH = Scale("g", 1, 0)
SECTION_BALANCE = Scale("g", 0.1, 1)
FINE_BALANCE = Scale("g", 0.01, 2)
POUND_SCALE = Scale("lb", 0.01, 2)
COARSE_POUND_SCALE = Scale("lb", 0.02, 2)
OUNCE_SCALE = Scale("lb oz", 0.1, 1)
