"""A writer of random records: pools to draw from, and the envelope of every row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies as st

from kilnlog.records.errors import AmbiguousNumber, UnreadableNumber
from kilnlog.records.moment import Moment
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.version import Entry, Version, VersionKind
from kilnlog.records.weight import Weight, WeightUnit

T = TypeVar("T")

_characters = st.characters(exclude_categories=["Cs"], exclude_characters="\0")  # what no file can keep
_ugly = st.sampled_from(
    ["=1+1", "+4", "-4", "@x", "\tx", "\nx", "#N/A", "_x000D_", "a\r\nb", "a\rb", "007", "4/4", "TRUE", "1e3"]
)
TEXTS = st.one_of(st.text(_characters, min_size=1, max_size=20).filter(str.strip), _ugly)
STEMS = st.one_of(st.text(_characters, max_size=6), _ugly).map(str.strip)
ZONES = [
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
INSTANTS = st.one_of(
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
TYPED_WEIGHTS = st.builds(
    _weight,
    st.one_of(_digits, _with_unit, _pairs, _bare_pairs),
    st.sampled_from(list(WeightUnit)),
    st.sampled_from([".", ","]),
)


SHARES = st.floats(0, 1)


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
