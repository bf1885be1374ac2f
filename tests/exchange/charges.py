"""Charges with everything that can happen to a board, and how they are handed to the workbook."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from kilnlog.drying.assessment import assess
from kilnlog.exchange.readable import ReadableCharge, ReadableFinding
from kilnlog.exchange.workbook import write_workbook
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry
from kilnlog.records.weight import WeightUnit
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder, moment
from tests.exchange.folders import by_table

AT = moment("2024-04-20 08:00")


def eventful(number: str = "24-07") -> ChargeBuilder:
    """Boards by sections, by a typed oven-dry weight, recut, broken, coated, still in the oven."""
    build = ChargeBuilder(number, kiln=None, target_mc_pct=8)
    ash = build.lot("A", owner="Ash & Daughters", species="white ash", thickness="4/4", governs=True)
    oak = build.lot("B", owner="Brook Mill", species="red oak", thickness="8/4", volume=540.0)
    plain = build.board("1", "1842.5", lot=ash)
    build.section(plain, "a", "120.43", "80.21", dried_at=1)
    build.section(plain, "b", "118.07", "79.02", dried_at=1)
    build.section(plain, "c", "118.07", "60.02", dried_at=1, rejected_because="scorched")
    coated = build.board("2", "2011.0", lot=ash, coating_weight="7.3")
    build.section(coated, "a", "130.0", "85.5", dried_at=1)
    recut = build.board("3", "1900.0", lot=oak, coating_weight="5.1")
    build.section(recut, "a", "101.0", "70.0", dried_at=1)
    typed = build.board("4", "2222", lot=oak, oven_dry_weight="1480.5")
    twice = build.board("5", "3001.5", lot=oak, replaces=typed, coating_weight="4.4")
    build.section(twice, "a", "110.0", "71.3", dried_at=1)
    drying = build.board("6", "1500")
    build.section(drying, "a", "99.9")
    late = build.board("7", "1700")  # known only by a recut
    for day in range(2, 9):
        for board, start in ((plain, 1800), (coated, 1960), (recut, 1850), (typed, 2150), (twice, 2900)):
            build.weigh(board, f"{start - 17.3 * day:.1f}", day)
        build.weigh(drying, f"{1490 - 9 * day}", day)
        build.weigh(late, f"{1690 - 9 * day}", day)
    build.recut(recut, "1698.2", "1560.4", "120.7", "88.8", at=9, dried_at=10, coating_weight="3.2")
    build.breaks(typed, "1990", "1912.5", 9)
    build.recut(twice, "2740.5", "2600.5", "119.1", "86.0", at=9, dried_at=10)
    build.breaks(twice, "2580.0", "2499.9", 11)
    build.recut(twice, "2470.4", "2333.3", "105.5", at=12, coating_weight="2.0")  # never dried
    build.recut(twice, "2280.1", "2150.0", "104.2", "84.9", at=14, dried_at=15)
    build.recut(late, "1590", "1490", "97.1", "70.7", at=9, dried_at=10)
    build.recut(plain, "1660.5", "1555.5", "101.2", "78.0", at=18)  # its section is in the oven still
    for day in range(16, 25):
        for board, start in (
            (plain, 1600),
            (coated, 1800),
            (recut, 1600),
            (typed, 1950),
            (twice, 2200),
            (late, 1500),
        ):
            build.weigh(board, f"{start - 5.7 * day:.1f}", day)
    build.withdraw(late, 24)
    return build


def in_pounds() -> ChargeBuilder:
    """A small charge weighed in pounds."""
    build = ChargeBuilder("24-08", unit=WeightUnit.LB, target_mc_pct=7)
    lot = build.lot("A", owner="Ash & Daughters")
    board = build.board("1", "4.46", lot=lot)
    build.section(board, "a", "98.55", "59.20", dried_at=1)
    build.weigh(board, "4.14", 3)
    build.weigh(board, "3.97", 5)
    return build


def readable(record: ChargeRecord, at: Moment = AT) -> ReadableCharge:
    """The charge as the logbook would hand it over, its findings in plain words."""
    assessment = assess(record, load(), at)
    findings = tuple(
        ReadableFinding(
            finding.severity.value,
            finding.subject,
            f"what {finding.code}",
            f"why {finding.code}",
            f"do {finding.code}",
            finding.source,
            finding.board,
            finding.lot,
        )
        for finding in assessment.findings
    )
    return ReadableCharge(record, assessment, findings)


def set_apart(build: ChargeBuilder) -> ChargeBuilder:
    """Put the charge's number before every uid: two builders count theirs alike."""
    first = build.entries[0].fact
    assert isinstance(first, Charge)
    number = first.charge
    uids = {entry.version.uid: f"{number}/{entry.version.uid}" for entry in build.entries}
    if build.entity not in uids or build.entity.startswith(f"{number}/"):
        return build

    def renamed(fact: Any) -> Any:
        held = {field.name: getattr(fact, field.name) for field in fields(fact)}
        return replace(
            fact,
            **{name: uids[value] for name, value in held.items() if isinstance(value, str) and value in uids},
        )

    build.entries = [
        Entry(
            replace(
                entry.version,
                uid=uids[entry.version.uid],
                entity=uids[entry.version.entity],
                supersedes=entry.version.supersedes and uids[entry.version.supersedes],
            ),
            renamed(entry.fact),
        )
        for entry in build.entries
    ]
    build.entity = uids[build.entity]
    return build


def entries_of(*builders: ChargeBuilder) -> dict[str, list[Entry[Any]]]:
    return by_table([entry for build in builders for entry in set_apart(build).entries])


def written(path: Path, builders: Sequence[ChargeBuilder], *, at: Moment = AT, **how: Any) -> Path:
    """The workbook of these charges."""
    charges = [readable(set_apart(build).record(), at) for build in builders]
    how = {"program_version": "0.1.0", "made_at": at, **how}
    write_workbook(path, entries_of(*builders), charges, **how)
    return path
