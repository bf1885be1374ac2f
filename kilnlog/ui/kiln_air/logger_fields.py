"""The fields that say how a logger's file is read: as recognised, changeable, open questions marked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import StrEnum
from typing import Any

from kilnlog.exchange.logger.format import DateOrder, LoggerFormat, Unsure
from kilnlog.exchange.logger.headings import Kind, kind_of
from kilnlog.logbook.logger_settings import ProbeColumns, ReadAs, Suggestion
from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit
from kilnlog.ui.look.fields import ChoiceField, TextField, offer_words
from kilnlog.ui.look.form import Form

Choices = Sequence[tuple[str, str]]

#: What a field shows while its question is open.
OPEN = ("", "choose…")
NONE = ("none", "not measured")
OTHER_SENSOR = "\0other"
DRY_STANDS_IN, PROBE_STANDS_IN = "Dry bulb stands in", "Its temperature stands in"
_TO_ANSWER = "The file does not tell: choose."

_DELIMITERS = ((",", "commas"), (";", "semicolons"), ("\t", "tabs"))
_MARKS = ((".", "a point, 41.5"), (",", "a comma, 41,5"))
_ORDERS = (
    (DateOrder.YEAR_FIRST.value, "year first, 2026-05-24"),
    (DateOrder.DAY_FIRST.value, "day first, 24/05/2026"),
    (DateOrder.MONTH_FIRST.value, "month first, 05/24/2026"),
)
_SECONDS = ((SecondReading.WET_BULB.value, "wet bulb"), (SecondReading.RH.value, "RH"))
_UNITS = ((TemperatureUnit.CELSIUS.value, "°C"), (TemperatureUnit.FAHRENHEIT.value, "°F"))
_CLOCKS = (
    (LoggerClock.LOCAL.value, "local, with daylight saving"),
    (LoggerClock.STANDARD.value, "local standard time all year"),
    (LoggerClock.UTC.value, "UTC"),
)
_READ_AS = (
    (ReadAs.KILN_AIR.value, "the kiln's air"),
    (ReadAs.CORE.value, "the core of the wood"),
    (ReadAs.AIR.value, "the air near the wood"),
)


class Ask(StrEnum):
    """The fields, by the part of the format they are about, in the order they stand."""

    DRY = "dry_column"
    SECOND_COLUMN = "second_column"
    SECOND = "second"
    ORDER = "date_order"
    CLOCK = "clock"
    UNIT = "temperature_unit"
    DELIMITER = "delimiter"
    MARK = "decimal_mark"


#: Fields that one question of the format leaves open.
_OPEN_BY = {
    Unsure.DRY: (Ask.DRY,),
    Unsure.SECOND: (Ask.SECOND,),
    Unsure.UNIT: (Ask.UNIT,),
    Unsure.DATE_ORDER: (Ask.ORDER,),
}


class LoggerFields:
    """Puts the fields into a form and reads them.

    Args:
        form: The form.
        changed: Called with the field once somebody changed it.
        sensor_chosen: Called once another of the sensors known was chosen.
        placed: Called once it was said where the sensor sits.
    """

    def __init__(
        self,
        form: Form,
        changed: Callable[[Ask], None],
        sensor_chosen: Callable[[], None],
        placed: Callable[[], None],
    ) -> None:
        self._form, self._changed = form, changed
        self._sensor_chosen, self._placed = sensor_chosen, placed
        look = form.appearance
        self._kind_by_heading: dict[int, Kind] = {}
        self._sensors: list[tuple[str, str]] = []
        self._choices: dict[Ask, Choices] = {
            Ask.DRY: (),
            Ask.SECOND_COLUMN: (),
            Ask.SECOND: _SECONDS,
            Ask.UNIT: _UNITS,
            Ask.ORDER: _ORDERS,
            Ask.CLOCK: _CLOCKS,
            Ask.DELIMITER: _DELIMITERS,
            Ask.MARK: _MARKS,
        }
        self._fields = {ask: ChoiceField(look, given) for ask, given in self._choices.items()}
        self.touched: set[Ask] = set()  # changed by hand
        self._filling = False
        self.sensor = ChoiceField(look, ())
        self.sensor_name = TextField(look)
        self._place = ChoiceField(look, _READ_AS)
        self._probes = ProbeColumns({}, {})
        self._was_placed = False  # said here, not only remembered
        form.pair(
            ("sensor", "Sensor", self.sensor),
            ("sensor_name", "Its name", self.sensor_name),
            ("read_as", "It reads", self._place),
        )
        form.pair(
            (Ask.DRY, DRY_STANDS_IN, self._fields[Ask.DRY]),
            (Ask.SECOND_COLUMN, "Beside it stands", self._fields[Ask.SECOND_COLUMN]),
            (Ask.SECOND, "What that is", self._fields[Ask.SECOND]),
        )
        form.pair(
            (Ask.ORDER, "Dates are written", self._fields[Ask.ORDER]),
            (Ask.CLOCK, "The logger's clock shows", self._fields[Ask.CLOCK]),
        )
        form.pair(
            (Ask.UNIT, "Temperatures in", self._fields[Ask.UNIT]),
            (Ask.DELIMITER, "Columns are divided by", self._fields[Ask.DELIMITER]),
            (Ask.MARK, "Decimals stand behind", self._fields[Ask.MARK]),
        )
        for ask, field in self._fields.items():
            field.currentIndexChanged.connect(lambda _, ask=ask: self._was_changed(ask))
        self.sensor.currentIndexChanged.connect(lambda _: self._other_sensor())
        self._place.currentIndexChanged.connect(lambda _: self._other_place())

    def enable(self, enabled: bool, *, delimiter: bool = True) -> None:
        """Let the fields be changed; of a file that cannot be read only the delimiter."""
        for ask, field in self._fields.items():
            field.setEnabled(delimiter if ask is Ask.DELIMITER else enabled)
        self.sensor.setEnabled(enabled)
        self._place.setEnabled(enabled)
        self._name_or_not()

    def fill(self, suggested: Suggestion, by_itself: LoggerFormat, probes: ProbeColumns) -> None:
        """Show a format; what was changed by hand stays."""
        self._probes = probes
        form = suggested.form
        self._filling = True
        self._offer_sensors(suggested)
        self._place.set_value(ReadAs.KILN_AIR.value if form.placed_in is None else form.placed_in.value)
        open_fields = {ask for unsure in form.to_ask for ask in _OPEN_BY[unsure]}
        if Unsure.DRY in form.to_ask and Unsure.SECOND in form.to_ask:
            open_fields.add(Ask.SECOND_COLUMN)
        columns = self._columns(form)
        self._choices[Ask.DRY] = self._choices[Ask.SECOND_COLUMN] = columns
        shown = {
            Ask.DRY: _key(form.dry_column),
            Ask.SECOND_COLUMN: _key(form.second_column),
            Ask.SECOND: "" if form.second is None else form.second.value,
            Ask.UNIT: form.temperature_unit.value,
            Ask.ORDER: form.date_order.value,
            Ask.CLOCK: form.clock.value,
            Ask.DELIMITER: form.delimiter,
            Ask.MARK: form.decimal_mark,
        }
        for ask, key in shown.items():
            if ask in self.touched and self._fields[ask].value:
                continue
            is_open = ask in open_fields or (ask is Ask.SECOND and not key)
            self._fields[ask].set_choices((OPEN, *self._choices[ask]) if is_open else self._choices[ask])
            self._fields[ask].set_value("" if is_open else key)
            self._form.rows[ask].require(ask in open_fields)
            self._form.rows[ask].set_hint(*((_TO_ANSWER, "look") if ask in open_fields else ("",)))
        self._say_where_from(suggested, by_itself, open_fields)
        self._filling = False
        self.enable(True)
        self._fields[Ask.CLOCK].setEnabled(not form.has_offset)
        self._second_or_not()

    def _offer_sensors(self, suggested: Suggestion) -> None:
        names = [(name, name) for name in suggested.sensors]
        is_offered = self.sensor.value in (*suggested.sensors, OTHER_SENSOR)
        chosen = self.sensor.value if is_offered else suggested.sensor
        self._sensors = [*names, (OTHER_SENSOR, "another name…")]
        self.sensor.set_choices(self._sensors)
        self.sensor.set_value(chosen)
        offer_words(self.sensor_name, suggested.sensors)

    def _name_by_column(self) -> None:
        """A probe goes by its column: as it was called the last time, else by the heading."""
        column = self._fields[Ask.DRY].value
        name = self._probes.names.get(int(column)) if column.isdigit() else None
        if not self._is_probe or name is None or (self.sensor.value == OTHER_SENSOR and self.sensor_text):
            return
        self._filling = True
        others = [(known, text) for known, text in self._sensors if known != name]
        self._sensors = [(name, name), *others]
        self.sensor.set_choices(self._sensors)
        self.sensor.set_value(name)
        self._filling = False
        self._name_or_not()

    def _columns(self, form: LoggerFormat) -> Choices:
        stamps = (form.stamp_column, form.time_column)
        found: list[tuple[str, str]] = []
        for number, heading in enumerate(form.headings):
            if number not in stamps:
                found.append((str(number), f"{number + 1}: {heading}" if heading else f"column {number + 1}"))
                self._kind_by_heading[number] = kind_of(heading)
        return (*found, NONE)

    def _say_where_from(self, suggested: Suggestion, by_itself: LoggerFormat, open_fields: set[Ask]) -> None:
        """Under each field that the file alone does not settle: by what it stands as it does."""
        form, rows = suggested.form, self._form.rows
        before = "as read the last time" if suggested.is_remembered else ""
        for unsure, asks in _OPEN_BY.items():
            for ask in asks:
                if ask not in open_fields and unsure in by_itself.unsure:
                    rows[ask].set_hint(before)
        if suggested.unit_by_kiln and Ask.UNIT not in self.touched:
            rows[Ask.UNIT].set_hint("the kiln's; the file does not tell")
        if form.has_offset:
            rows[Ask.CLOCK].set_hint("each stamp carries its own offset")
        elif Unsure.CLOCK in by_itself.unsure:
            rows[Ask.CLOCK].set_hint(before or "the usual one; no stamp tells: look at the times below")
        else:
            rows[Ask.CLOCK].set_hint("as the file says")

    def _was_changed(self, ask: Ask) -> None:
        if self._filling:
            return
        self.touched.add(ask)
        if self._fields[ask].value:
            self._form.rows[ask].set_hint("")
        if ask is Ask.DRY:
            self._name_by_column()
        if ask is Ask.SECOND_COLUMN:
            self._second_or_not()
            self._take_kind_from_heading()
        self._changed(ask)

    def _second_or_not(self) -> None:
        """What it is can be said only of a column there is."""
        self._dry_or_probe()
        there = self._fields[Ask.SECOND_COLUMN].value != NONE[0]
        self._fields[Ask.SECOND].setEnabled(there)
        row = self._form.rows[Ask.SECOND]
        if not there:
            row.require(False)
            row.set_hint("")

    def _dry_or_probe(self) -> None:
        """A probe shows one temperature: its column goes by that name, and nothing is asked beside it."""
        rows = self._form.rows
        rows[Ask.DRY].name = PROBE_STANDS_IN if self._is_probe else DRY_STANDS_IN
        rows[Ask.DRY].require(rows[Ask.DRY].required)
        for ask in (Ask.SECOND_COLUMN, Ask.SECOND):
            rows[ask].setVisible(not self._is_probe)

    def _take_kind_from_heading(self) -> None:
        """A column whose heading says what it is needs no question."""
        column = self._fields[Ask.SECOND_COLUMN].value
        known = {Kind.WET: SecondReading.WET_BULB, Kind.RH: SecondReading.RH}
        kind = known.get(self._kind_by_heading.get(int(column), Kind.UNKNOWN)) if column.isdigit() else None
        if kind is not None:
            self._fields[Ask.SECOND].set_value(kind.value)

    def _other_sensor(self) -> None:
        self._name_or_not()
        if self._filling:
            return
        if self.sensor.value != OTHER_SENSOR:
            self._sensor_chosen()
        elif self._is_probe:
            self._changed(Ask.DRY)  # its column may be another probe's: that is told with the preview

    def _other_place(self) -> None:
        if not self._filling:
            self._was_placed = True
            self.touched -= {Ask.DRY, Ask.SECOND_COLUMN, Ask.SECOND}
            self._placed()

    @property
    def _is_probe(self) -> bool:
        return self._place.value != ReadAs.KILN_AIR.value

    @property
    def read_as(self) -> ReadAs | None:
        """Where the sensor sits, where that was said here."""
        return ReadAs(self._place.value) if self._was_placed else None

    def _name_or_not(self) -> None:
        other = self.sensor.value == OTHER_SENSOR
        self._form.rows["sensor_name"].setVisible(other)
        self._form.rows["sensor_name"].require(other)

    @property
    def sensor_text(self) -> str:
        """The sensor's name as chosen or typed; empty where none was typed."""
        return self.sensor_name.text().strip() if self.sensor.value == OTHER_SENSOR else self.sensor.value

    @property
    def delimiter(self) -> str:
        """What divides the columns."""
        return self._fields[Ask.DELIMITER].value

    def open_questions(self) -> list[Ask]:
        """The fields that have to be answered first, in the order they stand."""
        left = [ask for ask in Ask if not self._fields[ask].value]
        if self._fields[Ask.SECOND_COLUMN].value == NONE[0] and Ask.SECOND in left:
            left.remove(Ask.SECOND)
        return left

    def answers(self) -> dict[str, Any]:
        """The parts of the format as the fields have them; open questions are left out."""
        read: dict[Ask, Callable[[str], Any]] = {
            Ask.DRY: _column,
            Ask.SECOND_COLUMN: _column,
            Ask.SECOND: SecondReading,
            Ask.UNIT: TemperatureUnit,
            Ask.ORDER: DateOrder,
            Ask.CLOCK: LoggerClock,
            Ask.MARK: str,
        }
        values = {ask: self._fields[ask].value for ask in read}
        if values[Ask.SECOND_COLUMN] == NONE[0]:
            del values[Ask.SECOND]
        told = {str(ask): read[ask](value) for ask, value in values.items() if value}
        if values[Ask.SECOND_COLUMN] == NONE[0]:
            told["second"] = None
        if self._is_probe:  # one temperature, and nothing beside it
            told |= {"second": None, "second_column": None}
        return {**told, "placed_in": ReadAs(self._place.value).placed_in}

    def focus(self, ask: Ask) -> None:
        """Put the cursor into that field."""
        self._fields[ask].setFocus()


def _key(column: int | None) -> str:
    return NONE[0] if column is None else str(column)


def _column(key: str) -> int | None:
    return None if key == NONE[0] else int(key)
