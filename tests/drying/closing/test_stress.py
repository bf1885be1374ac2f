"""Stress tests judged by their limit or their words. Limits here are the scenario's: none is built in."""

import pytest

from kilnlog.drying.closing.stress import STRESS_SOURCES, JudgedBy, StressRemark, judged_test, stress_of
from kilnlog.records.stress_test import StressTest
from kilnlog.records.words import StressFound, StressTestKind

PRONG, SLICE, SHELL = StressTestKind.PRONG, StressTestKind.SLICE, StressTestKind.SHELL_AND_CORE
FREE, HARD, REVERSE = StressFound.FREE, StressFound.CASEHARDENED, StressFound.REVERSE


def gap(value: float, limit: float | None, found: StressFound | None = None) -> StressTest:
    return StressTest("c", "l", SLICE, value=value, unit="mm", limit=limit, found=found)


def words(found: StressFound) -> StressTest:
    return StressTest("c", "l", PRONG, found=found)


def shell(shell_pct: float, core_pct: float, limit: float | None) -> StressTest:
    return StressTest("c", "l", SHELL, value=shell_pct, core_value=core_pct, unit="%", limit=limit)


@pytest.mark.parametrize(
    ("test", "passed", "by"),
    [
        (gap(1.2, 2), True, JudgedBy.LIMIT),
        (gap(2, 2), True, JudgedBy.LIMIT),
        (gap(2.01, 2), False, JudgedBy.LIMIT),
        (gap(-2.5, 2), False, JudgedBy.LIMIT),  # the other way is stress too
        (gap(1.2, None), None, None),
        (gap(1.2, None, HARD), False, JudgedBy.WORDS),
        (gap(1.2, 2, HARD), True, JudgedBy.LIMIT),
        (words(FREE), True, JudgedBy.WORDS),
        (words(HARD), False, JudgedBy.WORDS),
        (words(REVERSE), False, JudgedBy.WORDS),
        (shell(6, 7.5, 1.5), True, JudgedBy.LIMIT),
        (shell(6.1, 7.5, 1.4), True, JudgedBy.LIMIT),  # 7.5 - 6.1 is 1.4, though not in binary
        (shell(7.5, 6, 1), False, JudgedBy.LIMIT),
        (shell(4, 10, None), None, None),
    ],
)
def test_a_test_is_judged_by_its_limit_else_by_its_words(
    test: StressTest, passed: bool | None, by: JudgedBy | None
) -> None:
    judged = judged_test(test)
    assert (judged.passed, judged.judged_by) == (passed, by)


def test_shell_and_core_are_told_apart_by_core_minus_shell() -> None:
    """A section of 7 % may be 10 in the core and 4 in the shell: a trade column of 2014."""
    assert judged_test(shell(4, 10, None)).difference_pct == 6
    assert judged_test(shell(7.5, 6, None)).difference_pct == -1.5
    assert judged_test(gap(1, 2)).difference_pct is None


def test_they_are_counted_by_kind() -> None:
    told = stress_of([words(FREE), gap(1, 2), words(HARD), gap(3, 2), gap(1, None), shell(6, 6.5, 1)])
    counts = {one.kind: (one.tested, one.passed, one.failed, one.unknown) for one in told.counts}
    assert counts == {PRONG: (2, 1, 1, 0), SLICE: (3, 1, 1, 1), SHELL: (1, 1, 0, 0)}
    assert list(counts) == [PRONG, SLICE, SHELL]
    assert stress_of([]).counts == ()


def test_whoever_reads_prongs_or_slices_is_told_that_a_gradient_fakes_stress() -> None:
    for test in (words(FREE), gap(1, 2)):
        assert stress_of([test]).remarks == (StressRemark.GRADIENT,)
    assert stress_of([shell(6, 6.5, 1)]).remarks == ()
    assert stress_of([]).remarks == ()
    both = stress_of([words(FREE), shell(4, 10, 2)])
    assert both.remarks == (StressRemark.GRADIENT, StressRemark.MEASURED_GRADIENT)
    assert "FOR-128" in STRESS_SOURCES[StressRemark.GRADIENT].source


def test_a_failure_asks_for_more_pieces() -> None:
    assert stress_of([words(HARD)]).remarks == (StressRemark.GRADIENT, StressRemark.TEST_MORE)
    assert StressRemark.TEST_MORE not in stress_of([shell(4, 10, 2), words(FREE)]).remarks


def test_words_that_say_otherwise_than_the_limit_are_pointed_out() -> None:
    assert StressRemark.DISAGREE in stress_of([gap(1, 2, HARD)]).remarks
    assert StressRemark.DISAGREE in stress_of([gap(3, 2, FREE)]).remarks
    assert StressRemark.DISAGREE not in stress_of([gap(1, 2, FREE), gap(1, None, HARD)]).remarks
