"""Narrowing the register down, and the outcome a charge is looked for by."""

from __future__ import annotations

import numpy as np
import pytest

from kilnlog.logbook.closing import close_charge, reopen, sealed_figures
from kilnlog.logbook.final_figures import FinalMoisture, final_moisture, start_mc_pct
from kilnlog.logbook.lot_kinds import kind_words, leading_kinds, lot_kind
from kilnlog.logbook.outcome import Outcome, outcome_of
from kilnlog.logbook.past_charges import (
    Facet,
    fit_count,
    narrowed,
    nothing_fits,
    options,
    words_of,
)
from kilnlog.logbook.register import register
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import take_back
from kilnlog.records.charge import Charge
from kilnlog.records.lot import Lot
from kilnlog.reference.tables import load
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE
from tests.logbook.filling import fill_charge, keep

NOW = moment("2026-11-25 07:44", ZONE)


def lot(label="A", **told):
    return Lot("charge", label, **told)


@pytest.fixture
def lines(book):
    """Four charges; in the first, oak is 4/4 and walnut 8/4."""
    for number, loaded, lots in (
        ("1", "2025-12-31 22:00", [("red oak", "4/4", "Rowan Joinery"), ("walnut", "8/4", "Vintrey")]),
        ("2", "2026-01-01 06:00", [("Red Oak", "25 mm", "ROWAN  joinery ")]),
        ("3", "2026-03-01 08:00", [("walnut", "4/4", None)]),
        ("4", "2026-04-01 08:00", [("red oak", "4/4", "own stock")]),
    ):
        charge = keep(book, Charge(number, ZONE, loaded_at=moment(loaded, ZONE)))
        for n, (species, thickness, owner) in enumerate(lots):
            keep(book, Lot(charge, "AB"[n], owner, species, thickness))
    return register(book, load(), NOW)


def numbers(lines):
    return sorted(line.number for line in lines)


def key(lines, facet, words):
    return next(option.key for option in options(lines, {}, facet) if option.words == words)


def test_each_facet_counts_what_it_would_leave(lines):
    def told(facet, chosen=None):
        return {option.words: option.count for option in options(lines, chosen or {}, facet)}

    assert told(Facet.SPECIES) == {"red oak": 3, "walnut": 2}
    assert told(Facet.THICKNESS) == {"4/4": 4, "8/4": 1}  # 25 mm stock is 4/4 stock
    assert told(Facet.OWNER) == {"own stock": 2, "ROWAN joinery": 2, "Vintrey": 1}  # as written last
    assert told(Facet.YEAR) == {"2026": 3, "2025": 1}
    assert told(Facet.OUTCOME) == {"still open": 4}
    assert told(Facet.YEAR, {Facet.SPECIES: key(lines, Facet.SPECIES, "walnut")}) == {"2026": 1, "2025": 1}


def test_words_are_combined_and_lots_are_not_mixed(lines):
    oak, walnut = (key(lines, Facet.SPECIES, name) for name in ("red oak", "walnut"))
    thick = key(lines, Facet.THICKNESS, "8/4")
    assert numbers(narrowed(lines, {Facet.SPECIES: oak})) == ["1", "2", "4"]
    assert numbers(narrowed(lines, {Facet.SPECIES: walnut, Facet.THICKNESS: thick})) == ["1"]
    assert numbers(narrowed(lines, {Facet.SPECIES: oak, Facet.THICKNESS: thick})) == []
    assert numbers(narrowed(lines, {Facet.SPECIES: oak, Facet.OWNER: "vintrey"})) == []
    assert numbers(narrowed(lines, {})) == ["1", "2", "3", "4"]


def test_owners_are_compared_as_everywhere_and_no_owner_is_own_stock(lines):
    assert numbers(narrowed(lines, {Facet.OWNER: "rowan joinery"})) == ["1", "2"]
    assert numbers(narrowed(lines, {Facet.OWNER: "own stock"})) == ["3", "4"]


def test_the_year_is_that_of_the_clock_where_it_was_loaded(lines):
    # 22:00 on 31 December in New York is 03:00 of 1 January UTC.
    assert numbers(narrowed(lines, {Facet.YEAR: "2025"})) == ["1"]
    assert words_of(lines, Facet.YEAR, "2025") == "loaded in 2025"


def test_a_word_chosen_that_leaves_nothing_is_still_offered(lines):
    chosen = {Facet.SPECIES: "walnut", Facet.OWNER: "rowan joinery"}
    offered = options(lines, chosen, Facet.OWNER)
    assert ("ROWAN joinery", 0) in [(one.words, one.count) for one in offered]
    assert fit_count(lines, chosen) == "0 charges fit"
    assert fit_count(lines, {Facet.YEAR: "2025"}) == "1 charge fits"


def test_one_taken_back_is_not_counted(book, lines):
    entity = next(line.entity for line in lines if line.number == "3")
    for line in book.file.entries("lot"):
        if line.fact.charge == entity:
            take_back(book, "lot", line.entity, "a mistake")
    take_back(book, "charge", entity, "a mistake")
    anew = register(book, load(), NOW)
    assert fit_count(anew, {Facet.YEAR: "2026"}) == "2 charges fit"
    assert numbers(narrowed(anew, {Facet.OUTCOME: Outcome.TAKEN_BACK})) == ["3"]


def test_an_empty_list_says_what_to_do():
    assert "Esc in the search" in nothing_fits([], "beech")
    assert "Shift F clears" in nothing_fits(["walnut", "8/4"], "")
    both = nothing_fits(["walnut"], " beech ")
    for what in ("“beech”", "Shift F", "Esc"):
        assert what in both


def test_a_kind_is_the_wood_not_its_spelling():
    reference = load()
    same = {
        lot_kind(lot(species=species, thickness=thickness), reference).kind
        for species, thickness in (("hard maple", "4/4"), ("Hard-Maple", "1 in"), ("sugar maple", "25 mm"))
    }
    assert len(same) == 1
    other = lot_kind(lot(species="hard maple", thickness="27 mm"), reference)
    assert other.kind not in same


def test_the_lots_that_govern_lead_and_an_unknown_one_leaves_no_kind():
    reference = load()
    oak = lot_kind(lot(species="red oak", thickness="4/4"), reference)
    thick = lot_kind(lot(species="walnut", thickness="8/4", governs=True), reference)
    assert leading_kinds([oak, thick]) == {thick.kind}
    assert kind_words([oak, thick]) == "8/4 walnut"
    assert leading_kinds([oak, lot_kind(lot(species="walnut"), reference)]) == frozenset()
    assert leading_kinds([]) == frozenset()


def sealed_boards(*boards):
    return {
        "status": {
            "boards": [
                {"lot": label, "mc_pct": mc, "state": state, "start_mc_pct": start}
                for label, mc, state, start in boards
            ]
        }
    }


SEALED = sealed_boards(
    ("A", 6.5, "in use", 80.0),
    ("A", 7.9, "in use", 90.0),
    ("B", 8.4, "out", 70.0),
    ("A", 20.0, "withdrawn", 60.0),
    ("A", None, "in use", None),
)


@pytest.mark.parametrize(
    ("told", "outcome"),
    [
        pytest.param({"mc_low_pct": 6, "mc_high_pct": 8}, Outcome.INSIDE, id="on both sides"),
        pytest.param({"mc_high_pct": 7.8}, Outcome.OUTSIDE, id="above the only limit"),
        pytest.param({"mc_low_pct": 6.6}, Outcome.OUTSIDE, id="below the only limit"),
        pytest.param({"target_mc_pct": 7.2}, Outcome.REACHED, id="its mean, 7.2, at its own target"),
        pytest.param({"target_mc_pct": 7.1}, Outcome.SHORT, id="its mean wetter than its own target"),
        pytest.param({}, Outcome.REACHED, id="the charge's target"),
    ],
)
def test_the_outcome_by_the_sample_boards(told, outcome):
    assert outcome_of(SEALED, [lot("A", **told)], 8.0) is outcome


def test_the_worst_lot_tells():
    lots = [lot("A", mc_high_pct=8), lot("B", mc_high_pct=8)]
    assert outcome_of(SEALED, lots, None) is Outcome.OUTSIDE
    assert outcome_of({}, lots, 8.0) is Outcome.UNKNOWN
    assert outcome_of(SEALED, [lot("C", mc_high_pct=8)], 8.0) is Outcome.UNKNOWN


def test_a_lot_nobody_measured_is_not_taken_for_one_inside():
    lots = [lot("A", mc_high_pct=8), lot("C", mc_high_pct=8)]
    assert outcome_of(SEALED, lots, None) is Outcome.UNKNOWN
    assert outcome_of(SEALED, [lots[0], lot("C")], None) is Outcome.INSIDE  # nothing was asked of it


def test_a_piece_over_the_meters_range_is_wetter_than_any_target():
    read = [{"mc_pct": mc, "over": mc is None} for mc in (6.8, 7.0, None)]
    limits = {"low_pct": None, "high_pct": None}
    part = {"lot": "A", "limits": limits, "final": [{"kind": "pin meter", "readings": read}]}
    assert outcome_of({"lots": [part]}, [lot("A")], 8.0) is Outcome.SHORT
    part["final"] = [{"kind": "pin meter", "readings": read[:2]}]
    assert outcome_of({"lots": [part]}, [lot("A")], 8.0) is Outcome.REACHED


def readings(*mc):
    return [{"mc_pct": one, "over": one is None} for one in mc]


def test_pieces_read_at_the_end_come_before_the_sample_boards_each_series_by_itself():
    sealed = SEALED | {
        "lots": [
            {
                "lot": "A",
                "limits": {"low_pct": None, "high_pct": None},
                "final": [
                    {"kind": "sample boards", "readings": readings(1.0, 1.0, 1.0, 1.0, 1.0)},
                    {"kind": "pin meter", "readings": readings(6.0, 7.0, 8.0, None)},
                    {"kind": "oven-dry", "readings": readings(6.4, 6.6)},
                ],
            },
            {
                "lot": "B",
                "limits": {"low_pct": 6.0, "high_pct": 9.5},
                "final": [{"kind": "pin meter", "readings": readings(9.0)}],
            },
        ]
    }
    whole = final_moisture(sealed)
    assert (whole.kind, whole.mc_pct, whole.over, whole.pieces) == ("pin meter", (6.0, 7.0, 8.0, 9.0), 1, 5)
    assert whole.mean_pct == pytest.approx(np.mean([6, 7, 8, 9]))
    assert whole.sd_pct == pytest.approx(np.std([6, 7, 8, 9], ddof=1))
    assert whole.outside(6, 8) == 2  # the 9 and the one over the meter's range
    assert outcome_of(sealed, [lot("A", mc_low_pct=6, mc_high_pct=8)], None) is Outcome.OUTSIDE
    # The limits a lot was sealed by come before those written on it.
    assert outcome_of(sealed, [lot("B", mc_high_pct=8)], None) is Outcome.INSIDE
    assert final_moisture(sealed, "C") is None


def test_a_single_piece_has_no_deviation():
    assert FinalMoisture("pin meter", (7.0,)).sd_pct is None
    assert FinalMoisture("pin meter", (), over=2).mean_pct is None
    assert start_mc_pct(SEALED) == pytest.approx(75)
    assert start_mc_pct({}) is None


def test_a_charge_that_was_closed_tells_its_outcome_in_the_register(book):
    filled = fill_charge(book)
    for label, grams in (("1", "1070"), ("2", "1060")):
        keep_weight(
            book, filled.charge, filled.boards[label], weight(grams), moment("2026-11-12 08:00", ZONE)
        )
    close_charge(book, filled.charge, moment("2026-11-13 08:00", ZONE), None, load())
    line = register(book, load(), NOW)[0]
    assert line.outcome is Outcome.REACHED  # no limits; a mean of 6.5 for a target of 7
    closing = book.file.entries("closing")[-1].fact
    assert final_moisture(sealed_figures(closing)).mc_pct == pytest.approx((7.0, 6.0))


def test_a_seal_is_read_once_and_a_new_one_anew(book, monkeypatch):
    filled = fill_charge(book)
    keep_weight(book, filled.charge, filled.boards["1"], weight("1070"), moment("2026-11-12 08:00", ZONE))
    close_charge(book, filled.charge, moment("2026-11-13 08:00", ZONE), None, load())
    read = []
    monkeypatch.setattr(
        "kilnlog.logbook.register.sealed_figures",
        lambda closing: read.append(closing) or sealed_figures(closing),
    )
    first, second = (register(book, load(), NOW)[0] for _ in range(2))
    assert first == second
    assert len(read) == 1
    reopen(book, filled.charge, None, "a weight was missing", moment("2026-11-14 08:00", ZONE))
    keep_weight(book, filled.charge, filled.boards["2"], weight("1200"), moment("2026-11-14 09:00", ZONE))
    close_charge(book, filled.charge, moment("2026-11-15 08:00", ZONE), None, load())
    third = register(book, load(), NOW)[0]
    assert len(read) == 2
    assert third.outcome is Outcome.SHORT
    assert third.control_mc_pct != first.control_mc_pct
