"""The sample's weights, typed one after another: what would have been asked about."""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.plausibility import doubts
from kilnlog.exchange.from_files import entries_from
from kilnlog.exchange.read_source import read
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.facts import TABLE_OF
from kilnlog.records.version import Entry, VersionKind
from kilnlog.reference.tables import load
from tests.sample_logbook.build import FOLDER


def by_charge() -> list[dict[str, list[Entry[Any]]]]:
    """The sample's entries by table, charge by charge, each with what belongs to none."""
    entries = entries_from(
        read(FOLDER),
        {},
        new_uid=lambda: str(uuid4()),
        now=datetime(2026, 11, 25, 12, tzinfo=UTC),
        who="Maren",
        zone="America/New_York",
    )
    charges = [entry.entity for entry in entries if TABLE_OF[type(entry.fact)] == "charge"]
    tables: dict[str, dict[str, list[Entry[Any]]]] = {charge: defaultdict(list) for charge in charges}
    for entry in entries:
        table = TABLE_OF[type(entry.fact)]
        charge = entry.entity if table == "charge" else getattr(entry.fact, "charge", None)
        for one in [charge] if charge else charges:
            tables[one][table].append(entry)
    return list(tables.values())


def asked_about(tables: dict[str, list[Entry[Any]]]) -> list[str]:
    """Every weight of a charge that is asked about when it is typed, as it was typed."""
    reference = load()
    weighings = tables["weighing"]
    asked = []
    for written, entry in enumerate(weighings):
        if entry.version.kind is VersionKind.CORRECTION:
            continue
        record = ChargeRecord.from_entries({**tables, "weighing": weighings[:written], "closing": []})
        assessment = assess(record, reference, entry.at)
        if doubts(record, assessment, entry.fact.board, entry.fact.weight, entry.at, entry.at):
            asked.append(f"{tables['charge'][0].fact.charge}: {entry.fact.weight.text}")
    return asked


@pytest.fixture(scope="module")
def asked() -> tuple[int, set[str]]:
    """How many weights there are, and those that were asked about."""
    charges = by_charge()
    return sum(len(one["weighing"]) for one in charges), {
        text for one in charges for text in asked_about(one)
    }


def test_the_three_misread_weights_are_asked_about(asked: tuple[int, set[str]]) -> None:
    assert {"2025-07: 4498", "2026-08: 4.71", "2026-14: 2627"} <= asked[1]


def test_of_the_others_at_most_one_in_two_hundred_is(asked: tuple[int, set[str]]) -> None:
    weights, texts = asked
    assert weights > 2000
    assert len(texts) - 3 <= weights / 200
