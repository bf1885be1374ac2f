"""Seals listed, found by what is printed on a page, and not believed where they are not as written."""

from __future__ import annotations

import json

import pytest

from kilnlog.logbook.closing import close_charge, close_lot, reopen
from kilnlog.logbook.errors import NoSuchSeal, SealNotVerified, SealOfEarlierForm, UnreadableShortForm
from kilnlog.logbook.seal_words import seal_line, unfit_line
from kilnlog.logbook.sealing import canonical
from kilnlog.logbook.seals import all_seals, checked_contents, find_seal, seals_of
from kilnlog.reference.tables import load
from tests.seal.finished import CLOSED, LATER, a_book, finish, opened
from tests.seal.tampering import rebuilt
from tests.store.mill import unruled


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Lot A closed by itself, the charge closed, reopened and closed again; the short forms in order."""
    path = tmp_path_factory.mktemp("seals") / "mill.kilnlog"
    with a_book(path) as book:
        done = finish(book)
        close_lot(book, done.charge, done.lots["A"], CLOSED, "fetched", load())
        close_charge(book, done.charge, CLOSED, None, load())
        reopen(book, done.charge, None, "misread", LATER)
        close_charge(book, done.charge, LATER, None, load())
        return path.read_bytes(), [seal.short_form for seal in all_seals(book)]


@pytest.fixture
def shorts(made):
    return made[1]


@pytest.fixture
def path(made, tmp_path):
    copy = tmp_path / "mill.kilnlog"
    copy.write_bytes(made[0])
    return copy


def test_every_seal_is_listed_with_what_it_is_of(path, shorts):
    with opened(path) as book:
        seals = list(all_seals(book))
    assert [(one.charge, one.lot, one.version, one.in_force, one.fits) for one in seals] == [
        ("2026-12", "A", 1, True, True),
        ("2026-12", None, 1, False, True),
        ("2026-12", None, 2, True, True),
    ]
    assert len(set(shorts)) == 3


@pytest.mark.parametrize("typed", [str, str.lower, lambda text: text.replace("-", " – "), "  {} ".format])
def test_a_seal_is_found_however_its_short_form_is_typed(path, shorts, typed):
    with opened(path) as book:
        assert [find_seal(book, typed(short)).short_form for short in shorts] == shorts


def test_what_is_none_or_not_here_is_told_apart(path, shorts):
    other = shorts[0][:-1] + ("2" if shorts[0][-1] != "2" else "3")
    with opened(path) as book:
        for typed in ("", "7QD4-M2XH", "7QD4-M2XH-9KT1", "7QD4-M2XH-9KTBB"):
            with pytest.raises(UnreadableShortForm):
                find_seal(book, typed)
        with pytest.raises(NoSuchSeal):
            find_seal(book, other)


def test_a_seal_is_told_in_a_line(path, shorts):
    with opened(path) as book:
        lot, first, second = all_seals(book)
    assert seal_line(lot).startswith(f"Seal {shorts[0]} is lot A of charge 2026-12, version 1, sealed as of ")
    assert seal_line(first).endswith(f"reopened since and sealed again: the newest seal is {shorts[2]}.")
    assert "reopened" not in seal_line(second)
    assert [checked_contents(one)["seal"]["replaces"] for one in (lot, first, second)] == [
        None,
        None,
        shorts[1],
    ]
    assert "another logbook" not in seal_line(second)
    assert unfit_line(lot) == (
        "The seal of lot A of charge 2026-12, version 1, is not verified: it is not as it was written."
    )


def altered(text, **charge):
    contents = json.loads(text)
    contents["charge"] |= charge
    return canonical(contents)


def test_a_seal_that_was_only_reopened_names_no_other(path, shorts):
    with opened(path) as book:
        done = next(seal for seal in all_seals(book) if seal.short_form == shorts[2])
        reopen(book, done.entry.fact.charge, None, "misread again", LATER)
        assert seal_line(find_seal(book, shorts[2])).endswith("It was reopened since.")


@pytest.mark.parametrize(
    "alter",
    [
        lambda text: altered(text, kiln="Palace kiln"),
        lambda text: text[:-1],
        lambda text: text.replace(":7.0", ":7.1", 1),
        lambda text: text + " ",
        lambda text: "[]",
        lambda text: '{"form":2}',
        lambda text: '{"form":2,"ledger":NaN}',
        lambda text: "",
    ],
    ids=["a name", "cut off", "a digit", "a blank", "a list", "emptied", "no number", "nothing"],
)
def test_an_altered_text_is_not_verified_and_the_others_are(path, shorts, alter):
    with unruled(path) as other:
        ((uid, text),) = other.execute(
            "SELECT uid, sealed_text FROM closing WHERE lot IS NULL AND supersedes IS NULL"
        )
        other.execute("UPDATE closing SET sealed_text = ? WHERE uid = ?", (alter(text), uid))
    with opened(path) as book:
        seals = list(all_seals(book))
        assert [seal.fits for seal in seals] == [True, False, True]
        with pytest.raises(SealNotVerified) as refused:
            checked_contents(seals[1])
        assert refused.value.values["charge"] == "2026-12"
        with pytest.raises(NoSuchSeal):
            find_seal(book, shorts[1])
        assert [misfit.why for misfit in book.file.verify()] == ["row-changed"]


@pytest.mark.parametrize("text", ["[]", "not json", '{"form":2}', '{"ledger":3,"form":2}', '{"b":1,"a":2}'])
def test_a_text_put_in_its_place_with_all_hashes_made_to_fit_is_no_seal_in_its_form(path, text):
    with rebuilt(path) as other:
        other.execute("UPDATE closing SET sealed_text = ? WHERE lot IS NULL AND supersedes IS NULL", (text,))
    with opened(path) as book:
        assert book.file.verify() == ()  # from inside the file nothing can be seen
        seal = seals_of(book, book.file.charge_record(book.file.charges()[0].entity))[1]
        assert not seal.fits
        with pytest.raises(SealNotVerified):
            checked_contents(seal)


def test_a_closing_whose_place_in_the_ledger_was_moved_is_not_verified(path):
    with unruled(path) as other:
        other.execute("UPDATE closing SET ledger_number = ledger_number - 1 WHERE lot IS NOT NULL")
    with opened(path) as book:
        assert [seal.fits for seal in all_seals(book)] == [False, True, True]


def test_a_closing_without_its_line_is_not_verified(path):
    with unruled(path) as other:
        other.execute("DELETE FROM ledger WHERE uid = (SELECT uid FROM closing WHERE lot IS NOT NULL)")
    with opened(path) as book:
        assert [seal.fits for seal in all_seals(book)] == [False, True, True]


def test_a_seal_of_an_earlier_form_is_verified_but_no_paper_is_drawn_from_it(path):
    with rebuilt(path) as other:
        other.execute("UPDATE closing SET sealed_text = ? WHERE lot IS NOT NULL", ('{"charge":"2026-12"}',))
    with opened(path) as book:
        seal = next(iter(all_seals(book)))
        assert seal.fits
        with pytest.raises(SealOfEarlierForm):
            checked_contents(seal)
