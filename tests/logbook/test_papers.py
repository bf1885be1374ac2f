"""Papers as files: of a closed charge from the sealed text alone, never from one altered since."""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import replace

import pytest

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.logbook import papers
from kilnlog.logbook.closing import add_later_note, close_charge, close_lot, reopen
from kilnlog.logbook.errors import (
    NoSuchLot,
    NoSuchSeal,
    NothingToWeigh,
    SealNotVerified,
    SealOfEarlierForm,
)
from kilnlog.logbook.paper_settings import set_mill
from kilnlog.logbook.papers import Paper, write_paper
from kilnlog.logbook.sealing import canonical
from kilnlog.logbook.seals import seals_of
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import correct, write
from kilnlog.records.charge import Charge
from kilnlog.records.lot import Lot
from kilnlog.reference.tables import load
from tests.exchange.papers.reading_back import pages_text, text_of
from tests.seal.finished import CLOSED, FINCH, LATER, LOADED, ROWAN, a_book, finish, opened
from tests.seal.tampering import rebuilt
from tests.store.mill import unruled

PLAIN = PaperOptions()
FROM_A_SEAL = (Paper.QUALITY_RECORD, Paper.CHARGE_REPORT, Paper.CUSTOMER_WORKBOOK)
FOR_OWNERS = (Paper.QUALITY_RECORD, Paper.CUSTOMER_WORKBOOK)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    path = tmp_path_factory.mktemp("papers") / "mill.kilnlog"
    with a_book(path) as book:
        set_mill(book, "Quillbeck Mill", "drying shed")
        done = finish(book)
        close_charge(book, done.charge, CLOSED, None, load())
    return path.read_bytes(), done


@pytest.fixture
def done(made):
    return made[1]


@pytest.fixture
def closed(made, tmp_path):
    """The file of the closed charge."""
    copy = tmp_path / "mill.kilnlog"
    copy.write_bytes(made[0])
    return copy


def written(book, paper, charge, folder, **asked):
    to = folder / papers.file_name(paper, "2026-12")
    told = write_paper(book, paper, charge, to, **{"options": PLAIN} | asked)
    assert told.path == to
    return to.read_bytes(), told


def text(pdf_or_book):
    if pdf_or_book.startswith(b"%PDF"):
        return text_of(pdf_or_book)
    return unpacked(pdf_or_book).decode()


def unpacked(workbook):
    with zipfile.ZipFile(io.BytesIO(workbook)) as parts:
        return b"\n".join(parts.read(name) for name in parts.namelist())


@pytest.mark.parametrize("paper", FROM_A_SEAL)
def test_a_paper_of_a_closed_charge_comes_from_the_sealed_text_alone(
    closed, done, tmp_path, monkeypatch, paper
):
    with opened(closed) as book:
        before, told = written(book, paper, done.charge, tmp_path)
        [seal] = seals_of(book, book.file.charge_record(done.charge))
        assert told.short_form == seal.short_form
        assert seal.short_form in text(before)
        later_program(monkeypatch)
        after, _ = written(book, paper, done.charge, tmp_path)
    assert after == before  # to the byte


def later_program(monkeypatch):
    """A later version that works everything out otherwise: nothing may be asked of it."""

    def never(*args, **kwargs):
        raise AssertionError("worked out anew")

    for place in (
        "kilnlog.drying.assessment.assess",
        "kilnlog.logbook.paper_told.assess",
        "kilnlog.logbook.paper_contents.contents_of",
        "kilnlog.logbook.paper_told.told_at",
        "kilnlog.logbook.paper_lots.final_moisture",
        "kilnlog.logbook.paper_lots.tally_of",
        "kilnlog.logbook.paper_lots.stress_of",
    ):
        monkeypatch.setattr(place, never)


def test_the_guard_above_stops_what_does_work_it_out(closed, done, tmp_path, monkeypatch):
    with opened(closed) as book:
        reopen(book, done.charge, None, "misread", LATER)
        later_program(monkeypatch)
        with pytest.raises(AssertionError, match="worked out anew"):
            written(book, Paper.QUALITY_RECORD, done.charge, tmp_path)


@pytest.mark.parametrize("paper", FROM_A_SEAL)
def test_a_paper_of_an_open_charge_says_that_it_is_not_sealed(closed, done, tmp_path, paper):
    with opened(closed) as book:
        reopen(book, done.charge, None, "misread", LATER)
        paper_written, told = written(book, paper, done.charge, tmp_path)
    assert told.short_form is None
    assert "Not sealed: the charge is open" in text(paper_written)


@pytest.mark.parametrize("paper", FROM_A_SEAL)
def test_version_1_is_printed_as_it_was_issued_after_version_2_is(closed, done, tmp_path, paper):
    with opened(closed) as book:
        issued, told = written(book, paper, done.charge, tmp_path)
        reopen(book, done.charge, None, "misread", LATER)
        record = book.file.charge_record(done.charge)
        lot = next(line for line in record.lot if line.entity == done.lots["A"]).newest
        correct(book, "lot", lot.entity, replace(lot.fact, species="white oak"), "wrong wood", LOADED)
        again, _ = written(book, paper, done.charge, tmp_path, short_form=told.short_form)
        assert again == issued  # reopened, and not yet closed again
        close_charge(book, done.charge, LATER, None, load())
        second, of_second = written(book, paper, done.charge, tmp_path)
        again, told_again = written(book, paper, done.charge, tmp_path, short_form=told.short_form.lower())
        assert again == issued
        assert told_again.short_form == told.short_form != of_second.short_form
        assert "white oak" in text(second)
        assert "Sealed version 2" in text(second)
        assert "white oak" not in text(issued)
        with pytest.raises(NoSuchSeal):
            written(book, paper, done.charge, tmp_path, short_form="7QD4-M2XH-9KTB")


def test_a_seal_of_another_charge_is_none_of_this_one(closed, done, tmp_path):
    with opened(closed) as book:
        other = finish_another(book)
        short = seals_of(book, book.file.charge_record(done.charge))[0].short_form
        with pytest.raises(NoSuchSeal):
            written(book, Paper.QUALITY_RECORD, other, tmp_path, short_form=short)


def finish_another(book):
    charge = write(book, Charge("2026-13", book.zone, None, LOADED), LOADED).entries[0].entity
    write(book, Lot(charge, "A", ROWAN), LOADED)
    return charge


def test_a_lot_that_left_early_is_printed_from_its_own_seal(book, tmp_path, monkeypatch):
    done = finish(book)
    close_lot(book, done.charge, done.lots["A"], CLOSED, None, load())
    [seal] = seals_of(book, book.file.charge_record(done.charge))
    _, of_b = written(book, Paper.QUALITY_RECORD, done.charge, tmp_path, lot="B")
    assert of_b.short_form is None
    later_program(monkeypatch)
    for asked in ({"lot": "A"}, {"owner": ROWAN}):
        pdf, told = written(book, Paper.QUALITY_RECORD, done.charge, tmp_path, **asked)
        assert told.short_form == seal.short_form
        assert seal.short_form in text(pdf)
        assert "degaard" not in text(pdf)


def test_who_or_what_is_not_of_the_charge_is_told(closed, done, tmp_path):
    with opened(closed) as book:
        with pytest.raises(NoSuchLot) as refused:
            written(book, Paper.QUALITY_RECORD, done.charge, tmp_path, lot="Z")
        assert refused.value.values["known"] == ("A", "B")
        with pytest.raises(UnknownOwner):
            written(book, Paper.CUSTOMER_WORKBOOK, done.charge, tmp_path, owner="Nobody")
    assert [file.name for file in tmp_path.iterdir() if file.suffix in (".pdf", ".xlsx")] == []


def alter_text(path, alter, *, consistently=False):
    with (rebuilt if consistently else unruled)(path) as other:
        ((old,),) = other.execute("SELECT sealed_text FROM closing")
        other.execute("UPDATE closing SET sealed_text = ?", (alter(old),))


def drier(old):
    contents = json.loads(old)
    for lot in contents["lots"]:
        for series in lot["final"]:
            series["whole"]["mean_pct"] = 5.4321
    contents["charge"]["kiln"] = "Palace kiln"
    return canonical(contents)


@pytest.mark.parametrize("paper", FOR_OWNERS)
@pytest.mark.parametrize("asked", [{}, {"owner": ROWAN}, {"lot": "B"}])
def test_no_paper_for_owners_comes_of_an_altered_seal(closed, done, tmp_path, paper, asked):
    alter_text(closed, drier)
    to = tmp_path / "theirs"
    to.write_bytes(b"an older one")
    with opened(closed) as book:
        with pytest.raises(SealNotVerified) as refused:
            write_paper(book, paper, done.charge, to, options=PLAIN, **asked)
        sentence = worded(refused.value).text
    assert "charge 2026-12 is not verified" in sentence
    assert to.read_bytes() == b"an older one"
    assert {file.name for file in tmp_path.iterdir()} == {"mill.kilnlog", "theirs"}


def test_the_mills_own_report_is_written_from_it_and_says_not_verified_on_every_page(closed, done, tmp_path):
    alter_text(closed, drier)
    with opened(closed) as book:
        pdf, told = written(book, Paper.CHARGE_REPORT, done.charge, tmp_path)
    assert (told.not_verified, told.short_form) == (True, None)
    assert "Palace kiln" in text(pdf)  # what stands there is shown, and not worked out anew
    pages = pages_text(pdf)
    assert len(pages) >= 1
    assert all("NOT VERIFIED" in page for page in pages)
    assert "Short form" not in text(pdf)


@pytest.mark.parametrize(
    "alter",
    [
        lambda old: old[:400],
        lambda old: "",
        lambda old: "[1]",
        lambda old: '{"form":2}',
        lambda old: canonical(json.loads(old) | {"lots": 3}),
        lambda old: canonical(json.loads(old) | {"charge": {}}),
        lambda old: canonical(json.loads(old) | {"boards": [{"points": [["x", None]]}]}),
        lambda old: old.replace('"form":2', '"form":9'),
    ],
    ids=["cut off", "empty", "a list", "hollow", "no lots", "no charge", "points of nothing", "other form"],
)
def test_a_text_altered_beyond_drawing_is_a_sentence_and_no_file(closed, done, tmp_path, alter):
    alter_text(closed, alter)
    with opened(closed) as book:
        for paper in FROM_A_SEAL:
            with pytest.raises(SealNotVerified):
                written(book, paper, done.charge, tmp_path)
    assert {file.name for file in tmp_path.iterdir()} == {"mill.kilnlog"}


def test_a_text_altered_with_the_whole_ledger_made_to_fit_has_another_short_form(closed, done, tmp_path):
    """Inside the file nothing shows; the page handed out before does not match."""
    with opened(closed) as book:
        _, issued = written(book, Paper.QUALITY_RECORD, done.charge, tmp_path)
    alter_text(closed, drier, consistently=True)  # the seal is the last row: the head before it stays
    with opened(closed) as book:
        assert book.file.verify() == ()
        _, told = written(book, Paper.QUALITY_RECORD, done.charge, tmp_path)
        assert told.short_form != issued.short_form
        with pytest.raises(NoSuchSeal):
            written(book, Paper.QUALITY_RECORD, done.charge, tmp_path, short_form=issued.short_form)


def test_a_seal_of_an_earlier_form_is_told_as_such(closed, done, tmp_path):
    alter_text(closed, lambda old: '{"charge":"2026-12"}', consistently=True)
    with opened(closed) as book, pytest.raises(SealOfEarlierForm):
        written(book, Paper.CHARGE_REPORT, done.charge, tmp_path)


def test_a_report_tells_the_later_notes_and_the_owners_paper_does_not(closed, done, tmp_path):
    with opened(closed) as book:
        before, _ = written(book, Paper.QUALITY_RECORD, done.charge, tmp_path, owner=ROWAN)
        add_later_note(book, done.charge, "one board cupped in the shop", at=LATER)
        report, _ = written(book, Paper.CHARGE_REPORT, done.charge, tmp_path)
        after, _ = written(book, Paper.QUALITY_RECORD, done.charge, tmp_path, owner=ROWAN)
    assert "one board cupped in the shop" in text(report)
    assert after == before


def test_labels_are_of_today_whatever_was_sealed_and_a_closed_charge_has_no_weigh_sheet(
    closed, done, tmp_path
):
    with opened(closed) as book:
        pdf, told = written(book, Paper.BOARD_LABELS, done.charge, tmp_path)
        assert told.short_form is None
        assert "2026-12" in text(pdf)
        with pytest.raises(NothingToWeigh):
            write_paper(book, Paper.WEIGH_SHEET, done.charge, tmp_path / "sheet.pdf")
    assert not (tmp_path / "sheet.pdf").exists()


def test_each_owner_gets_their_own(closed, done, tmp_path):
    with opened(closed) as book:
        for owner, other in ((ROWAN, FINCH), (FINCH, ROWAN)):
            for paper in FOR_OWNERS:
                theirs = text(written(book, paper, done.charge, tmp_path, owner=owner)[0])
                assert owner.split()[0] in theirs
                assert other.split()[0] not in theirs
