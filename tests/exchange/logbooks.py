"""Random logbooks: every table, every kind of version, names used twice, texts of any characters.

They keep the rules of the record (a parent is not taken back while something refers to it, a closing is the
last row of its charge), because only such logbooks exist.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies as st

from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.closing import Closing
from kilnlog.records.decision import Decision
from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.event import Event
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.recut import Recut
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.setting import Setting
from kilnlog.records.stay import Stay
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.withdrawal import Withdrawal
from kilnlog.records.words import (
    AirControl,
    ControlRule,
    EventKind,
    EventState,
    InstrumentKind,
    OvenMethod,
    Sawn,
    TemperatureUnit,
    VolumeUnit,
    Wood,
)

T = TypeVar("T")

_characters = st.characters(exclude_categories=["Cs"], exclude_characters="\0")  # what no file can keep
_ugly = st.sampled_from(
    ["=1+1", "+4", "-4", "@x", "\tx", "\nx", "#N/A", "_x000D_", "a\r\nb", "a\rb", "007", "4/4", "TRUE", "1e3"]
)
_texts = st.one_of(st.text(_characters, min_size=1, max_size=20).filter(str.strip), _ugly)
_stems = st.one_of(st.text(_characters, max_size=6), _ugly).map(str.strip)
_ZONES = [
    "America/New_York",
    "Europe/Vienna",
    "UTC",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "America/St_Johns",
]
#: The two hours of an autumn night in New York, whatever zone tells them.
_autumn = st.integers(0, 7200).map(
    lambda seconds: datetime(2025, 11, 2, 5, tzinfo=UTC) + timedelta(seconds=seconds)
)
_minutes = st.integers(0, 60_000_000).map(
    lambda minutes: datetime(1975, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
)
_instants = st.one_of(
    _minutes,
    _autumn,
    st.datetimes(datetime(1975, 1, 1), datetime(2150, 1, 1), timezones=st.just(UTC)),
)


def _weight(text: str, unit: WeightUnit, mark: str) -> Weight | None:
    """The weight typed so, by the first reading where there are two; None where it is none."""
    try:
        return weight_from_text(text, unit, decimal_mark=mark)
    except AmbiguousNumber as error:
        readings = error.values["readings"]
        assert isinstance(readings, tuple)
        return _weight_read(text, readings[0], unit)
    except UnreadableNumber:
        return None


def _weight_read(text: str, reading: str, unit: WeightUnit) -> Weight | None:
    try:
        return weight_from_reading(text, reading, unit)
    except UnreadableNumber:
        return None


_digits = st.from_regex(r"[0-9]{1,4}([.,][0-9]{0,4})?|[1-9],[0-9]{3}", fullmatch=True)
_pairs = st.builds(
    "{} lb {} oz".format, st.integers(0, 40), st.sampled_from(["0", "13.6", "2.05", "15", "1,5"])
)
_bare_pairs = st.builds("{} {}".format, st.integers(1, 40), st.sampled_from(["13.6", "2", "15.99"]))
_with_unit = st.builds(
    "{}{}{}".format, _digits, st.sampled_from(["", " "]), st.sampled_from(["g", "kg", "lb", "oz"])
)
_typed_weights = st.builds(
    _weight,
    st.one_of(_digits, _with_unit, _pairs, _bare_pairs),
    st.sampled_from(list(WeightUnit)),
    st.sampled_from([".", ","]),
)


@dataclass
class Scribe:
    """Writes a random logbook row by row, from pools of texts, weights, instants and shares."""

    random: Random
    texts: Sequence[str]
    stems: Sequence[str]
    weights: Sequence[Weight]
    instants: Sequence[datetime]
    shares: Sequence[float]  # 0 to 1
    entries: list[Entry[Any]] = field(default_factory=list)
    _count: int = 0

    def text(self) -> str:
        return self.random.choice(self.texts)

    def maybe_text(self) -> str | None:
        return self.maybe(self.text())

    def weight(self) -> Weight:
        return self.random.choice(self.weights)

    def number(self, low: float, high: float, *, above: bool = False) -> float | None:
        """None, a broken number anywhere in the range, or a small whole one."""
        number = low + (high - low) * self.random.choice(self.shares)
        whole = float(self.random.randint(max(1, int(low)), int(min(high, 500))))
        return self.random.choice([None, whole if above and number <= low else min(number, high), whole])

    def chance(self) -> bool:
        return self.random.random() < 0.5

    def maybe(self, value: T) -> T | None:
        return value if self.chance() else None

    def word(self, words: type[StrEnum]) -> Any:
        return self.random.choice(list(words))

    def name(self) -> str:
        self._count += 1
        edge = self.random.choice(["", "", " ", "\t"])
        return f"{self.random.choice(self.stems)}{self._count}{edge}"

    def moment(self, zone: str) -> Moment:
        """Mostly in the charge's own zone, now and then in another, as where its zone was corrected later."""
        other = self.random.choice([zone, zone, zone, "Pacific/Auckland"])
        return Moment(self.random.choice(self.instants), other)

    def first(self, fact: Any, at: Moment) -> str:
        uid = self._uid()
        self._keep(uid, uid, None, VersionKind.FIRST, self.maybe_text(), at, fact)
        return uid

    def succeed(self, entity: str, kind: VersionKind, fact: Any = None, at: Moment | None = None) -> None:
        last = [entry for entry in self.entries if entry.entity == entity][-1]
        reason = self.maybe_text() if kind is VersionKind.CHANGE else self.text()
        self._keep(
            self._uid(),
            entity,
            last.version.uid,
            kind,
            reason,
            at or last.at,
            last.fact if fact is None else fact,
        )

    def versions(self, entity: str, again: Callable[[], Any], zone: str) -> None:
        """A correction, a change, both or none."""
        for kind in self.random.choices(
            [VersionKind.CORRECTION, VersionKind.CHANGE], k=self.random.randint(0, 2)
        ):
            self.succeed(entity, kind, again(), self.moment(zone))

    def leaf(self, make: Callable[[], Any], zone: str) -> None:
        """A row nothing refers to: it may be corrected and taken back."""
        entity = self.first(make(), self.moment(zone))
        self.versions(entity, make, zone)
        if self.random.random() < 0.25:
            self.succeed(entity, VersionKind.VOID)

    def _uid(self) -> str:
        self._count += 1
        return f"uid-{self._count}"

    def _keep(
        self,
        uid: str,
        entity: str,
        supersedes: str | None,
        kind: VersionKind,
        reason: str | None,
        at: Moment,
        fact: Any,
    ) -> None:
        version = Version(
            uid, entity, supersedes, kind, reason, at, self.random.choice(self.instants), self.text()
        )
        self.entries.append(Entry(version, fact))


class Rows(list[Entry[Any]]):
    """Rows that do not write themselves out where a test fails: they fill screens."""

    def __repr__(self) -> str:
        return f"<{len(self)} rows>"


@st.composite
def logbooks(draw: Callable[[st.SearchStrategy[Any]], Any]) -> Rows:
    """The rows of a random logbook in the order written."""
    scribe = Scribe(
        draw(st.randoms(use_true_random=False)),
        draw(st.lists(_texts, min_size=1, max_size=12)),
        draw(st.lists(_stems, min_size=1, max_size=6)),
        [weight_from_text("1842.50", WeightUnit.G)]
        + [weight for weight in draw(st.lists(_typed_weights, max_size=20)) if weight is not None],
        draw(st.lists(_instants, min_size=1, max_size=8)),
        draw(st.lists(st.floats(0, 1), min_size=1, max_size=8)),
    )
    zone = scribe.random.choice(_ZONES)
    name = scribe.name()
    scribe.leaf(lambda: Setting(name, scribe.text()), zone)
    kilns = [_kiln(scribe, zone) for _ in range(scribe.random.randint(1, 2))]
    scribe.leaf(lambda: _instrument(scribe, zone), zone)
    schedule = scribe.name()
    for step in range(1, 1 + scribe.random.randint(0, 2)):
        scribe.leaf(lambda step=step: _step(scribe, schedule, step), zone)
    for _ in range(scribe.random.randint(1, 2)):
        _charge(scribe, kilns, schedule)
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


def _step(scribe: Scribe, schedule: str, step: int) -> ScheduleStep:
    return ScheduleStep(
        schedule,
        step,
        scribe.number(0, 1000),
        dry_bulb=scribe.number(-100, 600),
        rh_pct=scribe.number(0, 100),
        temperature_unit=scribe.word(TemperatureUnit),
    )


def _charge(scribe: Scribe, kilns: list[str], schedule: str) -> None:
    zone = scribe.random.choice(_ZONES)
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
    _rows_of_charge(scribe, entity, zone)
    if scribe.chance():
        sealed = scribe.maybe('{"form":1,"x":"' + "ä😀" * 20_000 + '"}')
        closing = Closing(entity, scribe.maybe_text(), sealed_text=sealed, program_version=sealed and "0.1.0")
        scribe.first(closing, scribe.moment(zone))
        last = scribe.entries[-1]
        # A closing is the last word; nothing is said of its version but who and when.
        scribe.entries[-1] = Entry(replace(last.version, reason=None), last.fact)


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
