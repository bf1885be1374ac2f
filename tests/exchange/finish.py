"""Random ends of charges: what is found in the finished lumber, and closings, reopenings, closings again."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kilnlog.records.closing import Closing
from kilnlog.records.defect import Defect
from kilnlog.records.event import Event
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.later_note import LaterNote
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.version import Entry, VersionKind
from kilnlog.records.words import (
    AnswerKind,
    CloseOutStep,
    DefectKind,
    EventKind,
    LengthUnit,
    ProbePlace,
    ReadingKind,
    Severity,
    StressFound,
    StressTestKind,
    TallyTime,
    TemperatureRule,
    TemperatureUnit,
    VolumeUnit,
)
from tests.exchange.scribe import Scribe

THICKNESSES = ("4/4", "8/4", "1 1/4 in", "27 mm", "2.7 cm")
SEALED = '{"form":2,"x":"' + "ä😀" * 20_000 + '"}'


def finish(scribe: Scribe, charge: str, lots: list[str], meter: str, zone: str) -> None:
    """Write the end of a charge, which may stay open."""
    for lot in lots:
        _found_in(scribe, charge, lot, meter, zone)
    scribe.leaf(lambda: _probe(scribe, charge), zone)
    scribe.leaf(lambda: _choice(scribe, charge), zone)
    scribe.leaf(lambda: _answer(scribe, charge, None), zone)
    for lot in lots:
        if scribe.chance():
            _close(scribe, charge, lot, zone)
    if scribe.chance():
        _close(scribe, charge, None, zone)
    scribe.leaf(lambda: LaterNote(charge, scribe.text(), scribe.random.choice([None, *lots])), zone)


def _close(scribe: Scribe, charge: str, lot: str | None, zone: str) -> None:
    def closing() -> Closing:
        sealed = scribe.maybe(SEALED)
        version = sealed and "0.1.0"
        return Closing(charge, scribe.maybe_text(), sealed_text=sealed, program_version=version, lot=lot)

    entity = scribe.first(closing(), scribe.moment(zone))
    for _ in range(scribe.random.choice([0, 0, 1, 2])):
        opened = Closing(charge, scribe.maybe_text(), lot=lot, reopened=True)
        scribe.succeed(entity, VersionKind.CHANGE, opened, scribe.moment(zone))
        last = scribe.entries[-1]
        scribe.entries[-1] = Entry(replace(last.version, reason=scribe.text()), last.fact)
        # What is found after the reopening; of a lot in the lot's own rows.
        if lot is None:
            scribe.leaf(lambda: Event(charge, EventKind.NOTE, note=scribe.maybe_text()), zone)
        else:
            scribe.leaf(lambda: _defect(scribe, charge, lot), zone)
        if scribe.chance():
            return
        scribe.succeed(entity, VersionKind.CHANGE, closing(), scribe.moment(zone))


def _found_in(scribe: Scribe, charge: str, lot: str, meter: str, zone: str) -> None:
    for _ in range(scribe.random.randint(0, 3)):
        scribe.leaf(lambda: _reading(scribe, charge, lot, meter), zone)
    scribe.leaf(lambda: _stress(scribe, charge, lot), zone)
    scribe.leaf(lambda: _defect(scribe, charge, lot), zone)
    scribe.leaf(lambda: _tally(scribe, charge, lot), zone)
    scribe.leaf(lambda: _answer(scribe, charge, lot), zone)


def _reading(scribe: Scribe, charge: str, lot: str, meter: str) -> FinalReading:
    kind = scribe.word(ReadingKind)
    wet, dry = sorted((scribe.weight(), scribe.weight()), key=lambda weight: -weight.grams)
    is_oven = kind is ReadingKind.OVEN_DRY
    rule = scribe.maybe(scribe.word(TemperatureRule))
    return FinalReading(
        charge,
        lot,
        kind,
        scribe.maybe_text(),
        scribe.maybe_text(),
        scribe.maybe(meter),
        scribe.maybe_text(),
        scribe.maybe_text(),
        scribe.number(0, 1000) or (None if is_oven else 0.0),
        scribe.number(-100, 600) or 70.0,
        scribe.number(-100, 600),
        scribe.word(TemperatureUnit),
        rule,
        scribe.number(-1000, 1000) or (0.0 if rule is TemperatureRule.TYPED else None),
        scribe.number(-1000, 1000),
        wet if is_oven else scribe.maybe(wet),
        dry if is_oven else scribe.maybe(dry),
        scribe.maybe_text(),
    )


def _stress(scribe: Scribe, charge: str, lot: str) -> StressTest:
    kind = scribe.word(StressTestKind)
    is_measured = kind is StressTestKind.SHELL_AND_CORE or scribe.chance()
    return StressTest(
        charge,
        lot,
        kind,
        scribe.maybe_text(),
        scribe.maybe(scribe.word(StressFound)) if is_measured else scribe.word(StressFound),
        (scribe.number(-1e6, 1e6) or 0.0) if is_measured else None,
        (scribe.number(0, 1000) or 0.0) if kind is StressTestKind.SHELL_AND_CORE else None,
        scribe.text() if is_measured else scribe.maybe_text(),
        scribe.number(0, 1e6),
        scribe.number(0, 1e6),
        scribe.maybe_text(),
    )


def _defect(scribe: Scribe, charge: str, lot: str) -> Defect:
    kind = scribe.word(DefectKind)
    return Defect(
        charge,
        lot,
        kind,
        scribe.maybe(scribe.word(Severity)),
        scribe.maybe(scribe.random.randint(0, 10**9)),
        scribe.number(0, 1e9, above=True),
        scribe.word(VolumeUnit),
        scribe.text() if kind is DefectKind.OTHER else scribe.maybe_text(),
    )


def _tally(scribe: Scribe, charge: str, lot: str) -> TallyLine:
    size: dict[str, Any] = {
        "thickness": scribe.random.choice(THICKNESSES),
        "width": scribe.number(0, 1e6, above=True) or 6.0,
        "length": scribe.number(0, 1e6, above=True) or 8.0,
        "pieces": scribe.random.randint(1, 10**9),
    }
    if total := scribe.number(0, 1e9, above=True):
        size = {name: scribe.maybe(value) for name, value in size.items()}
        size["thickness"] = scribe.maybe_text()  # beside a total it may be in any words
    return TallyLine(
        charge,
        lot,
        scribe.word(TallyTime),
        scribe.maybe_text(),
        width_unit=scribe.word(LengthUnit),
        length_unit=scribe.word(LengthUnit),
        volume=total,
        volume_unit=scribe.word(VolumeUnit),
        note=scribe.maybe_text(),
        **size,
    )


def _probe(scribe: Scribe, charge: str) -> ProbeReading:
    temperature = scribe.number(-100, 600) or 0.0
    return ProbeReading(
        charge, scribe.name(), scribe.word(ProbePlace), temperature, scribe.word(TemperatureUnit)
    )


def _choice(scribe: Scribe, charge: str) -> HeatChoice:
    return HeatChoice(
        charge,
        scribe.number(-100, 600) or 56.0,
        scribe.word(TemperatureUnit),
        scribe.number(0, 1e6, above=True) or 30.0,
        scribe.maybe_text(),
        scribe.maybe_text(),
        scribe.maybe_text(),
        scribe.maybe_text(),
    )


def _answer(scribe: Scribe, charge: str, lot: str | None) -> StepAnswer:
    answer = scribe.word(AnswerKind)
    note = scribe.text() if answer is AnswerKind.LEFT_OUT else scribe.maybe_text()
    return StepAnswer(charge, scribe.word(CloseOutStep), answer, lot, note)
