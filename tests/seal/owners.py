"""Random finished charges of several owners with awkward names, and the same without the others."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.seals import checked_contents, seals_of
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.weighing_round import keep_weight
from kilnlog.logbook.writing import write
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.defect import Defect
from kilnlog.records.event import Event
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.section import Section
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    EventKind,
    InstrumentKind,
    ProbePlace,
    ReadingKind,
    StressFound,
    StressTestKind,
    TallyTime,
    TemperatureUnit,
    VolumeUnit,
)
from kilnlog.reference.tables import load
from tests.builders import weight
from tests.seal.finished import CLOSED, LOADED, READ, WEIGHED, ZONE

#: Each has words that no paper and no other name holds; letters, signs and scripts that formats trip over.
NAMES = (
    "Rowan Tillery",
    "Ødegaard & Søn <Fjeldby>",
    'O\'Shaunessy "Quarterdeck" Boats',
    "Ιωάννης Βράχος",
    "Żywiecka Stolarnia, Łódź",
    "=HYPERLINK(Zanderwick)",
    "ﬁnchley Ｗidebrook",
    "木村木工所",
    "Müßiggang\tund Söhne",
    "Marrowby; Thistledown/Vane",
)


@dataclass(frozen=True)
class Plan:
    """What is to be written, lot by lot; the same for the same seed."""

    seed: int
    owners: tuple[str | None, ...]  # of lots A, B, ...
    remarks: bool = field(default=False)  # whether notes name the other owners

    def contents(self, book: Logbook, only: str | None = None):
        """Write the charge, of one owner's lots alone where asked, close it and give what its seal holds."""
        write_plan(book, self, only)
        record = book.file.charge_record(book.charge_numbered("2026-30").entity)
        close_charge(book, record.entity, CLOSED, None, load())
        [seal] = seals_of(book, book.file.charge_record(record.entity))
        return checked_contents(seal)


def random_plan(seed: int, *, remarks: bool) -> Plan:
    """Two to four owners, some with more than one lot, sometimes a lot of nobody's."""
    chance = random.Random(seed)
    owners = chance.sample(NAMES, chance.randint(2, 4))
    lots: list[str | None] = [*owners, *(chance.choice(owners) for _ in range(chance.randint(0, 2)))]
    if chance.random() < 0.3:
        lots.append(None)
    chance.shuffle(lots)
    return Plan(seed, tuple(lots), remarks)


def write_plan(book: Logbook, plan: Plan, only: str | None) -> None:
    def one(fact, at=LOADED):
        return write(book, fact, at).entries[0].entity

    def remark(chance, owner):
        others = [name for name in plan.owners if name and name != owner]
        return f"beside the stack of {chance.choice(others)}" if plan.remarks and others else None

    chance = random.Random(plan.seed)
    meters = [
        one(Instrument(name, InstrumentKind.METER, 0.1, "%", LOADED))
        for name in ("Long pins", "Long pins, brass", "Short pins", "Plate")
    ]
    damp = one(
        Instrument("Hair hygrometer", InstrumentKind.HYGROMETER, 1.0, "%", LOADED, remark(chance, None))
    )
    one(Instrument("Bench", InstrumentKind.SCALE, 1.0, "g", LOADED, remark(chance, None)))
    kiln = one(Kiln("Orchard kiln"))
    charge = one(Charge("2026-30", ZONE, kiln, LOADED, 8.0, notes=remark(chance, None)))
    one(Event(charge, EventKind.DOOR, note=remark(chance, None)), WEIGHED)
    one(ProbeReading(charge, "probe 1", ProbePlace.CORE, 57.0, TemperatureUnit.CELSIUS), WEIGHED)
    one(HeatChoice(charge, 56.0, TemperatureUnit.CELSIUS, 30.0, remark(chance, None) or "the order"), READ)
    one(StepAnswer(charge, CloseOutStep.HEAT, AnswerKind.LEFT_OUT, note=remark(chance, None) or "none"), READ)
    for number, owner in enumerate(plan.owners):
        own = random.Random(plan.seed * 100 + number)  # what is drawn for one lot changes nothing of the next
        if only is not None and owner != only:
            continue
        label = "ABCDEFGH"[number]
        species = own.choice(["red oak", "black cherry", "white ash"])
        fact = Lot(
            charge, label, owner, species, "4/4", 400.0, VolumeUnit.BOARD_FEET, limits_from=remark(own, owner)
        )
        lot = one(fact)
        for count in range(own.randint(1, 2)):
            board = one(Board(charge, f"{number + 1}{'ab'[count]}", weight("1800"), lot, coated=True))
            for section in ("x", "y"):
                one(Section(charge, board, section, weight("180.0"), weight("100.0"), LOADED))
            keep_weight(book, charge, board, weight(str(1060 + own.randint(0, 40))), WEIGHED)
            if own.random() < 0.5:
                one(MeterCheck(charge, board, 12.0, own.choice([*meters, damp])), WEIGHED)
        used = own.sample(meters, own.randint(1, 2))
        for piece in range(own.randint(0, 9)):
            read = FinalReading(
                charge,
                lot,
                own.choice([ReadingKind.PIN_METER, ReadingKind.PINLESS_METER]),
                own.choice(["1", "2", None]),
                str(piece),
                own.choice(used),
                reading_pct=round(own.uniform(5, 12), 1),
                note=remark(own, owner),
            )
            one(read, READ)
        one(
            StressTest(charge, lot, StressTestKind.PRONG, "1", StressFound.FREE, note=remark(own, owner)),
            READ,
        )
        one(Defect(charge, lot, DefectKind.CUP, pieces=1, note=remark(own, owner)), READ)
        one(
            TallyLine(
                charge,
                lot,
                TallyTime.NET,
                volume=380.0,
                volume_unit=VolumeUnit.BOARD_FEET,
                note=remark(own, owner),
            ),
            READ,
        )
