"""Random logbooks: every table, every kind of version, names used twice, texts of any characters.

They keep the rules of the record (a parent is not taken back while something refers to it, what is closed
takes nothing but notes until it is reopened), because only such logbooks exist.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from kilnlog.records.air_reading import AirReading
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.decision import Decision
from kilnlog.records.event import Event
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.lot import Lot
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.recut import Recut
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.set_point import SetPoint
from kilnlog.records.setting import Setting
from kilnlog.records.stay import Stay
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.version import Entry, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import WeightUnit
from kilnlog.records.withdrawal import Withdrawal
from kilnlog.records.words import (
    AirControl,
    ControlRule,
    EventKind,
    EventState,
    InstrumentKind,
    OvenMethod,
    ProbePlace,
    Sawn,
    TemperatureUnit,
    VolumeUnit,
    Wood,
)
from tests.exchange.finish import finish
from tests.exchange.scribe import INSTANTS, SHARES, STEMS, TEXTS, TYPED_WEIGHTS, ZONES, Scribe
from tests.store.mill import logged


class Rows(list[Entry[Any]]):
    """Rows that do not write themselves out where a test fails: they fill screens."""

    def __repr__(self) -> str:
        return f"<{len(self)} rows>"


@st.composite
def logbooks(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Rows:
    """The rows of a random logbook in the order written."""
    scribe = Scribe(
        draw(st.randoms(use_true_random=False)),
        draw(st.lists(TEXTS, min_size=1, max_size=12)),
        draw(st.lists(STEMS, min_size=1, max_size=6)),
        [weight_from_text("1842.50", WeightUnit.G)]
        + [weight for weight in draw(st.lists(TYPED_WEIGHTS, max_size=20)) if weight is not None],
        draw(st.lists(INSTANTS, min_size=1, max_size=8)),
        draw(st.lists(SHARES, min_size=1, max_size=8)),
    )
    zone = scribe.random.choice(ZONES)
    name = scribe.name()
    scribe.leaf(lambda: Setting(name, scribe.text()), zone)
    kilns = [_kiln(scribe, zone) for _ in range(scribe.random.randint(1, 2))]
    scribe.leaf(lambda: _instrument(scribe, zone), zone)
    meter = _meter(scribe, zone)
    schedule = scribe.name()
    for step in range(1, 1 + scribe.random.randint(0, 2)):
        scribe.leaf(lambda step=step: _step(scribe, schedule, step), zone)
    for _ in range(scribe.random.randint(1, 2)):
        _charge(scribe, kilns, schedule, meter)
    return Rows(scribe.entries)


def _kiln(scribe: Scribe, zone: str) -> str:
    def kiln() -> Kiln:
        return Kiln(
            scribe.name(),
            scribe.maybe_text(),
            scribe.word(AirControl),
            scribe.number(0, 1e9, above=True),
            scribe.word(VolumeUnit),
            scribe.number(-500, 9000),
            entering_sensor=scribe.maybe_text(),
            leaving_sensor=scribe.maybe_text(),
            temperature_unit=scribe.word(TemperatureUnit),
        )

    entity = scribe.first(kiln(), scribe.moment(zone))
    scribe.versions(entity, kiln, zone)
    return entity


def _instrument(scribe: Scribe, zone: str) -> Instrument:
    return Instrument(
        scribe.name(),
        scribe.word(InstrumentKind),
        scribe.number(0, 1e9, above=True),
        scribe.maybe_text(),
        scribe.moment(zone),
        scribe.maybe_text(),
    )


def _meter(scribe: Scribe, zone: str) -> str:
    entity = scribe.first(_instrument(scribe, zone), scribe.moment(zone))
    scribe.versions(entity, lambda: _instrument(scribe, zone), zone)
    return entity


def _step(scribe: Scribe, schedule: str, step: int) -> ScheduleStep:
    return ScheduleStep(
        schedule,
        step,
        scribe.number(0, 1000),
        dry_bulb=scribe.number(-100, 600),
        rh_pct=scribe.number(0, 100),
        temperature_unit=scribe.word(TemperatureUnit),
    )


def _charge(scribe: Scribe, kilns: list[str], schedule: str, meter: str) -> None:
    zone = scribe.random.choice(ZONES)
    number = scribe.name()

    def charge() -> Charge:
        own = scribe.random.choice([zone, zone, "Asia/Kathmandu"])
        return Charge(
            number,
            own,
            scribe.maybe(scribe.random.choice(kilns)),
            scribe.moment(zone),
            scribe.number(0, 1000),
            scribe.word(ControlRule),
            scribe.maybe(schedule),
            scribe.maybe(scribe.moment(zone)),
            scribe.maybe_text(),
        )

    entity = scribe.first(charge(), scribe.moment(zone))
    scribe.versions(entity, charge, zone)
    scribe.leaf(lambda: Stay(entity, scribe.random.choice(kilns), scribe.moment(zone)), zone)
    lots = [_lot(scribe, entity, zone) for _ in range(scribe.random.randint(0, 2))]
    label = scribe.name()
    boards = [_board(scribe, entity, label, lots, None, zone)]
    if scribe.chance():
        _taken_back_with_all_its_rows(scribe, entity, boards.pop(), zone)
        boards.append(_board(scribe, entity, label, lots, None, zone))
    boards.append(_board(scribe, entity, scribe.name(), lots, boards[0], zone))
    for board in boards:
        _rows_of_board(scribe, entity, board, zone)
        scribe.leaf(lambda board=board: _meter_check(scribe, entity, board, meter), zone)
    _air_of_charge(scribe, entity, zone)
    _rows_of_charge(scribe, entity, zone)
    finish(scribe, entity, lots, meter, zone)


def _lot(scribe: Scribe, charge: str, zone: str) -> str:
    label = scribe.name()

    def lot() -> Lot:
        return Lot(
            charge,
            label,
            scribe.maybe_text(),
            scribe.maybe_text(),
            scribe.maybe_text(),
            scribe.number(0, 1e9, above=True),
            scribe.word(VolumeUnit),
            limits_from=scribe.maybe_text(),
            basic_specific_gravity=scribe.number(0, 2, above=True),
            governs=scribe.chance(),
            out_at=scribe.maybe(scribe.moment(zone)),
        )

    entity = scribe.first(lot(), scribe.moment(zone))
    scribe.versions(entity, lot, zone)
    return entity


def _board(scribe: Scribe, charge: str, label: str, lots: list[str], replaces: str | None, zone: str) -> str:
    def board() -> Board:
        return Board(
            charge,
            label,
            scribe.weight(),
            scribe.maybe(scribe.random.choice(lots)) if lots else None,
            scribe.maybe(scribe.weight()),
            scribe.maybe(scribe.weight()),
            scribe.maybe_text(),
            scribe.word(Wood),
            scribe.word(Sawn),
            scribe.random.choice([None, True, False]),
            scribe.number(0, 1e6),
            scribe.maybe_text(),
            replaces,
            scribe.maybe(scribe.weight()),
            scribe.maybe_text(),
        )

    entity = scribe.first(board(), scribe.moment(zone))
    scribe.versions(entity, board, zone)
    return entity


def _taken_back_with_all_its_rows(scribe: Scribe, charge: str, board: str, zone: str) -> None:
    weighing = scribe.first(Weighing(charge, board, scribe.weight()), scribe.moment(zone))
    recut = scribe.first(_recut(scribe, charge, board, zone), scribe.moment(zone))
    scribe.succeed(recut, VersionKind.VOID)
    scribe.succeed(weighing, VersionKind.VOID)
    scribe.succeed(board, VersionKind.VOID)


def _rows_of_board(scribe: Scribe, charge: str, board: str, zone: str) -> None:
    section = scribe.first(_section(scribe, charge, board, zone), scribe.moment(zone))
    scribe.leaf(lambda: OvenWeighing(charge, board, section, scribe.weight()), zone)
    for _ in range(scribe.random.randint(0, 2)):
        scribe.leaf(
            lambda: Weighing(charge, board, scribe.weight(), scribe.maybe_text(), scribe.maybe_text()),
            zone,
        )
    scribe.leaf(lambda: _recut(scribe, charge, board, zone), zone)
    scribe.leaf(
        lambda: Breakage(charge, board, scribe.weight(), scribe.weight(), scribe.maybe_text()),
        zone,
    )
    scribe.leaf(lambda: Withdrawal(charge, board, scribe.maybe_text()), zone)


def _section(scribe: Scribe, charge: str, board: str, zone: str) -> Section:
    wet, dry = sorted((scribe.weight(), scribe.weight()), key=lambda weight: -weight.grams)
    return Section(
        charge,
        board,
        scribe.name(),
        wet,
        scribe.maybe(dry),
        scribe.moment(zone),
        scribe.word(OvenMethod),
        scribe.number(-100, 1000),
        scribe.word(TemperatureUnit),
        scribe.maybe(scribe.weight()),
        scribe.maybe_text(),
    )


def _recut(scribe: Scribe, charge: str, board: str, zone: str) -> Recut:
    wet, dry = sorted((scribe.weight(), scribe.weight()), key=lambda weight: -weight.grams)
    return Recut(
        charge,
        board,
        scribe.weight(),
        wet,
        scribe.weight(),
        scribe.maybe(dry),
        scribe.maybe(scribe.moment(zone)),
        scribe.maybe(scribe.weight()),
    )


def _meter_check(scribe: Scribe, charge: str, board: str, meter: str) -> MeterCheck:
    return MeterCheck(
        charge,
        board,
        scribe.number(0, 1000) or 0.0,
        scribe.maybe(meter),
        scribe.number(-100, 600),
        scribe.word(TemperatureUnit),
        scribe.number(0, 1000),
    )


def _air_of_charge(scribe: Scribe, charge: str, zone: str) -> None:
    def terms() -> dict[str, Any]:
        wet, dry = sorted((scribe.number(-100, 600) or 0.0, scribe.number(-100, 600) or 0.0))
        return {
            "dry_bulb": scribe.maybe(dry),
            "wet_bulb": scribe.maybe(wet),
            "depression": scribe.number(0, 600),
            "rh_pct": scribe.number(0, 100) or 0.0,
            "temperature_unit": scribe.word(TemperatureUnit),
        }

    scribe.leaf(lambda: AirReading(charge, scribe.maybe_text(), **terms()), zone)
    scribe.leaf(lambda: SetPoint(charge, **terms()), zone)
    batch = logged(charge).fact
    at = Moment(batch.first_at.utc, zone)  # a batch is observed at its first reading

    def named() -> LoggerBatch:
        last = Moment(batch.last_at.utc, zone)
        place = scribe.maybe(scribe.word(ProbePlace))
        named = replace(batch, sensor=scribe.name(), file_name=scribe.name(), placed_in=place)
        return replace(named, first_at=at, last_at=last)

    entity = scribe.first(named(), at)
    if scribe.chance():
        scribe.succeed(entity, VersionKind.CORRECTION, named())
    if scribe.chance():
        scribe.succeed(entity, VersionKind.VOID)


def _rows_of_charge(scribe: Scribe, charge: str, zone: str) -> None:
    scribe.leaf(
        lambda: Event(
            charge,
            scribe.word(EventKind),
            scribe.word(EventState),
            scribe.number(-1e9, 1e9),
            scribe.maybe_text(),
            scribe.maybe_text(),
        ),
        zone,
    )
    scribe.leaf(lambda: StepTaken(charge, scribe.random.randint(1, 1000), scribe.maybe_text()), zone)
    code = scribe.name()
    scribe.leaf(lambda: Decision(charge, code, scribe.maybe_text(), scribe.maybe_text()), zone)
