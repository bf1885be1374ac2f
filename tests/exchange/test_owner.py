"""What one owner gets: their lots and boards, and not a word about anybody else's."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.other_names import OtherNames
from kilnlog.exchange.owner_texts import LEFT_OUT
from kilnlog.exchange.selection import of_charge, of_owner
from kilnlog.exchange.to_tables import rows_of
from kilnlog.exchange.workbook import write_workbook
from kilnlog.records.closing import Closing
from kilnlog.records.defect import Defect
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.later_note import LaterNote
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.setting import TERMS_OF_LOT
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    EventKind,
    LoggerClock,
    ProbePlace,
    ReadingKind,
    StressFound,
    StressTestKind,
    TallyTime,
    TemperatureUnit,
    VolumeUnit,
)
from tests.builders import ChargeBuilder
from tests.exchange.charges import AT, entries_of, eventful, written
from tests.exchange.folders import by_table, taken_in

OWN = "Ash & Daughters"
OTHER = "Brook Mill"
CELSIUS = TemperatureUnit.CELSIUS


def told_everywhere() -> ChargeBuilder:
    """The other owner is named in every text that is not a name."""
    build = eventful()
    (first, *_) = build.entries
    build.correct(first.entity, notes=f"the oak of {OTHER.upper()} came late")
    build.event(EventKind.NOTE, 3, note=f"{OTHER} rang")
    build.event(EventKind.NOTE, 4, note="all of them rang")  # it does not say who
    build.take_step(2, 5, reason=f"for {OTHER}")
    build.decide("too-fast", 5, subject="board 3", note="fine")
    build.decide("too-fast", 5, subject="board 1", note=f"asked {OTHER}")
    build.decide("gain", 6, subject="lot A", note="wiped")
    moved = build.lot("C", owner=OTHER, species="birch")
    build.correct(moved, owner=OWN, limits_from=f"as {OTHER} wants it", reason=f"was put under {OTHER}")
    build.close(30)
    return build


@pytest.fixture
def handed_out(tmp_path: Path) -> Path:
    return written(tmp_path / "out.xlsx", [told_everywhere()], owner=OWN)


def _bytes_of(path: Path) -> dict[str, str]:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name).decode("utf-8", "replace") for name in archive.namelist()}


def test_no_other_owner_is_named_anywhere_in_the_file(handed_out: Path) -> None:
    parts = _bytes_of(handed_out)
    assert len(parts) > 20
    assert any("Ash &amp; Daughters" in text for text in parts.values())
    for name, text in parts.items():
        assert "brook" not in text.lower(), name
    assert not any("all of them rang" in text for text in parts.values())


def test_only_the_owners_boards_and_rows_are_there(handed_out: Path) -> None:
    tables = by_table(taken_in(handed_out))
    assert [entry.fact.lot for entry in tables["lot"]] == ["A", "C"]
    assert [entry.fact.board for entry in tables["board"]] == ["1", "2"]
    boards = {entry.entity for entry in tables["board"]}
    for table in ("section", "oven_weighing", "weighing", "recut", "breakage", "withdrawal"):
        assert {entry.fact.board for entry in tables[table]} <= boards
    assert len(tables["weighing"]) == 32
    decisions = [(entry.fact.subject, entry.fact.note) for entry in tables["decision"]]
    assert decisions == [("board 1", None), ("lot A", "wiped")]
    assert tables["charge"][0].fact.notes is None
    assert tables["step_taken"][0].fact.reason is None
    assert len(tables["closing"]) == 1


def test_the_readable_sheets_show_no_figure_of_the_others(handed_out: Path) -> None:
    book = load_workbook(handed_out)
    summary = list(book["Summary"].iter_rows(values_only=True))
    labels = {row[0] for row in summary}
    assert not {"Controlling MC %", "Mean MC %", "Wettest board, MC %", "Driest board, MC %"} & labels
    heading = next(n for n, row in enumerate(summary) if row[0] == "Board")
    assert [row[0] for row in summary[heading + 1 : heading + 4]] == ["1", "2", None]
    about = [row[1] for row in summary if row[0] in ("act", "look", "note")]
    assert set(about) <= {"board 1", "board 2", "lot A", "lot C"}
    moisture = [cell.value for cell in book["Moisture 24-07"][1]]
    assert moisture == ["Round", "Days", "Board 1", "Board 2", "Target"]
    checked = {row[1] for row in book["Checking"].iter_rows(min_row=4, values_only=True)}
    assert checked == {"1", "2"}


def test_it_can_be_taken_in_like_any_other(handed_out: Path, tmp_path: Path) -> None:
    entries = taken_in(handed_out)
    assert all(entry.version.supersedes is None for entry in entries)
    again = written_again(tmp_path / "again.xlsx", by_table(entries))
    assert rows_of(by_table(taken_in(again))) == rows_of(by_table(entries))


def written_again(path: Path, entries: dict[str, list[Any]]) -> Path:
    write_workbook(path, entries, [], program_version="0.1.0", made_at=AT)
    return path


def test_an_owner_of_nothing_is_refused_with_those_there_are(tmp_path: Path) -> None:
    with pytest.raises(UnknownOwner) as refused:
        written(tmp_path / "out.xlsx", [eventful()], owner="Nobody")
    assert refused.value.values["known_owners"] == (OWN, OTHER)
    assert list(tmp_path.iterdir()) == []


def test_an_owner_whose_name_is_a_kind_of_wood_hides_no_species() -> None:
    build = ChargeBuilder("24-11")
    build.lot("A", owner=OWN, species="red oak", limits_from="red oak as usual")
    build.lot("B", owner="Oak", species="ash")
    (lot,) = of_owner(entries_of(build), OWN).entries["lot"]
    assert (lot.fact.species, lot.fact.limits_from) == ("red oak", None)


def test_who_wrote_a_row_is_left_out_where_that_is_another_owner() -> None:
    build = ChargeBuilder("24-11")
    build.lot("A", owner=OWN)
    build.lot("B", owner="Tester")
    (lot,) = of_owner(entries_of(build), OWN).entries["lot"]
    assert lot.version.entered_by == ""


def test_one_charge_alone_takes_its_kiln_and_schedule_along() -> None:
    first, second = eventful("24-07"), ChargeBuilder("24-08")
    kiln = first.kiln("North")
    first.kiln("South")
    first.stay(kiln, 0)
    first.steps("Slow", 50.0)
    entries = entries_of(first, second)
    own = of_charge(entries, first.entity)
    assert [entry.fact.charge for entry in own["charge"]] == ["24-07"]
    assert [entry.fact.kiln for entry in own["kiln"]] == ["North"]
    assert own["schedule_step"] == []
    assert own["weighing"] == entries["weighing"]


def test_decisions_about_a_board_of_that_label_in_another_charge_are_not_handed_out() -> None:
    """Board labels begin anew in every charge: 1 is the owner's in one and somebody else's in the other."""
    one, two = ChargeBuilder("24-11"), ChargeBuilder("24-12")
    for build, boards in ((one, {"1": OWN, "2": OTHER}), (two, {"1": OTHER, "2": OWN})):
        for label, owner in boards.items():
            build.board(label, "1800", lot=build.lot(f"of {label}", owner=owner))
            build.decide("too-fast", 3, subject=f"board {label}", note=f"{owner[:3]} asked")
    kept = of_owner(entries_of(one, two), OWN).entries["decision"]
    assert [(entry.fact.charge.split("/")[0], entry.fact.subject) for entry in kept] == [
        ("24-11", "board 1"),
        ("24-12", "board 2"),
    ]


def test_a_decision_about_a_label_that_was_once_anothers_is_left_out() -> None:
    build = ChargeBuilder("24-11")
    own, other = build.lot("A", owner=OWN), build.lot("B", owner=OTHER)
    first = build.board("1", "1800", lot=other)
    build.decide("too-fast", 3, subject="board 1", note="seen")
    build.void(first)
    build.board("1", "1700", lot=own)
    assert of_owner(entries_of(build), OWN).entries["decision"] == []


def test_a_logger_file_and_a_setting_do_not_tell_whose_the_others_lumber_is() -> None:
    alone, shared = ChargeBuilder("24-11"), ChargeBuilder("24-12")
    for build in (alone, shared):
        build.lot("A", owner=OWN)
    shared.lot("B", owner=OTHER)
    for build, name in (
        (alone, "hall.csv"),
        (alone, "Brook Mill oak.csv"),
        (shared, "cherry of somebody.csv"),
    ):
        build.first(LoggerBatch(build.entity, "fan", name, "0" * 64, LoggerClock.LOCAL, CELSIUS), 0)
    shared.first(LoggerBatch(shared.entity, "brook shed", "x.csv", "0" * 64, LoggerClock.LOCAL, CELSIUS), 0)
    shared.setting("logger: brook shed", "{}")
    shared.setting("constant_weight_rule", "0.1 % in 2 h")
    kept = of_owner(entries_of(alone, shared), OWN).entries
    assert [(entry.fact.sensor, entry.fact.file_name) for entry in kept["logger_batch"]] == [
        ("fan", "hall.csv"),
        ("fan", LEFT_OUT),
        ("fan", LEFT_OUT),
        ("sensor 1", LEFT_OUT),
    ]
    assert [entry.fact.setting for entry in kept["setting"]] == ["constant_weight_rule"]


def test_how_somebody_elses_lot_is_read_goes_to_nobody_else() -> None:
    build = ChargeBuilder("24-13")
    build.lot("A", owner=OWN)
    build.lot("B", owner=OTHER)
    own, other = (entry.entity for entry in entries_of(build)["lot"])
    for lot in (own, other):
        build.setting(f"{TERMS_OF_LOT}{lot}", "{}")
    kept = of_owner(entries_of(build), OWN).entries
    assert [entry.fact.setting for entry in kept["setting"]] == [f"{TERMS_OF_LOT}{own}"]


@pytest.mark.parametrize(
    "text",
    [
        "BROOK  MILL rang",
        "brook\u00a0mill",
        "Ｂｒｏｏｋ Ｍｉｌｌ",
        "Brook-Mill",
        "for BrookMill",
        "brook_mill.csv",
        "oak from brook",
        "Mr Brook's boards",
        "the Brooks",
    ],
)
def test_a_name_is_found_however_it_is_written(text: str) -> None:
    assert OtherNames([OTHER], OWN).are_told_in(text)


@pytest.mark.parametrize(
    ("names", "text"),
    [
        ([OTHER], "the mill was cold"),  # a word of the trade
        ([OTHER], "broken board"),
        (["Ash Joinery & Sons"], "white ash for the joinery"),
        (["Oak"], "soaked"),
        ([OTHER], None),
        ([" ", "&"], "anything"),
        (["ash & DAUGHTERS ", "Ash  & Daughters"], "Ash & Daughters rang"),  # the own name, written otherwise
        (["Daughters Brook"], "the daughters rang"),  # a word of the own name
    ],
)
def test_what_names_nobody_else_is_left(names: list[str], text: str | None) -> None:
    assert not OtherNames(names, OWN).are_told_in(text)


@pytest.mark.parametrize(
    ("name", "text"),
    [("Müller", "MULLER"), ("Mäkinen Oy", "bei makinen"), ("Weiß Holz", "WEISS"), ("山田", "山田さんの板")],
)
def test_accents_and_scripts_do_not_hide_a_name(name: str, text: str) -> None:
    assert OtherNames([name], OWN).are_told_in(text)


def test_where_others_have_lumber_too_only_text_about_own_lumber_goes_out() -> None:
    build = ChargeBuilder("24-11", notes="the late lot pays less")
    own, other = build.lot("A", owner=OWN, limits_from="my order"), build.lot("B")  # the mill's own stock
    build.board("1", "1800", lot=own, notes="knot at one end")
    build.board("2", "1800", lot=other, notes="twisted")
    build.event(EventKind.NOTE, 3, note="they paid")
    build.take_step(2, 5, reason="for the oak")
    build.decide("too-fast", 5, subject="board 1", note="fine")
    build.decide("last-quarter", 5, note="sold already")
    build.first(Closing(build.entity, "all fetched"), 30)
    kept = of_owner(entries_of(build), OWN).entries
    assert kept["charge"][0].fact.notes is None
    assert [entry.fact.note for entry in kept["event"]] == [None]
    assert kept["step_taken"][0].fact.reason is None
    assert kept["closing"][0].fact.closing_reason is None
    assert [entry.fact.note for entry in kept["decision"]] == ["fine"]
    assert [entry.fact.notes for entry in kept["board"]] == ["knot at one end"]
    assert kept["lot"][0].fact.limits_from == "my order"


def finished(*owners: str) -> tuple[ChargeBuilder, list[str]]:
    """A charge with a lot for each owner, all that is told of them, each lot and then the charge closed."""
    build = ChargeBuilder("24-13")
    lots = [build.lot(owner[:3], owner=owner) for owner in owners]
    charge = build.entity
    for lot, owner in zip(lots, owners, strict=True):
        build.first(FinalReading(charge, lot, ReadingKind.PIN_METER, reading_pct=8.0, note="heart"), 20)
        build.first(StressTest(charge, lot, StressTestKind.PRONG, found=StressFound.FREE), 20)
        build.first(Defect(charge, lot, DefectKind.OTHER, note=f"told {OTHER}"), 20)
        build.first(TallyLine(charge, lot, TallyTime.NET, volume=9.5, volume_unit=VolumeUnit.BOARD_FEET), 20)
        build.first(StepAnswer(charge, CloseOutStep.STRESS, AnswerKind.LEFT_OUT, lot, f"{OTHER} said so"), 20)
        build.first(Closing(charge, f"for {owner}", sealed_text=f"seal {owner}", lot=lot), 21)
        build.first(LaterNote(charge, f"{owner[:3]} cupped", lot), 31)
    build.first(StepAnswer(charge, CloseOutStep.HEAT, AnswerKind.LEFT_OUT, None, "nobody asked"), 20)
    build.first(ProbeReading(charge, "core 1", ProbePlace.CORE, 57.0, CELSIUS), 20)
    build.first(ProbeReading(charge, "in brook oak", ProbePlace.CORE, 57.0, CELSIUS), 20)
    build.first(HeatChoice(charge, 56.0, CELSIUS, 30.0, note="they pay for it"), 20)
    build.first(Closing(charge, "all fetched", sealed_text="seal of all"), 30)
    build.first(LaterNote(charge, "stored in the hall"), 31)
    return build, lots


def test_of_a_shared_charge_that_is_finished_one_owner_gets_their_own_lots_rows() -> None:
    build, _ = finished(OWN, OTHER)
    kept = of_owner(entries_of(build), OWN).entries
    own = kept["lot"][0].entity
    for table in ("final_reading", "stress_test", "defect", "tally_line"):
        assert [entry.fact.lot for entry in kept[table]] == [own]
    assert kept["final_reading"][0].fact.note == "heart"
    assert kept["defect"][0].fact.note == LEFT_OUT
    answers = [(entry.fact.lot, entry.fact.note) for entry in kept["step_answer"]]
    assert answers == [(own, LEFT_OUT), (None, LEFT_OUT)]
    assert [entry.fact.probe for entry in kept["probe_reading"]] == ["core 1", "sensor 1"]
    assert kept["heat_choice"][0].fact.note is None
    closings = [(entry.fact.lot, entry.fact.closing_reason) for entry in kept["closing"]]
    assert closings == [(own, f"for {OWN}"), (None, None)]
    assert [entry.fact.text for entry in kept["later_note"]] == ["Ash cupped"]
    assert {entry.fact.sealed_text for entry in kept["closing"]} == {None}


def test_of_a_charge_of_their_own_that_is_finished_an_owner_gets_all_but_the_seals() -> None:
    build, _ = finished(OWN)
    kept = of_owner(entries_of(build), OWN, [OTHER]).entries
    own = kept["lot"][0].entity
    assert kept["heat_choice"][0].fact.note == "they pay for it"
    assert [entry.fact.text for entry in kept["later_note"]] == ["Ash cupped", "stored in the hall"]
    assert [entry.fact.lot for entry in kept["closing"]] == [own, None]
    assert {entry.fact.sealed_text for entry in kept["closing"]} == {None}
    assert kept["step_answer"][1].fact.note == "nobody asked"


def test_a_note_that_names_another_owner_is_left_out() -> None:
    build, (own, _) = finished(OWN, OTHER)
    build.first(LaterNote(build.entity, f"{OTHER} measured this one", own), 32)
    kept = of_owner(entries_of(build), OWN).entries
    assert [entry.fact.text for entry in kept["later_note"]] == ["Ash cupped"]


def test_what_was_reopened_counts_as_open_to_an_owner() -> None:
    build, (own, _) = finished(OWN, OTHER)
    for entry in [entry for entry in build.entries if isinstance(entry.fact, Closing)]:
        if entry.fact.lot in (own, None):
            build.change(entry.entity, 33, reason="a slip", reopened=True, sealed_text=None)
    assert of_owner(entries_of(build), OWN).entries["closing"] == []


def test_a_finished_charge_goes_out_to_an_owner_and_comes_in(tmp_path: Path) -> None:
    build, _ = finished(OWN, OTHER)
    path = written(tmp_path / "out.xlsx", [build], owner=OWN)
    for name, text in _bytes_of(path).items():
        assert "brook" not in text.lower(), name
        assert "seal" not in text.replace("sealed_", ""), name
    tables = by_table(taken_in(path))
    assert [len(tables[table]) for table in ("final_reading", "tally_line", "closing", "later_note")] == [
        1,
        1,
        2,
        1,
    ]


def test_a_charge_of_one_owner_keeps_its_notes() -> None:
    build = ChargeBuilder("24-11", notes="slow at first")
    build.lot("A", owner=OWN)
    build.lot("B", owner=f" {OWN.upper()} ")
    build.event(EventKind.NOTE, 3, note="fan oiled")
    kept = of_owner(entries_of(build), OWN).entries
    assert (kept["charge"][0].fact.notes, kept["event"][0].fact.note) == ("slow at first", "fan oiled")


@pytest.mark.parametrize("asked", ["Rowan Farm", "rowan farm", " ROWAN  FARM "])
def test_one_owner_written_in_several_ways_is_one(asked: str) -> None:
    build = ChargeBuilder("24-11")
    for label, owner in (("A", "Rowan Farm"), ("B", "Rowan Farm "), ("C", "rowan farm"), ("D", OTHER)):
        build.board(label, "1800", lot=build.lot(label, owner=owner))
    excerpt = of_owner(entries_of(build), asked)
    assert [entry.fact.lot for entry in excerpt.entries["lot"]] == ["A", "B", "C"]
    assert [entry.fact.board for entry in excerpt.entries["board"]] == ["A", "B", "C"]
    with pytest.raises(UnknownOwner) as refused:
        of_owner(entries_of(build), "Nobody")
    assert refused.value.values["known_owners"] == (OTHER, "Rowan Farm")


def test_an_owner_named_only_in_another_charge_is_not_told_of_either() -> None:
    build = ChargeBuilder("24-11", notes=f"next comes {OTHER}")
    build.lot("A", owner=OWN)
    assert of_owner(entries_of(build), OWN, [OTHER]).entries["charge"][0].fact.notes is None


def test_a_kiln_a_schedule_and_an_instrument_named_after_another_owner_are_left_out(tmp_path: Path) -> None:
    build = ChargeBuilder("24-11", schedule="Brook, slow")
    kiln = build.kiln("Brook’s kiln")
    build.change(build.entity, 0, kiln=kiln)
    build.stay(kiln, 0)
    build.steps("Brook, slow", 50.0)
    build.lot("A", owner=OWN)
    build.lot("B", owner=OTHER)
    parts = _bytes_of(written(tmp_path / "out.xlsx", [build], owner=OWN))
    assert not [name for name, text in parts.items() if "brook" in text.lower()]
    tables = by_table(taken_in(tmp_path / "out.xlsx"))
    assert (tables["kiln"], tables["stay"], tables["schedule_step"]) == ([], [], [])
