"""The demo without a window, called from inside: what its pictures are made of, what it closes."""

from __future__ import annotations

from contextlib import redirect_stdout
from io import StringIO

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from kilnlog.cli.sample import CHARGE, CLOSED, OWNER, demo, do_without_window
from kilnlog.logbook.demo_close_out import WHY_LEFT_OUT
from kilnlog.logbook.sample_folder import SAMPLE_NAME
from kilnlog.logbook.seals import checked_contents, find_seal
from kilnlog.logbook.session import open_logbook


@pytest.fixture(scope="module")
def done(tmp_path_factory):
    """The folder of a demo that draws no pictures, and what it said."""
    folder, said = tmp_path_factory.mktemp("done") / "demo", StringIO()
    with pytest.MonkeyPatch.context() as patched, redirect_stdout(said):
        patched.setattr("kilnlog.cli.sample._draw", lambda path, folder: None)
        do_without_window(folder)
    return folder, said.getvalue()


def weights_in(path):
    book = open_logbook(path, read_only=True)
    try:
        charge = book.charge_numbered(CHARGE).entity
        return len(book.file.entries("weighing", charge=charge))
    finally:
        book.close()


def test_the_pictures_show_the_round_still_waiting(tmp_path, monkeypatch, built, capsys):
    drawn = []

    def save_pictures(folder, path):
        drawn.append((folder, weights_in(path)))
        yield folder / "boards.png"

    monkeypatch.setattr("kilnlog.cli.offscreen.cannot_draw", lambda: None)
    monkeypatch.setattr("kilnlog.ui.pictures.save_pictures", save_pictures)
    folder = tmp_path / "demo"
    do_without_window(folder)
    assert drawn == [(folder / "pictures", weights_in(built))]
    assert weights_in(folder / SAMPLE_NAME) == weights_in(built) + 8
    assert {path.name for path in folder.iterdir()} == {
        SAMPLE_NAME,
        "status.txt",
        f"{CHARGE}.xlsx",
        f"{CHARGE} weigh sheet.pdf",
        *(f"{CLOSED} {OWNER} {paper}" for paper in ("quality record.pdf", "customer workbook.xlsx")),
        f"{CLOSED} charge report.pdf",
    }
    assert f"picture: {folder / 'pictures' / 'boards.png'}" in capsys.readouterr().out


def test_the_charge_is_closed_as_it_stands_and_nothing_is_invented(done):
    folder, said = done
    seal_told = next(line for line in said.splitlines() if line.startswith("verified: "))
    short_form = seal_told.partition("Seal ")[2][:14]
    book = open_logbook(folder / SAMPLE_NAME, read_only=True)
    try:
        contents = checked_contents(find_seal(book, short_form))
        assert book.file.charge_record(book.charge_numbered(CLOSED).entity).is_closed
    finally:
        book.close()
    assert contents["charge"]["charge"] == CLOSED
    # Both lots stand without a stress test in the sample; all else was looked at.
    assert "2 headings left out" in said
    for lot in contents["lots"]:
        assert lot["stress"] == []
        assert lot["answers"] == [{"step": "stress", "answer": "left out", "note": WHY_LEFT_OUT}]
    assert [len(lot["final"][0]["readings"]) for lot in contents["lots"]] == [24, 5]


def test_its_papers_carry_the_seal_that_is_verified(done):
    folder, said = done
    for name in (f"{CLOSED} {OWNER} quality record.pdf", f"{CLOSED} charge report.pdf"):
        text = "".join(page.extract_text() for page in PdfReader(folder / name).pages)
        short_form = said.partition("Seal ")[2][:14]
        assert short_form in text
    sheet = "".join(page.extract_text() for page in PdfReader(folder / f"{CHARGE} weigh sheet.pdf").pages)
    assert CHARGE in sheet


@pytest.fixture
def temporary(tmp_path, monkeypatch):
    """Where temporary folders are made here, and what the window is to do while it is open."""
    made, doing = tmp_path / "tmp", []
    made.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(made))
    monkeypatch.setattr("kilnlog.ui.start.can_show", lambda: None)

    def window(path, clock):
        assert path.exists()
        doing.append(path.parent)
        for act in doing[:-1]:
            act(path)
        return 0

    monkeypatch.setattr("kilnlog.ui.start.open_window", window)
    return made, doing


def test_the_temporary_copy_of_the_demo_goes_with_the_window(temporary):
    made, doing = temporary
    ran = CliRunner().invoke(demo, [])
    assert ran.exit_code == 0, ran.output
    assert len(doing) == 1  # the window was open
    assert "It goes when the window is closed." in ran.output
    assert list(made.iterdir()) == []


def test_what_was_written_beside_the_copy_stays_and_is_named(temporary):
    made, doing = temporary
    doing.append(lambda path: (path.parent / "my tally.csv").write_text("mine"))
    ran = CliRunner().invoke(demo, [])
    [folder] = made.iterdir()
    assert [path.name for path in folder.iterdir()] == ["my tally.csv"]
    assert f"What was written beside the sample stays in {folder}." in ran.output


def test_a_folder_of_ones_own_is_never_removed(temporary, tmp_path):
    made, _ = temporary
    mine = tmp_path / "mine"
    ran = CliRunner().invoke(demo, ["--to", str(mine)])
    assert ran.exit_code == 0, ran.output
    assert (mine / SAMPLE_NAME).exists()
    assert "It goes" not in ran.output
    assert list(made.iterdir()) == []
