"""Tests of the stress that drying left: each judged by its limit, or by what it showed in words.

No standard's limit is built in: the limit is the operator's or the order's. A moisture gradient bends prongs
and slices as stress does, so those tests are valid only once the moisture has evened out through the piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from kilnlog.records.stress_test import StressTest
from kilnlog.records.words import StressFound, StressTestKind
from kilnlog.reference.rows import Standing


class JudgedBy(StrEnum):
    """What a test was judged by."""

    LIMIT = "limit"
    WORDS = "words"


class StressRemark(StrEnum):
    """What to know before relying on the tests."""

    GRADIENT = "gradient-fakes-stress"
    MEASURED_GRADIENT = "gradient-measured"  # shell and core were found too far apart in the same lot
    TEST_MORE = "test-more"  # one failed: more pieces tell how many do
    DISAGREE = "words-and-limit-disagree"


@dataclass(frozen=True, slots=True)
class StressSource:
    """Where a remark is from."""

    source: str
    standing: Standing


#: Read in each; a gradient cannot be told from stress by the test alone.
STRESS_SOURCES = {
    StressRemark.GRADIENT: StressSource(
        "Univ. of Kentucky Extension FOR-128 (2017), p. 56: let it stand some hours to a day; of slices:"
        " Tarvainen and others (2006): the gradient alone cups them, and 24 h in a bag are too short",
        Standing.VERIFIED,
    ),
    StressRemark.TEST_MORE: StressSource(
        "an extension column: about 10 pieces at random, and 20 more where any fails", Standing.VERIFIED
    ),
}


@dataclass(frozen=True, slots=True)
class StressFigure:
    """One test, judged.

    Attributes:
        test: As written.
        difference_pct: Of shell and core: core minus shell [% MC].
        passed: None where there is neither a limit with a value nor anything found in words.
        judged_by: What decided; the limit before the words.
    """

    test: StressTest
    difference_pct: float | None
    passed: bool | None
    judged_by: JudgedBy | None


@dataclass(frozen=True, slots=True)
class StressCount:
    """The tests of one kind, counted."""

    kind: StressTestKind
    tested: int
    passed: int
    failed: int
    unknown: int


@dataclass(frozen=True, slots=True)
class StressFigures:
    """The tests of one lot; counts in the order the kinds are listed, of kinds that were used."""

    tests: tuple[StressFigure, ...]
    counts: tuple[StressCount, ...]
    remarks: tuple[StressRemark, ...]


def stress_of(tests: Iterable[StressTest]) -> StressFigures:
    """Judge and count the tests of one lot."""
    judged = tuple(judged_test(test) for test in tests)
    return StressFigures(judged, tuple(_counts(judged)), tuple(_remarks(judged)))


def judged_test(test: StressTest) -> StressFigure:
    """One test by its limit, which an amount equal to it passes; else by its words."""
    difference = None
    amount = test.value
    if test.kind is StressTestKind.SHELL_AND_CORE:
        if test.value is not None and test.core_value is not None:
            difference = test.core_value - test.value
        amount = difference
    if test.limit is not None and amount is not None:
        return StressFigure(test, difference, round(abs(amount), 9) <= test.limit, JudgedBy.LIMIT)
    if test.found is not None:
        return StressFigure(test, difference, test.found is StressFound.FREE, JudgedBy.WORDS)
    return StressFigure(test, difference, None, None)


def _counts(judged: Sequence[StressFigure]) -> Iterable[StressCount]:
    for kind in StressTestKind:
        verdicts = [figure.passed for figure in judged if figure.test.kind is kind]
        if verdicts:
            yield StressCount(
                kind, len(verdicts), verdicts.count(True), verdicts.count(False), verdicts.count(None)
            )


def _remarks(judged: Sequence[StressFigure]) -> Iterable[StressRemark]:
    by_shape = [figure for figure in judged if figure.test.kind is not StressTestKind.SHELL_AND_CORE]
    if by_shape:
        yield StressRemark.GRADIENT
        by_moisture = [figure for figure in judged if figure.test.kind is StressTestKind.SHELL_AND_CORE]
        if any(figure.passed is False for figure in by_moisture):
            yield StressRemark.MEASURED_GRADIENT
        if any(figure.passed is False for figure in by_shape):
            yield StressRemark.TEST_MORE
    if any(
        figure.judged_by is JudgedBy.LIMIT
        and figure.test.found is not None
        and figure.passed is not (figure.test.found is StressFound.FREE)
        for figure in judged
    ):
        yield StressRemark.DISAGREE
