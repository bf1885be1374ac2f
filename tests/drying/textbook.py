"""The textbook sums of a sample board, written a second time in exact fractions, to hold ``assess`` against.

Nothing here is shared with the program. A board is a plain list of things that happened to it, in order of
time; every weight is an exact ``Fraction`` of grams. Formulas: Wengert, Principles and Practices of Drying
Lumber, p. 35 (section MC, mean of sections, calculated oven-dry weight), and the algebra that follows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass
class Happening:
    """Something that happened to a board ``minutes`` after it was cut."""

    kind: str  # "weigh", "recut", "break"
    minutes: int
    before: Fraction  # the weight, or the weight before the cut
    after: Fraction | None = None
    section_wet: Fraction | None = None
    section_dry: Fraction | None = None  # None: still in the oven
    coat: Fraction = Fraction(0)  # the new end coat of a recut


@dataclass
class BoardStory:
    """One board from its cutting on."""

    start: Fraction
    coat: Fraction
    sections: list[tuple[Fraction, Fraction]]  # those that count: wet, oven-dry
    happenings: list[Happening] = field(default_factory=list)

    def start_mc(self) -> Fraction:
        """Mean of the sections' MC."""
        return sum((mc(wet, dry) for wet, dry in self.sections), Fraction(0)) / len(self.sections)

    def first_estimates(self) -> list[Fraction]:
        """MC of the start weight and of every happening, by what was known when it happened."""
        coat, dry = self.coat, 100 * self.start / (100 + self.start_mc())
        figures = [mc(self.start, dry)]
        for one in self.happenings:
            figures.append(mc(one.before - coat, dry))
            coat, dry = step_forward(one, coat, dry)
        return figures

    def oven_dry_now(self) -> Fraction:
        """Oven-dry weight of what is left of the board."""
        coat, dry = self.coat, 100 * self.start / (100 + self.start_mc())
        for one in self.happenings:
            coat, dry = step_forward(one, coat, dry)
        return dry

    def final_figures(self) -> list[Fraction]:
        """The same by all that is known at the end: a dry recut section corrects everything before it.

        Worked out from the end backwards on the wood itself: the dry wood on the scale before a cut is the
        dry wood after it times the net weights' ratio, unless the cut's own section says how much it was.
        """
        coats = [self.coat]
        for one in self.happenings:
            coats.append(coats[-1] + one.coat)
        corrected: Fraction | None = None
        backwards: list[Fraction] = []
        estimates = self.first_estimates()
        for number in range(len(self.happenings) - 1, -1, -1):
            one, coat = self.happenings[number], coats[number]
            net_before = one.before - coat
            if one.kind == "recut" and one.section_dry is not None:
                assert one.section_wet is not None
                corrected = 100 * net_before / (100 + mc(one.section_wet, one.section_dry))
            elif one.kind != "weigh" and corrected is not None:
                assert one.after is not None
                corrected = corrected * net_before / (one.after - coat)
            backwards.append(estimates[number + 1] if corrected is None else mc(net_before, corrected))
        start = estimates[0] if corrected is None else mc(self.start, corrected)
        return [start, *reversed(backwards)]


def mc(weight: Fraction, dry: Fraction) -> Fraction:
    """Moisture content, % of the oven-dry weight."""
    return 100 * (weight / dry - 1)


def step_forward(one: Happening, coat: Fraction, dry: Fraction) -> tuple[Fraction, Fraction]:
    """End coats and oven-dry weight after a happening."""
    if one.kind == "weigh":
        return coat, dry
    assert one.after is not None
    net_before, net_after = one.before - coat, one.after - coat
    if one.kind == "recut" and one.section_dry is not None:
        assert one.section_wet is not None
        dry = 100 * net_after / (100 + mc(one.section_wet, one.section_dry))
    else:
        dry = dry * net_after / net_before
    return coat + one.coat, dry


def controlling(rule: str, figures: list[Fraction]) -> Fraction | None:
    """The controlling MC of some boards."""
    if not figures:
        return None
    ordered = sorted(figures, reverse=True)
    taken = {"wettest board": 1, "wettest half": (len(ordered) + 1) // 2, "mean": len(ordered)}[rule]
    return sum(ordered[:taken], Fraction(0)) / taken
