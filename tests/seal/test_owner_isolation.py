"""What one owner gets tells of no other: not in text, metadata or hidden parts, nor by what is different.

From the logbook to the file: random charges written by the verbs, closed, and drawn from the seal.
"""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path
from xml.sax.saxutils import escape

import pytest

from kilnlog.exchange.papers.customer_workbook import customer_workbook
from kilnlog.exchange.papers.for_owner import for_owner
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.quality_record import quality_record
from kilnlog.records.owner_name import owner_key
from tests.exchange.papers.reading_back import decompressed
from tests.seal.finished import a_book
from tests.seal.owners import NAMES, random_plan

#: The same on both of a pair, so that all else can be compared to the byte.
OPTIONS = PaperOptions(short_form="7QD4-M2XH-9KTB", piece_by_piece=True)
SEEDS = range(25, 30)


def contents_of(plan, folder, only=None):
    with a_book(folder / "mill.kilnlog") as book:
        return plan.contents(book, only)


def workbook(contents, folder, owner):
    to = Path(folder) / "theirs.xlsx"
    customer_workbook(contents, to, OPTIONS, owner=owner)
    return to.read_bytes()


def unzipped(book):
    with zipfile.ZipFile(io.BytesIO(book)) as parts:
        names = parts.namelist()
        comments = [parts.comment, *(part.comment + part.extra for part in parts.infolist())]
        return b"\n".join([book, *(name.encode() for name in names), *map(parts.read, names), *comments])


def words(name):
    return {word for word in re.findall(r"\w+", name) if len(word) > 3 or not word.isascii()}


def traces(name, own):
    """A name as it could stand in a file: whole, and each word of it that is not the owner's too."""
    texts = {name, name.upper(), escape(name)} | {word for word in words(name) if word not in words(own)}
    return [text.encode(code) for text in texts for code in ("utf-8", "utf-16-be", "utf-16-le")]


def named_owners(plan):
    return sorted({owner for owner in plan.owners if owner})


def test_the_search_finds_a_name_that_is_there(tmp_path):
    plan = random_plan(1, remarks=True)
    contents = contents_of(plan, tmp_path)
    for owner in named_owners(plan):
        papers = (
            decompressed(quality_record(contents, OPTIONS, owner=owner).pdf),
            unzipped(workbook(contents, tmp_path, owner)),
        )
        for inside in papers:
            assert any(trace in inside for trace in traces(owner, ""))
    # And the seal itself, of which each owner sees a part, tells of all.
    assert all(owner in repr(contents) or owner.split()[0] in repr(contents) for owner in named_owners(plan))


@pytest.mark.parametrize("seed", SEEDS)
def test_no_other_owner_stands_anywhere_in_what_one_gets(tmp_path, seed):
    plan = random_plan(seed, remarks=True)
    contents = contents_of(plan, tmp_path)
    for owner in named_owners(plan):
        pdf = decompressed(quality_record(contents, OPTIONS, owner=owner).pdf)
        book = unzipped(workbook(contents, tmp_path, owner))
        for other in named_owners(plan):
            if owner_key(other) != owner_key(owner):
                found = [trace for trace in traces(other, owner) if trace in pdf or trace in book]
                assert found == []


@pytest.mark.parametrize("seed", SEEDS)
def test_without_the_others_nothing_of_it_differs_but_the_seal(tmp_path, seed):
    plan = random_plan(seed, remarks=False)
    contents = contents_of(plan, tmp_path)
    for number, owner in enumerate(named_owners(plan)):
        (tmp_path / str(number)).mkdir()
        alone = contents_of(plan, tmp_path / str(number), only=owner)
        assert len(alone["lots"]) < len(contents["lots"])
        seen, seen_alone = for_owner(contents, owner), for_owner(alone, owner)
        assert {**seen, "ledger": None} == {**seen_alone, "ledger": None}
        assert (
            quality_record(contents, OPTIONS, owner=owner).pdf
            == quality_record(alone, OPTIONS, owner=owner).pdf
        )
        assert workbook(contents, tmp_path, owner) == workbook(alone, tmp_path, owner)


def test_the_random_charges_are_of_all_names():
    plans = [random_plan(seed, remarks=False) for seed in SEEDS]
    owners = [set(plan.owners) for plan in plans]
    assert set().union(*owners) == {*NAMES, None}
    assert max(map(len, owners)) > 3
