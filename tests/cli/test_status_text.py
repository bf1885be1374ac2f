"""The status as text: findings wrapped for a terminal."""

from __future__ import annotations

import re

from kilnlog.cli.status_text import status_text
from kilnlog.drying.assessment import assess
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder


def test_no_figure_is_parted_from_its_unit_at_the_end_of_a_line():
    parted = 0
    for number in range(50, 90):
        build = ChargeBuilder()
        lot = build.lot("L" * (number + 1), safe_rate_pct_per_day=2.0)  # pushes the words along the line
        board = build.board("1", "1600", lot=lot, oven_dry_weight="1000")
        build.weigh(board, "1400", at=1)
        record = build.record()
        said = status_text(record, assess(record, load(), build.when(2)))
        assert "\u00a0" not in said
        parted += len(re.findall(r"\d\n +(?:%|g|h|min)\b", said)) + len(re.findall(r"\d\n +%", said))
    assert parted == 0


def test_a_finding_says_since_when_before_what():
    build = ChargeBuilder()
    board = build.board("1", "1600", lot=build.lot("A", safe_rate_pct_per_day=2.0), oven_dry_weight="1000")
    build.weigh(board, "1400", at=1)
    record = build.record()
    said = status_text(record, assess(record, load(), build.when(2)))
    assert "\n\nACT since 2024-03-02 08:00: Board 1 loses 20.00 % a day, the limit is 2\n" in said
