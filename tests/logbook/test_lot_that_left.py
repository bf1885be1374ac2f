"""What a paper tells of a lot that left early ends when it left: later heat and weighings are not its own."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kilnlog.logbook.closing import close_charge, close_lot
from kilnlog.logbook.paper_contents import contents_of
from kilnlog.logbook.paper_told import told_at
from kilnlog.logbook.papers import Paper, write_paper
from kilnlog.logbook.writing import change
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.weighing import Weighing
from kilnlog.records.words import ProbePlace, ReadingKind, TemperatureUnit
from kilnlog.reference.tables import load
from tests.builders import weight
from tests.exchange.papers.reading_back import decompressed, text_of
from tests.seal.finished import CLOSED, LATER, OTHERS_METER, READ, ROWAN, a_book, finish, one

#: Lot A leaves here, before anything is heated.
LEFT = READ.plus_hours(1)


@pytest.fixture
def book(tmp_path):
    with a_book(tmp_path / "mill.kilnlog") as book:
        yield book


@pytest.fixture
def done(book):
    return finish(book)


def leaves(book, done, at=LEFT):
    record = book.file.charge_record(done.charge)
    lot = next(line for line in record.lot if line.entity == done.lots["A"]).newest
    change(book, "lot", done.lots["A"], replace(lot.fact, out_at=at), at)


def heated(book, done, begins, name="K1"):
    """A probe in the core at 60 C for an hour, every ten minutes."""
    for step in range(7):
        fact = ProbeReading(done.charge, name, ProbePlace.CORE, 60.0, TemperatureUnit.CELSIUS)
        one(book, fact, begins.plus_hours(step / 6))


def asks(book, done):
    one(book, HeatChoice(done.charge, 56.0, TemperatureUnit.CELSIUS, 30.0), CLOSED)


def told(book, done, at=LATER):
    return contents_of(told_at(book, book.file.charge_record(done.charge), load(), at))


def page(book, done, tmp_path, lot="A"):
    to = tmp_path / f"{lot}.pdf"
    written = write_paper(book, Paper.QUALITY_RECORD, done.charge, to, lot=lot)
    return " ".join(text_of(to.read_bytes()).split()), written


def test_heat_that_came_after_it_left_is_claimed_on_no_paper_of_it(book, done, tmp_path):
    leaves(book, done)
    heated(book, done, CLOSED)
    asks(book, done)
    of_a, of_b = told(book, done)["lots"]
    assert of_a["heat_until_out"]["reached"] is False
    assert of_a["heat_until_out"]["probes"] == []
    assert "heat_until_out" not in of_b
    assert "No probe was read before the lot left" in page(book, done, tmp_path)[0]
    assert "Every probe in the wood read 56 °C or above for 60 min" in page(book, done, tmp_path, "B")[0]


def test_heat_is_counted_to_the_last_reading_before_it_left(book, done, tmp_path):
    heated(book, done, READ)
    leaves(book, done, READ.plus_hours(0.6))  # 36 min: the reading at 30 min is the last before
    asks(book, done)
    heat = told(book, done)["lots"][0]["heat_until_out"]
    assert (heat["longest"]["minutes"], heat["reached"]) == (30.0, True)
    assert "60 °C" not in page(book, done, tmp_path)[0]
    assert "56 °C or above for 30 min" in page(book, done, tmp_path)[0]


def test_a_lot_closed_days_after_it_left_is_sealed_with_its_own_heat(book, done, tmp_path):
    leaves(book, done)
    heated(book, done, CLOSED)
    asks(book, done)
    close_lot(book, done.charge, done.lots["A"], LATER, None, load())
    assert "for 60 min" not in page(book, done, tmp_path)[0]


def test_its_curve_ends_when_it_left(book, done):
    leaves(book, done)
    one(book, Weighing(done.charge, done.boards["1"], weight("1050")), LATER)  # in a shed, drier since
    contents = told(book, done, LATER.plus_hours(1))
    [board] = [board for board in contents["boards"] if board["board"] == "1"]
    assert [round(mc_pct, 6) for _, mc_pct in board["points"]] == [80.0, 7.2]  # by hand: 1800, 1072 g of 1000
    assert board["mc_pct"] == pytest.approx(7.2, abs=1e-9)
    [boards] = [one for one in contents["lots"][0]["final"] if one["kind"] == "sample boards"]
    assert boards["whole"]["mean_pct"] == pytest.approx(7.2, abs=1e-9)


def test_its_paper_stays_as_it_was_issued_when_the_charge_is_closed(book, done, tmp_path):
    close_lot(book, done.charge, done.lots["A"], CLOSED, None, load())
    page(book, done, tmp_path)
    issued = (tmp_path / "A.pdf").read_bytes()
    heated(book, done, CLOSED.plus_hours(2))
    asks(book, done)
    close_charge(book, done.charge, LATER, None, load())
    _, written = page(book, done, tmp_path)
    assert (tmp_path / "A.pdf").read_bytes() == issued
    of_owner = write_paper(book, Paper.QUALITY_RECORD, done.charge, tmp_path / "r.pdf", owner=ROWAN)
    assert of_owner.short_form == written.short_form
    of_b = write_paper(book, Paper.QUALITY_RECORD, done.charge, tmp_path / "b.pdf", lot="B")
    assert of_b.short_form not in (None, written.short_form)


def test_its_seal_tells_of_no_other_owner_in_what_all_shared(book, done, tmp_path):
    """Sealed alone it does not know who else had lumber there: nobody could leave their names out later."""
    probe = "probe in Ødegaard's ash"
    for step in range(7):
        fact = ProbeReading(done.charge, probe, ProbePlace.CORE, 60.0, TemperatureUnit.CELSIUS)
        one(book, fact, READ.plus_hours(step / 6))
    asked = "order 12 of Finch"
    one(book, HeatChoice(done.charge, 56.0, TemperatureUnit.CELSIUS, 30.0, asked, "Agency", "7"), CLOSED)
    meter = done.meters[OTHERS_METER]
    one(
        book,
        FinalReading(done.charge, done.lots["A"], ReadingKind.PIN_METER, "1", "9", meter, reading_pct=7.1),
        READ,
    )
    closing = close_lot(book, done.charge, done.lots["A"], CLOSED, None, load()).entries[-1]
    text, _ = page(book, done, tmp_path)
    inside = decompressed((tmp_path / "A.pdf").read_bytes()).decode("latin-1")
    for told_in in (closing.fact.sealed_text, text, inside):
        for name in ("Finch", "degaard"):
            assert name not in told_in
    assert "Agency" in text  # what tells of nobody stays
