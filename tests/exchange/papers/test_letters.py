"""Names in any letters: printed right where a face has them, a box and a report where none has."""

from __future__ import annotations

import unicodedata

import pytest

from kilnlog.exchange.papers.fonts import BOX, SANS, SERIF, SERIF_ITALIC, load_fonts, plain, runs, text_width
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import BODY, wrapped
from kilnlog.exchange.papers.quality_record import quality_record
from kilnlog.reference.resources import resource
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import reader_of, text_of

NAMES = [
    "Żółć i Święty Gąsior",
    "Ørsted Æblehøj Trælast",
    "Ağaç İşleri Şirketi",
    "Đặng Thị Gỗ",
    "Čišćenje Șț Ľubica",
    "Столярня Їжак",
    "Ξυλουργός Ώμος",
    "½ Mill № 7 → “Ash’s”",
]


def owned_by(name: str) -> str:
    contents = {**samples.charge(), "lots": [samples.lot("A", name)]}
    return text_of(quality_record(contents, PaperOptions(), owner=name).pdf)  # type: ignore[arg-type]  # Contents still


@pytest.mark.parametrize("name", NAMES)
def test_letters_outside_latin_1_are_read_back_as_written(name: str) -> None:
    contents = {**samples.charge(), "lots": [samples.lot("A", name)]}
    paper = quality_record(contents, PaperOptions(), owner=name)  # type: ignore[arg-type]  # Contents still
    assert f"for {name}" in text_of(paper.pdf)
    assert paper.replaced == paper.unjoined == ()
    assert str(reader_of(paper.pdf).metadata["/Title"]).endswith(f"for {name}")  # type: ignore[index]  # it has some


def test_letters_apart_from_their_accents_are_put_together() -> None:
    apart = unicodedata.normalize("NFD", "Żółć Śląska")
    assert "for Żółć Śląska" in owned_by(apart)


def test_a_letter_no_face_has_is_a_box_and_is_reported() -> None:
    contents = {**samples.charge(), "lots": [samples.lot("A", "中木 Timber")]}
    paper = quality_record(contents, PaperOptions(), owner="中木 Timber")  # type: ignore[arg-type]  # Contents still
    text = text_of(paper.pdf)
    assert paper.replaced == ("中", "木")
    assert f"for {BOX}{BOX} Timber" in text
    assert "stands for a letter that the faces of this paper lack: U+4E2D, U+6728" in text


def test_a_sign_that_no_eye_sees_is_a_box_too() -> None:
    contents = {**samples.charge(), "lots": [samples.lot("A", "Bell\x07 & Co\U0001f332")]}
    paper = quality_record(contents, PaperOptions(), owner="Bell\x07 & Co\U0001f332")  # type: ignore[arg-type]
    assert paper.replaced == ("\x07", "\U0001f332")
    assert f"Bell{BOX} & Co{BOX}" in text_of(paper.pdf)


def test_hebrew_stands_from_right_to_left_and_arabic_says_that_it_is_not_joined() -> None:
    name = "נגריית אלון"
    seen = "".join(piece for _, piece in runs(name, SANS))
    assert seen == name[::-1]
    contents = {**samples.charge(), "lots": [samples.lot("A", "نجار")]}
    paper = quality_record(contents, PaperOptions(), owner="نجار")  # type: ignore[arg-type]  # Contents still
    assert set(paper.unjoined) == set("نجار")
    assert "Arabic letters are printed one by one" in text_of(paper.pdf)


def test_each_letter_comes_from_a_face_that_has_it() -> None:
    letters = load_fonts()
    for face in (SANS, SERIF, SERIF_ITALIC):
        for name, piece in runs("Aß−½Ω▯◇ע中", face):
            assert all(ord(sign) in letters[name] for sign in piece)


def test_all_marks_of_our_own_wording_are_in_the_first_face() -> None:
    for face in load_fonts():
        assert {ord(sign) for sign in "–−±°³%’“”…½"} <= load_fonts()[face]


def test_only_our_faces_are_in_the_file_and_all_are_embedded() -> None:
    paper = quality_record(samples.charge(), PaperOptions(), owner=samples.FINCH)
    for page in reader_of(paper.pdf).pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]  # a page has them
            one = font.get_object()
            assert "Source" in one["/BaseFont"] or "DejaVu" in one["/BaseFont"]
            assert "/FontFile2" in one["/FontDescriptor"]


def test_the_licences_travel_with_the_faces() -> None:
    assert "Bitstream" in resource("fonts", "dejavu-LICENSE.txt").read_text(encoding="utf-8")
    assert "Arev" in resource("fonts", "dejavu-LICENSE.txt").read_text(encoding="utf-8")
    source = resource("fonts", "source-sans-3-LICENSE.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE" in source


@pytest.mark.parametrize("owner", ["Lang " * 40, "X" * 300, "Zimmerei-" * 30])
def test_long_names_take_lines_and_lose_no_letter(owner: str) -> None:
    contents = {**samples.charge(), "lots": [samples.lot("A", owner.strip())]}
    contents["mill"] = {"name": "Y" * 90, "place": "Q" * 120}
    paper = quality_record(contents, PaperOptions(), lot="A")  # type: ignore[arg-type]  # Contents still
    text = text_of(paper.pdf)
    squeezed = text.replace(" ", "")
    assert owner.strip().replace(" ", "") in squeezed
    assert "Y" * 90 in squeezed
    assert "Q" * 120 in squeezed


def test_wrapped_lines_fit_and_hold_every_word() -> None:
    text = "Moisture stays near 7 % indoors; " * 9 + "W" * 200
    lines = wrapped(text, BODY, 180)
    assert all(text_width(line, BODY.face, BODY.size) <= 180 for line in lines)
    assert "".join(lines).replace(" ", "").replace("\u00a0", "") == text.replace(" ", "")
    assert not any(line.startswith("%") for line in lines)  # a figure keeps its sign


def test_blanks_and_line_ends_become_blanks() -> None:
    assert plain("a\nb\tc\u200bd") == "a b cd"
