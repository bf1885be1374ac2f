"""An owner's paper tells of nobody else: not in text, not in metadata, not anywhere in the file."""

from __future__ import annotations

from copy import deepcopy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.papers.charge_report import charge_report
from kilnlog.exchange.papers.contents import Contents
from kilnlog.exchange.papers.for_owner import for_lot, for_owner, owners_of
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.quality_record import quality_record
from kilnlog.records.owner_name import owner_key
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import decompressed, reader_of, text_of

SEALED = PaperOptions(short_form=samples.SHORT_FORM)

#: Names that no word of a paper holds.
NAMES = ("Rowan Joinery", "Ødegaard & Finch", "Zywiec Stolarnia", "Quixley Boatyard", "Ιωάννης Βράχος")


def telling(name: str) -> list[bytes]:
    """The name, and each of its words long enough to tell whose it is."""
    return [text.encode() for text in (name, *name.split()) if len(text) > 4]


def test_no_other_owner_stands_anywhere_in_the_file() -> None:
    for owner, other in ((samples.ROWAN, samples.FINCH), (samples.FINCH, samples.ROWAN)):
        inside = decompressed(quality_record(samples.charge(), SEALED, owner=owner).pdf)
        assert owner.encode() in inside  # the search finds what is there
        for part in telling(other):
            assert part not in inside


def test_without_the_others_the_page_is_the_same_to_the_byte() -> None:
    for owner, other in ((samples.ROWAN, samples.FINCH), (samples.FINCH, samples.ROWAN)):
        alone = samples.without(samples.charge(), other)
        together = quality_record(samples.charge(), SEALED, owner=owner)
        assert quality_record(alone, SEALED, owner=owner).pdf == together.pdf


def test_the_file_hides_nothing() -> None:
    reader = reader_of(quality_record(samples.charge(), SEALED, owner=samples.ROWAN).pdf)
    catalog = reader.trailer["/Root"]
    assert set(catalog) <= {
        "/Type",
        "/Pages",
        "/PageMode",
        "/Lang",
        "/ViewerPreferences",
        "/Outlines",
        "/PageLabels",
    }
    assert list(reader.attachments) == []
    assert reader.outline == []
    assert reader.xmp_metadata is None
    assert all("/Annots" not in page for page in reader.pages)


def test_remarks_that_name_others_are_left_out_wherever_they_stand() -> None:
    contents = samples.charge()
    finch = samples.FINCH
    lot = contents["lots"][0]
    lot["answers"][0]["note"] = f"{finch} needed the oven"
    lot["defects"][0]["note"] = "as in Ødegaard's boards"
    lot["storage"] = f"beside the stack of {finch}"
    lot["final"][0]["readings"][3]["note"] = f"like {finch}"
    lot["final"][0]["how"] = f"by the meter of {finch}"
    contents["charge"]["kiln"] = f"{finch} kiln"
    assert contents["heat"] is not None
    assert contents["seal"] is not None
    contents["heat"]["probes"] = [f"core of {finch}'s board", "core of board 2"]
    contents["heat"]["remarks"] = [f"{finch} opened the door"]
    contents["heat"]["breaks"] = [f"{finch} 1 below the threshold"]
    contents["heat"]["limits_from"] = f"order of {finch}"
    contents["seal"]["sealed_by"] = "Lars Ødegaard"
    contents["seal"]["reopened_because"] = f"{finch} asked"
    contents["instruments"][1]["instrument"] = f"scale of {finch}"
    contents["instruments"][0]["check_result"] = f"against {finch}'s"
    seen = for_owner(contents, samples.ROWAN)
    assert "degaard" not in repr(seen)
    assert "Finch" not in repr(seen)
    inside = decompressed(
        quality_record(contents, PaperOptions(piece_by_piece=True), owner=samples.ROWAN).pdf
    )
    for part in telling(finch):
        assert part not in inside
    assert "core of board 2" in repr(seen)  # what tells of nobody stays


def test_only_their_lots_boards_and_meters_stay() -> None:
    contents = samples.charge()
    contents["instruments"].append(
        {"instrument": "M9", "kind": "meter", "division": None, "checked_at": None, "check_result": None}
    )
    seen = for_owner(contents, samples.ROWAN)
    assert [lot["lot"] for lot in seen["lots"]] == ["A"]
    assert [board["board"] for board in seen["boards"]] == ["1", "2", "3", "4"]
    assert [part["instrument"] for part in seen["instruments"]] == ["M2", "bench"]
    for part in ("control", "events", "findings", "decisions", "steps"):
        assert seen[part] == []  # type: ignore[literal-required]  # one of the names of Contents
    assert seen["status"] == {}
    assert seen["charge"]["notes"] is None


def test_what_was_handed_over_is_left_as_it_was() -> None:
    contents = samples.charge()
    before = deepcopy(contents)
    for_owner(contents, samples.ROWAN)
    for_lot(contents, "B")
    assert contents == before


@pytest.mark.parametrize("written", ["rowan joinery", "  ROWAN   Joinery ", "Ｒｏｗａｎ Joinery"])
def test_names_compare_as_owners_do(written: str) -> None:
    assert [lot["lot"] for lot in for_owner(samples.charge(), written)["lots"]] == ["A"]


def test_lots_without_an_owner_are_nobody_elses() -> None:
    contents = samples.charge()
    contents["lots"].append(samples.lot("M", None))
    assert [lot["lot"] for lot in for_owner(contents, None)["lots"]] == ["M"]
    with pytest.raises(UnknownOwner):
        for_owner(samples.charge(), "")


@st.composite
def charges(draw: st.DrawFn) -> Contents:
    """Several owners, some with more than one lot, each lot with boards and readings of its own."""
    contents = samples.charge()
    owners = draw(st.lists(st.sampled_from(NAMES), min_size=2, max_size=5))
    contents["lots"], contents["boards"] = [], []
    for number, owner in enumerate(owners):
        label = f"L{number}"
        asked = samples.limits()
        values = draw(st.lists(st.floats(4, 20), max_size=12))
        readings = [samples.reading(value, draw(st.sampled_from(["1", "2", None]))) for value in values]
        note = draw(st.sampled_from([None, *(f"as with {name}" for name in NAMES)]))
        contents["lots"].append(
            samples.lot(
                label,
                owner,
                limits=asked,
                final=[samples.series(readings, asked)] if readings else [],
                answers=[{"step": "stress", "answer": "left out", "note": note}],
            )
        )
        contents["boards"] += [samples.board(f"{label}-{one}", label, 30, 7) for one in range(number % 3)]
    contents["charge"]["notes"] = " ".join(owners)
    contents["events"] = [{"at": contents["steps"][0]["taken_at"], "what": "door", "note": owners[0]}]
    contents["answers"] = [{"step": "heat", "answer": "left out", "note": owners[-1]}]
    return contents


@settings(max_examples=20, deadline=None)
@given(charges())
def test_random_charges_of_several_owners(contents: Contents) -> None:
    owners = owners_of(contents)
    for owner in owners:
        pdf = quality_record(contents, SEALED, owner=owner).pdf
        inside = decompressed(pdf)
        for other in owners:
            if owner_key(other) != owner_key(owner):
                assert not any(part in inside for part in telling(other))


@settings(max_examples=10, deadline=None)
@given(charges())
def test_random_charges_without_the_others(contents: Contents) -> None:
    """Remarks that name others differ by design: they are left out only while the others are there."""
    for lot in contents["lots"]:
        lot["answers"] = []
    for owner in owners_of(contents):
        alone = contents
        for other in owners_of(contents):
            if owner_key(other) != owner_key(owner):
                alone = samples.without(alone, other)
        assert (
            quality_record(alone, SEALED, owner=owner).pdf
            == quality_record(contents, SEALED, owner=owner).pdf
        )


def test_what_was_left_out_for_the_whole_charge_is_told_without_its_reason() -> None:
    """The reason may be about anybody's lumber; that nobody looked is not to read as if nobody knew."""
    contents = samples.charge()
    contents["lots"][0]["answers"] = []
    contents["heat"] = None
    contents["answers"] = [
        {"step": step, "answer": "left out", "note": f"{step}: the saw was down"}
        for step in ("stress", "heat")
    ]
    seen = for_owner(contents, samples.ROWAN)
    assert [(one["step"], one["answer"], one["note"]) for one in seen["answers"]] == [
        ("stress", "left out", None),
        ("heat", "left out", None),
    ]
    text = text_of(quality_record(contents, SEALED, owner=samples.ROWAN).pdf)
    assert "Stress left out" in text
    assert "Heat left out" in text
    assert "the saw was down" not in text
    assert "the saw was down" in text_of(charge_report(contents, SEALED).pdf)


def test_what_was_said_of_the_lot_goes_before_what_was_said_of_the_charge() -> None:
    contents = samples.charge()
    contents["answers"] = [{"step": "stress", "answer": "none found", "note": None}]
    text = text_of(quality_record(contents, SEALED, owner=samples.ROWAN).pdf)
    assert "Stress left out because: no oven free" in text
