"""What one owner gets: their lots and boards, and not a word about anybody else's."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.selection import of_charge, of_owner
from kilnlog.exchange.to_tables import rows_of
from kilnlog.exchange.workbook import write_workbook
from kilnlog.records.words import EventKind
from tests.builders import ChargeBuilder
from tests.exchange.charges import AT, entries_of, eventful, written
from tests.exchange.folders import by_table, taken_in

OWN = "Ash & Daughters"
OTHER = "Brook Mill"


def told_everywhere() -> ChargeBuilder:
    """The other owner is named in every text that is not a name."""
    build = eventful()
    (first, *_) = build.entries
    build.correct(first.entity, notes=f"the oak of {OTHER.upper()} came late")
    build.event(EventKind.NOTE, 3, note=f"{OTHER} rang")
    build.event(EventKind.NOTE, 4, note="Brook Miller rang")  # somebody else
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
        assert "brook mill<" not in text.lower(), name
        assert "brook mill " not in text.lower(), name
    assert sum("Brook Miller" in text for text in parts.values()) == 1


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
    assert refused.value.values["known"] == (OWN, OTHER)
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
