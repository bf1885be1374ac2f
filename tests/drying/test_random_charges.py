"""Random charges: what ``assess`` says against the textbook sums in exact fractions, to 1e-9 relative.

With recuts (their section dry or still in the oven), breaks, end coats, rejected sections, rows taken back,
corrected and changed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import BoardFigures
from kilnlog.records.words import ControlRule
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder
from tests.drying.textbook import BoardStory, Happening, controlling

MINUTES_PER_DAY = 24 * 60


def hundredths(low: int, high: int) -> st.SearchStrategy[Decimal]:
    """Weights [g] typed with two decimals."""
    return st.integers(low * 100, high * 100).map(lambda number: Decimal(number) / 100)


def close(computed: float | None, exact: Fraction) -> bool:
    """Within 1e-9 relative of the exact figure; an MC near nought is a small difference of large weights."""
    assert computed is not None
    return computed == pytest.approx(float(exact), rel=1e-9, abs=1e-9)


@dataclass
class Written:
    """A board as written into the record, with its story and every row's final weight."""

    entity: str
    story: BoardStory
    is_withdrawn: bool
    lot: str
    moments: list[int] = field(default_factory=list)


def draw_happening(draw: st.DrawFn, minutes: int, weight: Fraction, coat: Fraction) -> Happening:
    """Something that happens to a board that weighs ``weight`` net, ``coat`` of end coats on it."""
    kind = draw(st.sampled_from(["weigh", "weigh", "weigh", "weigh", "recut", "break"]))
    loss = Fraction(draw(st.integers(0, 60)), 1000)
    before = round((weight * (1 - loss) + coat) * 100) / Fraction(100)
    if kind == "weigh":
        return Happening("weigh", minutes, before)
    share = Fraction(draw(st.integers(70, 98)), 100)
    after = round((before - coat) * share * 100) / Fraction(100) + coat
    if kind == "break":
        return Happening("break", minutes, before, after)
    section_dry = Fraction(draw(hundredths(40, 90)))
    section_wet = round(section_dry * (100 + draw(st.integers(4, 90)))) / Fraction(100)
    is_dry = draw(st.booleans())
    new_coat = Fraction(draw(hundredths(0, 20))) if draw(st.booleans()) else Fraction(0)
    return Happening(
        "recut",
        minutes,
        before,
        after,
        max(section_wet, section_dry),
        section_dry if is_dry else None,
        new_coat,
    )


def typed(weight: Fraction) -> Decimal:
    """An exact hundredth as the operator would type it."""
    hundred = weight * 100
    assert hundred.denominator == 1
    return Decimal(hundred.numerator) / 100


def write_happening(draw: st.DrawFn, build: ChargeBuilder, board: str, one: Happening) -> None:
    """Write it down, perhaps wrongly at first, perhaps with a row beside it that is taken back."""
    at = one.minutes / MINUTES_PER_DAY
    slip = draw(st.sampled_from(["none", "none", "none", "corrected", "spare", "moved"]))
    wrong = typed(one.before) * 2 if slip == "corrected" else typed(one.before)
    wrong_at = at + 1 / MINUTES_PER_DAY if slip == "moved" else at
    if one.kind == "weigh":
        entity = build.weigh(board, wrong, wrong_at)
        name = "weight"
    elif one.kind == "break":
        assert one.after is not None
        entity = build.breaks(board, wrong, typed(one.after), wrong_at)
        name = "weight_before"
    else:
        assert one.after is not None
        assert one.section_wet is not None
        entity = build.recut(
            board,
            wrong,
            typed(one.after),
            typed(one.section_wet),
            None if one.section_dry is None else typed(one.section_dry),
            at=wrong_at,
            coating_weight=typed(one.coat) if one.coat else None,
        )
        name = "weight_before"
    if slip in ("corrected", "moved"):
        build.correct(entity, at=at, **{name: typed(one.before)})
    if slip == "spare":
        build.void(build.weigh(board, typed(one.before) / 2, at + 2 / MINUTES_PER_DAY))


def write_board(draw: st.DrawFn, build: ChargeBuilder, label: str, lot: str) -> Written:
    """A board with one to three sections that count, and up to ten happenings."""
    start = draw(hundredths(800, 6000))
    coat = draw(hundredths(0, 30)) if draw(st.booleans()) else Decimal(0)
    board = build.board(label, start, lot=lot, coating_weight=coat if coat else None)
    sections = []
    for number in range(draw(st.integers(1, 3))):
        dry = draw(hundredths(40, 120))
        wet = (dry * (100 + draw(st.integers(5, 130))) / 100).quantize(Decimal("0.01"))
        section = build.section(board, str(number), wet, dry)
        if number and draw(st.booleans()):
            build.correct(section, rejected_because="scorched")
        else:
            sections.append((Fraction(wet), Fraction(dry)))
    story = BoardStory(Fraction(start), Fraction(coat), sections)
    weight, coats, minutes = story.start, story.coat, 0
    for _ in range(draw(st.integers(0, 10))):
        minutes += draw(st.integers(5, 3 * MINUTES_PER_DAY))
        one = draw_happening(draw, minutes, weight, coats)
        write_happening(draw, build, board, one)
        story.happenings.append(one)
        weight = (one.before if one.after is None else one.after) - coats
        coats += one.coat
    is_withdrawn = draw(st.integers(0, 5)) == 0
    if is_withdrawn:
        build.withdraw(board, minutes / MINUTES_PER_DAY)
    return Written(board, story, is_withdrawn, lot, [0, *(one.minutes for one in story.happenings)])


@st.composite
def charges(draw: st.DrawFn) -> tuple[ChargeBuilder, list[Written], dict[str, bool], str]:
    rule = draw(st.sampled_from(["wettest half", "wettest board", "mean"]))
    build = ChargeBuilder(target_mc_pct=8.0)
    build.correct(build.entity, control_rule=ControlRule(rule))
    governs = {build.lot(label, governs=governs): governs for label, governs in (("A", False), ("B", False))}
    for lot in governs:
        if draw(st.booleans()):
            build.change(lot, 0, governs=True)
            governs[lot] = True
    boards = [
        write_board(draw, build, str(number), draw(st.sampled_from(list(governs))))
        for number in range(draw(st.integers(1, 5)))
    ]
    return build, boards, governs, rule


def check_board(figures: BoardFigures, written: Written, target: Fraction) -> None:
    story = written.story
    final, estimates = story.final_figures(), story.first_estimates()
    dry = story.oven_dry_now()
    assert close(figures.start_mc_pct, story.start_mc())
    assert close(figures.oven_dry_weight_g, dry)
    assert len(figures.points) == len(final)
    for number, (point, mc, estimate) in enumerate(zip(figures.points, final, estimates, strict=True)):
        assert close(point.mc_pct, mc)
        if point.first_estimate_mc_pct is None:
            assert close(point.mc_pct, estimate)
        else:
            assert close(point.first_estimate_mc_pct, estimate)
        if number:
            days = Fraction(written.moments[number] - written.moments[number - 1], MINUTES_PER_DAY)
            exact = (final[number - 1] - mc) / days
            # A rate is a small difference over a short time: its error is that of the MC, over the time.
            assert point.rate_pct_per_day == pytest.approx(float(exact), rel=1e-9, abs=1e-9 / float(days))
    coats = story.coat + sum((one.coat for one in story.happenings), Fraction(0))
    assert close(figures.mc_pct, final[-1])
    assert close(figures.weight_at_target_g, dry * (100 + target) / 100 + coats)
    assert figures.water_to_lose_g == pytest.approx(
        float(dry * (final[-1] - target) / 100), rel=1e-9, abs=1e-7
    )


@settings(max_examples=150, deadline=None)
@given(charges())
def test_every_figure_agrees_with_the_textbook(
    drawn: tuple[ChargeBuilder, list[Written], dict[str, bool], str],
) -> None:
    build, boards, governs, rule = drawn
    assessment = assess(build.record(), load(), build.when(60))

    for figures, written in zip(assessment.boards, boards, strict=True):
        check_board(figures, written, Fraction(8))

    standing = [written for written in boards if not written.is_withdrawn]
    governing = [written for written in standing if governs[written.lot] or not any(governs.values())]
    exact = controlling(rule, [written.story.final_figures()[-1] for written in governing])
    if exact is None:
        assert assessment.control.mc_pct is None
    else:
        assert close(assessment.control.mc_pct, exact)
    for lot in assessment.lots:
        of_lot = [written.story.final_figures()[-1] for written in standing if written.lot == lot.entity]
        exact = controlling(rule, of_lot)
        assert (lot.control.mc_pct is None) == (exact is None)
        if exact is not None:
            assert close(lot.control.mc_pct, exact)
            assert lot.wettest is not None
            assert lot.driest is not None
            assert close(lot.wettest.mc_pct, max(of_lot))
            assert close(lot.driest.mc_pct, min(of_lot))
            assert close(lot.mean_mc_pct, sum(of_lot, Fraction(0)) / len(of_lot))


@settings(max_examples=60, deadline=None)
@given(charges(), st.integers(0, 30 * MINUTES_PER_DAY))
def test_an_earlier_moment_sees_only_what_had_happened(
    drawn: tuple[ChargeBuilder, list[Written], dict[str, bool], str], minutes: int
) -> None:
    build, boards, _, _ = drawn
    assessment = assess(build.record(), load(), build.when(minutes / MINUTES_PER_DAY))
    for figures, written in zip(assessment.boards, boards, strict=True):
        story = written.story
        then = BoardStory(
            story.start,
            story.coat,
            story.sections,
            [one for one in story.happenings if one.minutes <= minutes],
        )
        assert [point.kind.value for point in figures.points] == [
            "start",
            *({"weigh": "weighing"}.get(one.kind, one.kind) for one in then.happenings),
        ]
        assert close(figures.mc_pct, then.final_figures()[-1])
        assert close(figures.oven_dry_weight_g, then.oven_dry_now())
