"""Stress tests as they are typed, line by line, and as they are told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kilnlog.drying.closing.stress import JudgedBy, StressCount, StressFigure
from kilnlog.logbook import figures
from kilnlog.logbook.final_readings import counted_up
from kilnlog.logbook.typed_line import TypedLine, plain
from kilnlog.records.errors import MissingValue, UnknownWord, UnreadableNumber
from kilnlog.records.stress_test import StressTest
from kilnlog.records.words import StressFound, StressTestKind

PIECE, KIND, FOUND, VALUE, CORE = "piece", "kind", "found", "value", "core_value"
LIMIT, HOURS = "limit", "hours_waited"

PERCENT = "%"
#: No moisture content is above [%].
_WETTEST_PCT = 1000.0
_FARTHEST = 10_000.0


def stress_test(
    charge: str, lot: str, texts: Mapping[str, str], decimal_mark: str, last: StressTest | None = None
) -> StressTest:
    """The fact a typed line makes.

    Args:
        charge: Entity.
        lot: Entity.
        texts: By column.
        decimal_mark: Of the machine.
        last: The test before, whose unit a bare figure takes where it is of the same kind.

    Raises:
        KilnlogError: with the value ``column`` of the field it is about.
    """
    line = TypedLine(texts, decimal_mark)
    kind = line.needed_word(KIND, StressTestKind)
    found = line.word(FOUND, StressFound)
    if kind is StressTestKind.SHELL_AND_CORE:
        value, _ = line.measure(VALUE, high=_WETTEST_PCT)
        core, _ = line.measure(CORE, high=_WETTEST_PCT)
        unit: str | None = PERCENT
        if value is None or core is None:
            raise MissingValue(column=VALUE if value is None else CORE)
    else:
        value, unit = line.measure(VALUE, low=-_FARTHEST, high=_FARTHEST)
        core = None
        if value is not None and unit is None:
            unit = last.unit if last is not None and last.kind is kind else None
            if unit is None:
                raise UnreadableNumber(typed=line.text(VALUE), why="no-unit", column=VALUE)
        if value is None and found is None:
            raise MissingValue(column=FOUND)
    limit, limit_unit = line.measure(LIMIT, high=_FARTHEST)
    if limit_unit is not None and value is not None and limit_unit != unit:
        raise UnknownWord(column=LIMIT, value=limit_unit, known=(unit,))
    return StressTest(
        charge,
        lot,
        kind,
        line.text(PIECE),
        found,
        value,
        core,
        unit if value is not None else None,
        limit,
        line.number(HOURS, high=_FARTHEST),
    )


def texts_of(test: StressTest, decimal_mark: str) -> dict[str, str]:
    """A test as it would be typed."""
    unit = f" {test.unit}" if test.unit and test.unit != PERCENT else ""
    return {
        PIECE: test.piece or "",
        KIND: test.kind.value,
        FOUND: test.found.value if test.found is not None else "",
        VALUE: plain(test.value, decimal_mark) + unit if test.value is not None else "",
        CORE: plain(test.core_value, decimal_mark),
        LIMIT: plain(test.limit, decimal_mark),
        HOURS: plain(test.hours_waited, decimal_mark),
    }


def next_line(last: StressTest | None, decimal_mark: str) -> dict[str, str]:
    """What is proposed for the next: the piece counted up, kind, limit and waiting as before."""
    if last is None:
        return {
            PIECE: "1",
            KIND: StressTestKind.PRONG.value,
            FOUND: "",
            VALUE: "",
            CORE: "",
            LIMIT: "",
            HOURS: "",
        }
    return {
        **texts_of(last, decimal_mark),
        PIECE: counted_up(last.piece),
        FOUND: "",
        VALUE: "",
        CORE: "",
    }


def cells(figure: StressFigure) -> tuple[str, ...]:
    """Piece, kind, found, measured, core, limit, waited, verdict."""
    test = figure.test
    unit = f" {test.unit}" if test.unit else ""
    measured = f"{figures.trimmed(test.value)}{unit}" if test.value is not None else figures.EMPTY
    return (
        test.piece or figures.EMPTY,
        test.kind.value,
        test.found.value if test.found is not None else figures.EMPTY,
        measured,
        f"{figures.trimmed(test.core_value)} %" if test.core_value is not None else figures.EMPTY,
        figures.trimmed(test.limit),
        figures.trimmed(test.hours_waited),
        verdict(figure),
    )


def verdict(figure: StressFigure) -> str:
    """``passed``, ``failed``, or that nothing judges it."""
    return {True: "passed", False: "failed", None: "not judged"}[figure.passed]


def said(test: StressTest) -> str:
    """For the foot: ``Piece 3, prong: casehardened``."""
    name = f"Piece {test.piece}, {test.kind.value}" if test.piece else test.kind.value.capitalize()
    measured = f"{figures.trimmed(test.value)} {test.unit}" if test.value is not None else ""
    if test.core_value is not None:
        measured = f"{figures.trimmed(test.value)} and {figures.trimmed(test.core_value)} %"
    told = ", ".join(part for part in (test.found.value if test.found else "", measured) if part)
    return f"{name}: {told}"


def doubts(test: StressTest, others: Sequence[StressTest]) -> tuple[str, ...]:
    """What is odd about it, in sentences."""
    if test.piece and any((one.kind, one.piece) == (test.kind, test.piece) for one in others):
        return (f"Piece {test.piece} was tested by {test.kind.value} before.",)
    return ()


def count_words(count: StressCount) -> tuple[str, str]:
    """Label and figure of one kind: ``prong, passed`` and ``5 of 6``."""
    unknown = f", {figures.number(count.unknown)} not judged" if count.unknown else ""
    return f"{count.kind.value}, passed{unknown}", f"{count.passed} of {count.tested}"


def working_lines(figure: StressFigure) -> str:
    """How one test was judged: ``Piece 2, shell and core: 8.2 − 7.1 = 1.1, at most 1.5: passed``."""
    test = figure.test
    name = f"Piece {test.piece}, {test.kind.value}" if test.piece else test.kind.value.capitalize()
    if figure.judged_by is JudgedBy.LIMIT:
        amount = figures.trimmed(test.value)
        if figure.difference_pct is not None:
            difference = figures.trimmed(figure.difference_pct, 9)
            amount = f"{figures.trimmed(test.core_value)} − {amount} = {difference}"
        return f"{name}: {amount}, at most {figures.trimmed(test.limit)} either way: {verdict(figure)}"
    if figure.judged_by is JudgedBy.WORDS and test.found is not None:
        return f"{name}: {test.found.value}: {verdict(figure)}"
    return f"{name}: neither a limit nor words, so nothing judges it"


__all__ = [
    "CORE",
    "FOUND",
    "HOURS",
    "KIND",
    "LIMIT",
    "PIECE",
    "VALUE",
    "cells",
    "count_words",
    "doubts",
    "next_line",
    "said",
    "stress_test",
    "texts_of",
    "verdict",
    "working_lines",
]
