"""One weight kept, with what was decided about it, in one transaction."""

from __future__ import annotations

import pytest

from kilnlog.drying.doubt import Doubt
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook.errors import ImpossibleWeight, ReasonMissing
from kilnlog.logbook.weighing_round import TYPED_AGAIN, keep_weight
from kilnlog.logbook.writing import take_back_last
from kilnlog.records.version import VersionKind
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge

AT = moment("2026-11-04 07:44", ZONE)
GAIN = Doubt(Finding("gain", Severity.LOOK, "board 1", {"change_g": 40.0}))
IMPOSSIBLE = Doubt(Finding("in-future", Severity.ACT, "board 1"), possible=False)


def test_a_weight_is_kept_as_typed(book):
    filled = fill_charge(book)
    [entry] = keep_weight(
        book, filled.charge, filled.boards["1"], weight("1760"), AT, late_from="sheet", typed_first="7160"
    ).entries
    assert book.file.entries("weighing", charge=filled.charge) == [entry]
    assert entry.at == AT
    assert (entry.fact.entered_late_from, entry.fact.typed_first) == ("sheet", "7160")


def test_a_weight_insisted_on_is_kept_with_the_decision(book):
    filled = fill_charge(book)
    changes = keep_weight(
        book, filled.charge, filled.boards["1"], weight("1840"), AT, insisted=[GAIN], reason=" rained on "
    )
    weighing, decision = changes.entries
    assert weighing.fact.weight == weight("1840")
    assert (decision.fact.code, decision.fact.subject, decision.fact.note) == ("gain", "board 1", "rained on")
    assert changes.charges == {filled.charge}


def test_undo_of_a_weight_insisted_on_takes_the_decision_back_too(book):
    filled = fill_charge(book)
    changes = keep_weight(
        book, filled.charge, filled.boards["1"], weight("1840"), AT, insisted=[GAIN], reason="rained on"
    )
    take_back_last(book, changes)
    record = book.file.charge_record(filled.charge)
    assert [line.is_void for line in (*record.weighing, *record.decision)] == [True, True]


@pytest.mark.parametrize("reason", [None, "", " "])
def test_insisting_needs_a_reason(book, reason):
    filled = fill_charge(book)
    with pytest.raises(ReasonMissing):
        keep_weight(
            book, filled.charge, filled.boards["1"], weight("1840"), AT, insisted=[GAIN], reason=reason
        )
    assert book.file.entries("weighing") == []


def test_nobody_can_insist_on_what_cannot_be(book):
    filled = fill_charge(book)
    with pytest.raises(ImpossibleWeight) as refused:
        keep_weight(
            book, filled.charge, filled.boards["1"], weight("1840"), AT, insisted=[IMPOSSIBLE], reason="sure"
        )
    assert refused.value.values == {"board": "1", "typed": "1840", "doubt": "in-future"}
    assert book.file.entries("weighing") == []
    assert book.file.entries("decision") == []


@pytest.mark.parametrize(("given", "kept"), [(None, TYPED_AGAIN), ("misread", "misread")])
def test_a_line_of_the_round_is_corrected_not_written_over(book, given, kept):
    filled = fill_charge(book)
    first = keep_weight(book, filled.charge, filled.boards["1"], weight("1670"), AT).entries[0]
    later = AT.plus_hours(0.1)
    [entry] = keep_weight(
        book, filled.charge, filled.boards["1"], weight("1760"), later, corrects=first.entity, reason=given
    ).entries
    assert entry.version.kind is VersionKind.CORRECTION
    assert entry.version.reason == kept
    line = book.file.history("weighing", first.entity)
    assert [one.fact.weight.text for one in line.entries] == ["1670", "1760"]
