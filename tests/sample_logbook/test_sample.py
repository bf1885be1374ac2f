"""The sample logbook's files are what the build makes, and its wood behaves."""

from __future__ import annotations

import csv
from collections import defaultdict
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from kilnlog.exchange.tables import KNOWN_TABLES
from tests.sample_logbook.build import FOLDER, build
from tests.sample_logbook.tables import COLUMNS

GRAMS = {"g": Fraction(1), "lb": Fraction("453.59237"), "oz": Fraction("28.349523125")}  # exact by definition


def rows(table: str) -> list[dict[str, str]]:
    with (FOLDER / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def grams(text: str, unit: str) -> Fraction:
    if unit == "lb oz":
        pounds, _, ounces, _ = text.split()
        return Fraction(pounds) * GRAMS["lb"] + Fraction(ounces) * GRAMS["oz"]
    return Fraction(text) * GRAMS[unit]


def test_the_files_are_what_the_build_writes() -> None:
    written = {path.name: path.read_bytes() for path in Path(FOLDER).glob("*.csv")}
    assert written == {name: text.encode("utf-8") for name, text in build().items()}


def test_the_columns_are_those_the_program_reads() -> None:
    assert set(COLUMNS) == set(KNOWN_TABLES)
    for name, columns in COLUMNS.items():
        assert set(columns) <= set(KNOWN_TABLES[name].known_columns)


def test_no_time_falls_in_the_hour_the_clock_skips_or_shows_twice() -> None:
    zone = ZoneInfo("America/New_York")
    times = [
        datetime.fromisoformat(value.partition("[")[0])
        for table in COLUMNS
        for row in rows(table)
        for column, value in row.items()
        if column.endswith("_at") or column == "at"
        if value
    ]
    assert len(times) > 3000
    for time in times:
        assert 5 <= time.hour <= 22
        assert time.replace(tzinfo=zone, fold=0).utcoffset() == time.replace(tzinfo=zone, fold=1).utcoffset()


def rates_by_lot() -> dict[tuple[str, str], list[float]]:
    """Every loss per day [points of MC] of each lot's boards, by the textbook's sums and exact fractions."""
    sections = defaultdict(list)
    for row in rows("sections"):
        if row["oven_dry_weight"] and not row["rejected_because"]:
            wet, dry = (grams(row[name], row["weight_unit"]) for name in ("wet_weight", "oven_dry_weight"))
            sections[row["charge"], row["board"]].append(100 * (wet / dry - 1))
    cut = {(row["charge"], row["board"]) for row in (*rows("recuts"), *rows("breaks"))}
    zone = ZoneInfo("America/New_York")
    superseded = {row["supersedes"] for row in rows("weighings")}
    lines = defaultdict(list)
    for row in rows("weighings"):
        if not row["uid"] or row["uid"] not in superseded:
            when = datetime.fromisoformat(row["weighed_at"]).replace(tzinfo=zone).timestamp()
            lines[row["charge"], row["board"]].append((when, grams(row["weight"], row["weight_unit"])))
    rates = defaultdict(list)
    for board in rows("boards"):
        key = board["charge"], board["board"]
        if key in cut or key not in sections:
            continue  # its oven-dry weight changes on the way, or is read in the oven
        start_mc = sum(sections[key]) / len(sections[key])
        oven_dry = 100 * grams(board["start_weight"], board["weight_unit"]) / (100 + start_mc)
        for (earlier, before), (later, after) in zip(lines[key], lines[key][1:], strict=False):
            loss = 100 * (before - after) / oven_dry
            rates[board["charge"], board["lot"]].append(float(loss) / ((later - earlier) / 86400))
    return rates


@pytest.fixture(scope="module")
def lot_rates() -> dict[tuple[str, str], list[float]]:
    return rates_by_lot()


def test_the_wood_keeps_under_the_published_rate_limits(
    lot_rates: dict[tuple[str, str], list[float]],
) -> None:
    """Limits: University of Kentucky Extension FOR-128, table 9, as the lots carry them."""
    limits = {
        (row["charge"], row["lot"]): float(row["safe_rate_pct_per_day"])
        for row in rows("lots")
        if row["safe_rate_pct_per_day"]
    }
    over = {
        lot: max(lot_rates[lot])
        for lot, limit in limits.items()
        if lot_rates[lot] and max(lot_rates[lot]) > limit
    }
    assert over == {}


def test_one_running_board_is_close_to_its_limit(lot_rates: dict[tuple[str, str], list[float]]) -> None:
    assert 0.9 * 6.5 < max(lot_rates["2026-15", "A"]) < 6.5
