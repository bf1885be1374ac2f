"""Commands that write papers: what they leave, what they say, how they refuse."""

from __future__ import annotations

import re
import zipfile

import pytest
from pypdf import PdfReader

from tests.store.mill import unruled

CLOSED, OPEN = "2025-02", "2026-14"
SHORT = re.compile(r"[2-9A-HJ-NP-Z]{4}(?:-[2-9A-HJ-NP-Z]{4}){2}")


def text_of(path):
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


def alter_seals(path):
    with unruled(path) as other:
        other.execute("UPDATE closing SET sealed_text = replace(sealed_text, '\"days\":', '\"day\":')")


@pytest.mark.parametrize("command", ["record", "report"])
def test_a_closed_charge_is_printed_with_its_seal(kilnlog, sample, tmp_path, command):
    to = tmp_path / "out.pdf"
    told = kilnlog(command, sample, CLOSED, "--to", to)
    assert told.exit_code == 0, told.output
    [short] = SHORT.findall(told.output)
    assert told.output.splitlines()[1] == f"Seal {short}."
    assert short in text_of(to)
    assert kilnlog("verify", sample, "--seal", short).exit_code == 0


def test_the_workbook_is_written_with_its_seal(kilnlog, sample, tmp_path):
    to = tmp_path / "out.xlsx"
    told = kilnlog("workbook", sample, CLOSED, "--to", to)
    assert told.exit_code == 0, told.output
    [short] = SHORT.findall(told.output)
    with zipfile.ZipFile(to) as parts:
        assert any(short.encode() in parts.read(name) for name in parts.namelist())


def test_an_open_charge_is_printed_as_not_sealed(kilnlog, sample, tmp_path):
    told = kilnlog("record", sample, OPEN, "--to", tmp_path / "out.pdf")
    assert told.exit_code == 0, told.output
    assert "Not sealed: the charge is open." in told.output
    assert "Not sealed" in text_of(tmp_path / "out.pdf")


@pytest.mark.parametrize("command", ["weigh-sheet", "labels"])
def test_sheet_and_labels_are_written(kilnlog, sample, tmp_path, command):
    told = kilnlog(command, sample, OPEN, "--to", tmp_path / "out.pdf")
    assert (told.exit_code, told.output.count("\n")) == (0, 1)
    assert OPEN in text_of(tmp_path / "out.pdf")


def test_a_paper_is_written_again_from_the_seal_it_was_issued_under(kilnlog, sample, tmp_path):
    first, again = tmp_path / "first.pdf", tmp_path / "again.pdf"
    [short] = SHORT.findall(kilnlog("record", sample, CLOSED, "--to", first).output)
    told = kilnlog("record", sample, CLOSED, "--seal", short.lower().replace("-", ""), "--to", again)
    assert told.exit_code == 0, told.output
    assert again.read_bytes() == first.read_bytes()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("record", CLOSED, "--owner", "Nobody"), "Nobody"),
        (("record", CLOSED, "--lot", "Z"), "has no lot “Z”"),
        (("record", CLOSED, "--seal", "7QD4-M2XH"), "“7QD4-M2XH” is no short form of a seal."),
        (("report", CLOSED, "--seal", "7QD4-M2XH-9KTB"), "No seal of this logbook has the short form"),
        (("workbook", "nope"), "This logbook has no charge “nope”."),
    ],
)
def test_a_refusal_is_one_sentence_and_no_file(kilnlog, sample, tmp_path, arguments, said):
    command, charge, *rest = arguments
    told = kilnlog(command, sample, charge, *rest, "--to", tmp_path / "out")
    assert (told.exit_code, told.stdout) == (2, "")
    assert said in told.stderr
    assert told.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_owners_papers_of_an_altered_seal_are_refused_and_the_report_says_so(kilnlog, sample, tmp_path):
    alter_seals(sample)
    for command in ("record", "workbook"):
        told = kilnlog(command, sample, CLOSED, "--to", tmp_path / "out")
        assert (told.exit_code, told.stdout) == (2, "")
        assert f"charge {CLOSED} is not verified" in told.stderr
        assert not (tmp_path / "out").exists()
    told = kilnlog("report", sample, CLOSED, "--to", tmp_path / "out.pdf")
    # Without the name ``days`` the text is no longer what a paper can be drawn from.
    assert told.exit_code == 2
    assert "is not verified" in told.stderr


def test_the_report_of_an_altered_figure_says_not_verified(kilnlog, sample, tmp_path):
    with unruled(sample) as other:
        other.execute("UPDATE closing SET sealed_text = replace(sealed_text, 'North shed', 'North Shed')")
    told = kilnlog("report", sample, CLOSED, "--to", tmp_path / "out.pdf")
    assert told.exit_code == 0, told.output
    assert "NOT VERIFIED" in told.output
    assert SHORT.findall(told.output) == []
    assert "NOT VERIFIED" in text_of(tmp_path / "out.pdf")
