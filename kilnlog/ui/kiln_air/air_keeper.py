"""What happens to a reading of the air as it is typed: worked out, asked about or not, kept."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal

from kilnlog.logbook import figures
from kilnlog.logbook.air_doubts import air_doubt
from kilnlog.logbook.air_lists import terms_words
from kilnlog.logbook.beside_logger import beside_logger_doubt
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import AirNotKept
from kilnlog.logbook.in_kiln import InKiln, in_kiln
from kilnlog.logbook.time_doubts import time_doubt
from kilnlog.logbook.typed_air import DRY, Second, TypedAir, read_air
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import write
from kilnlog.records.air_reading import AirReading
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError, MissingValue
from kilnlog.records.moment import Moment
from kilnlog.records.words import TemperatureUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.form import BEING_KEPT, decimal_mark
from kilnlog.ui.weighing_round.round_time import RoundTime

TIME = "at"  # where trouble with the time is told
FOR_ONE = "From a sheet: this one reading is of {at}. Esc takes the present again."
FOLLOWS_AGAIN = "The time chosen was not used for an hour: the clock is followed again."


class Told(StrEnum):
    """What kind of thing is said under the fields."""

    WRONG = "wrong"
    ASKED = "asked"
    SAVING = "saving"
    NOTE = "note"


@dataclass(frozen=True)
class Said:
    """A sentence under the fields; ``column`` is the field it is about, where it is about one."""

    kind: Told
    text: str
    column: str = ""


@dataclass
class Standing:
    """What stands typed for one charge and is not in the file."""

    dry: str = ""
    second: str = ""
    which: Second | None = None  # as switched by hand
    sensor: str | None = None
    said: Said | None = None
    asked: tuple[AirReading, Moment] | None = None  # the reading that was asked about
    sending: tuple[str, str] | None = None  # the texts that are on their way
    charge: str = ""  # its label

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands typed."""
        return not self.dry.strip() and not self.second.strip()


class AirKeeper(QObject):
    """Takes two typed figures through to the file.

    ``changed()``: what stands typed, or what is said of it, is new. ``kept()``: the file holds the reading.
    """

    changed = Signal()
    kept = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.time = RoundTime(desk.now)
        #: By logbook and charge: another charge in hand drops nothing, a copy of the logbook gets nothing.
        self._standing: dict[tuple[Path | None, str], Standing] = {}
        self._in_kiln: InKiln | None = None
        desk.record_changed.connect(self._follow)
        self._minute = QTimer(self)
        self._minute.setInterval(20_000)
        self._minute.timeout.connect(self.follow_clock)
        self._minute.start()

    @property
    def at(self) -> Moment:
        """When the reading being typed was read: the chosen time, else the present minute."""
        return self.time.at

    @property
    def here(self) -> Standing:
        """What stands typed for the charge in hand."""
        record = self.desk.record
        if record is None:
            return Standing()
        label = record.particulars.charge
        return self._standing.setdefault((self.desk.path, record.entity), Standing(charge=label))

    @property
    def said(self) -> Said | None:
        """What is said under the fields: of the figures, else of a time that is not the present's."""
        if self.here.said is not None:
            return self.here.said
        if self.time.unread is not None:
            return Said(Told.WRONG, worded(self.time.unread).text, TIME)
        if self.time.chosen is not None:
            at = figures.day_and_time(self.time.at, self.desk.now())
            return Said(Told.NOTE, FOR_ONE.format(at=at), TIME)
        return None

    @property
    def unit(self) -> TemperatureUnit:
        """What the kiln's thermometers show."""
        return self._kiln_now.unit

    @property
    def sensors(self) -> tuple[str, ...]:
        """The sensors to choose from: only where the kiln names two."""
        return self._kiln_now.sensors

    @property
    def sensor(self) -> str | None:
        """The sensor chosen; the entering air's until another is. None where it has no name."""
        chosen = self.here.sensor
        return chosen if chosen in self.sensors else self._kiln_now.sensor

    @property
    def which(self) -> Second:
        """What the second figure is: as switched, else as read last, else as the kiln's air is kept."""
        return self.here.which or self._kiln_now.second

    @property
    def typed(self) -> TypedAir:
        """What stands typed, read and worked out."""
        here = self.here
        return read_air(
            here.dry, here.second, self.which, self.unit, self._kiln_now.pressure_pa, decimal_mark()
        )

    @property
    def last_words(self) -> str:
        """The last reading by hand in words; empty where there is none."""
        last = self._kiln_now.last
        if last is None:
            return ""
        sensor = f"{last.fact.sensor}, " if last.fact.sensor and self.sensors else ""
        return f"last {terms_words(last.fact)}, {sensor}{figures.day_and_time(last.at, self.desk.now())}"

    def type_in(self, dry: str, second: str) -> None:
        """The fields hold other texts; what was said of the earlier ones is forgotten."""
        here = self.here
        if (here.dry, here.second) == (dry, second):
            return
        here.dry, here.second = dry, second
        here.said, here.asked = self._on_its_way(here), None
        self.changed.emit()

    def choose_second(self, which: Second) -> None:
        """The second figure is another one."""
        here = self.here
        here.which = which
        here.said, here.asked = self._on_its_way(here), None
        self.changed.emit()

    def choose_sensor(self, sensor: str) -> None:
        """Another sensor is read."""
        here = self.here
        here.sensor, here.asked = sensor, None
        here.said = self._on_its_way(here)
        self.changed.emit()

    def choose_time(self, at: Moment | None) -> None:
        """Readings are those of ``at``; None follows the clock."""
        self.time.choose(at)
        here = self.here
        here.said, here.asked = self._on_its_way(here), None
        self.changed.emit()

    def time_unread(self, error: KilnlogError | None) -> None:
        """What stands as the time is none, or no longer: until then nothing can be kept."""
        self.time.unread = error
        if error is not None:
            self._tell(Told.WRONG, worded(error).text, TIME)
        elif self.here.said is not None and self.here.said.column == TIME:
            self.here.said = None
            self.changed.emit()

    def drop(self) -> bool:
        """Forget what stands typed; whether there was any. What is on its way is not forgotten.

        What the second figure was switched to is forgotten too: the next reading is as the last.
        """
        here = self.here
        if here.is_empty and here.sending is None and here.which is not None:
            here.which = None
            self.changed.emit()
        if here.is_empty or here.sending == (here.dry, here.second):
            return False
        here.dry = here.second = ""
        here.which = None
        here.said, here.asked = self._on_its_way(here), None
        self.forget_time()
        self.changed.emit()
        return True

    def forget_time(self) -> bool:
        """Follow the clock again where no figure stands typed for the time chosen; whether one was chosen.

        A time is for one reading: left standing, the next one would be written down for it unseen.
        """
        if self.time.chosen is None or not self.here.is_empty:
            return False
        self.time.choose(None)
        self.changed.emit()
        return True

    def offer(self) -> None:
        """Keep what stands typed, ask about it, or say what is wrong; nothing while one is being kept."""
        record, assessment, here = self.desk.record, self.desk.assessment, self.here
        if record is None or assessment is None or not self.desk.can_write or here.sending is not None:
            return
        self.follow_clock()
        if self.time.unread is not None:
            self._tell(Told.WRONG, worded(self.time.unread).text, TIME)
            return
        typed = self.typed
        if (wrong := self._wrong(typed)) is not None:
            column, error = wrong
            self._tell(Told.WRONG, worded(error).text, column)
            return
        fact = AirReading(record.entity, self.sensor, **typed.terms)
        if here.asked is not None and here.asked[0] == fact:
            self._send(record, fact, here.asked[1])
            return
        at, now = self.at, self.desk.now()
        odd_time = time_doubt(record.particulars, at, now)
        odd_air = air_doubt(record, assessment, typed, at, now, self.desk.reference)
        if odd_time is not None and odd_air is not None and odd_air.values["why"] == "in-future":
            odd_air = None  # the same
        if odd_air is None:
            odd_air = beside_logger_doubt(self.desk.air.lines, self.sensor, typed, at)
        told = [worded(doubt).text for doubt in (odd_time, odd_air) if doubt is not None]
        if not told:
            self._send(record, fact, at)
            return
        here.asked = (fact, at)  # the answer may come when it is later
        self._tell(Told.ASKED, " ".join(told), DRY if odd_time is None else TIME)

    def unkept(self) -> tuple[str, ...]:
        """What stands typed that nobody kept, in words, with its charge where it is not in hand."""
        here = self.here
        return tuple(
            "air now" if standing is here else f"air of charge {standing.charge}"
            for (logbook, _), standing in self._standing.items()
            if logbook == self.desk.path
            and not standing.is_empty
            and standing.sending != (standing.dry, standing.second)
        )

    def follow_clock(self) -> None:
        """Drop a chosen time nobody used for an hour; a timer does so as time goes by."""
        if self.time.lapse():
            self.here.asked = None
            self.time.told_lapsed()
            self._tell(Told.NOTE, FOLLOWS_AGAIN, TIME)
        else:
            self.changed.emit()

    def _wrong(self, typed: TypedAir) -> tuple[str, KilnlogError] | None:
        """The first field that is wrong, and why."""
        for column, error in typed.wrong.items():
            return column, error
        if typed.dry_bulb is None and typed.second is None:
            return DRY, MissingValue(column="“Dry bulb”")
        return None

    def _send(self, record: ChargeRecord, fact: AirReading, at: Moment) -> None:
        here, said = self.here, terms_words(fact)
        here.sending, here.asked = (here.dry, here.second), None
        self.time.use()
        self._tell(Told.SAVING, BEING_KEPT)

        def done(_: Changes) -> None:
            if here.sending == (here.dry, here.second):  # else another reading is being typed already
                here.dry = here.second = ""
            here.sending, here.said = None, None
            if here is self.here and self.time.chosen == at:
                self.forget_time()
            self.changed.emit()
            if here is self.here:
                self.kept.emit()

        def failed(error: KilnlogError) -> None:
            here.sending = None
            reason = worded(error).text
            typed = f"{said}, {figures.day_and_time(at, self.desk.now())}"
            here.said = Said(Told.WRONG, f"{typed} was not kept. {reason}")
            self.changed.emit()
            if here is not self.here or not self.desk.can_write:
                self.desk.refused.emit(AirNotKept(charge=here.charge, typed=typed, reason=reason))

        told = f"{said}, {fact.sensor}" if self.sensors else said
        saying = f"Air {told}, {figures.day_and_time(at, self.desk.now())}"
        self.desk.do(write, fact, at, saying=saying, done=done, failed=failed)

    def _tell(self, kind: Told, text: str, column: str = "") -> None:
        self.here.said = Said(kind, text, column)
        self.changed.emit()

    @staticmethod
    def _on_its_way(standing: Standing) -> Said | None:
        """What is said while nothing is wrong."""
        return Said(Told.SAVING, BEING_KEPT) if standing.sending is not None else None

    @property
    def _kiln_now(self) -> InKiln:
        """Looked up when it is asked for: weights come far more often than readings."""
        if self._in_kiln is None:
            self._in_kiln = in_kiln(self.desk.record, self.desk.now())
        return self._in_kiln

    def _follow(self, changes: Changes | None) -> None:
        self._in_kiln = None
        if changes is None:
            self.time.choose(None)
        self.changed.emit()
