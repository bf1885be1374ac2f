"""Facts for a small charge, written by the verbs under test."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kilnlog.logbook.session import Logbook, new_uid
from kilnlog.logbook.writing import Draft, write, write_all
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.facts import Fact
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.section import Section
from kilnlog.records.words import VolumeUnit
from tests.builders import moment, weight
from tests.logbook.conftest import ZONE

LOADED = "2026-11-03 07:30"


def keep(book: Logbook, fact: Fact, at: str | Moment = LOADED) -> str:
    """Write one fact; returns its entity."""
    when = at if isinstance(at, Moment) else moment(at, ZONE)
    return write(book, fact, when).entries[0].entity


@dataclass(frozen=True)
class Filled:
    """A charge with boards, by label."""

    charge: str
    kiln: str
    lot: str
    boards: dict[str, str]


def fill_charge(
    book: Logbook, number: str = "2026-14", *, kiln: str | None = None, **particulars: Any
) -> Filled:
    """A charge of two boards of 1000 g oven-dry at 80 %, loaded on 3 November."""
    kiln = kiln or keep(book, Kiln(f"kiln of {number}"))
    told = {"loaded_at": moment(LOADED, ZONE), "target_mc_pct": 7.0} | particulars
    charge = keep(book, Charge(number, ZONE, kiln, **told))
    lot = keep(
        book,
        Lot(charge, "A", "Rowan Joinery", "red oak", "4/4", 500.0, VolumeUnit.BOARD_FEET),
    )
    loaded = moment(LOADED, ZONE)
    boards = {label: new_uid() for label in ("1", "2")}
    drafts: list[Draft] = []
    for label, uid in boards.items():
        drafts.append((Board(charge, label, weight("1800"), lot, coated=True), loaded, uid))
        for section in ("a", "b"):
            drafts.append((Section(charge, uid, section, weight("180.0"), weight("100.0"), loaded), loaded))
    write_all(book, drafts)
    return Filled(charge, kiln, lot, boards)
