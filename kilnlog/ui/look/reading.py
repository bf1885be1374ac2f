"""Reading a form: each field is read once, what is wrong is said beside it, the text stays as typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import TypeVar

from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit

from kilnlog.logbook.errors import TimeToCome
from kilnlog.logbook.typed_time import time_from_text
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError, MissingValue, OutOfRange, UnreadableTime
from kilnlog.records.measures import thickness_mm
from kilnlog.records.moment import Moment
from kilnlog.records.typed_measure import measure_from_text
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.typed_temperature import temperature_from_text
from kilnlog.records.words import TemperatureUnit
from kilnlog.ui.look.fields import ChoiceField, Labelled
from kilnlog.ui.look.form import Form, decimal_mark

T = TypeVar("T")
#: A clock may be a little ahead [h].
AHEAD_H = 0.1


class Reader:
    """Reads the rows of one form. ``ok`` turns False with the first field that is wrong."""

    def __init__(self, form: Form) -> None:
        self._form = form
        self._wrong: list[Labelled] = []
        for row in form.rows.values():
            row.clear()
        form.tell("")

    @property
    def ok(self) -> bool:
        """Whether everything read so far is right; where not, the first wrong field gets the cursor."""
        wrong = [row for row in self._form.rows.values() if row in self._wrong]  # from the top down
        if wrong:
            self._form.go_to(wrong[0])
        return not wrong

    def text(self, column: str, *, needed: bool = False) -> str | None:
        """The text without blanks around it; None where empty."""
        row = self._form.rows[column]
        field = row.field
        if isinstance(field, QLineEdit):
            typed = field.text().strip()
        elif isinstance(field, QPlainTextEdit):
            typed = field.toPlainText().strip()
        else:
            raise TypeError(column)
        if needed and not typed:
            self._refuse(row, MissingValue(column=_quoted(row)))
        return typed or None

    def choice(self, column: str) -> str:
        """The key of the word chosen."""
        field = self._form.rows[column].field
        if not isinstance(field, QComboBox):
            raise TypeError(column)
        if isinstance(field, ChoiceField):
            return field.value
        data = field.currentData()
        return data if isinstance(data, str) else ""

    def number(
        self,
        column: str,
        *,
        low: float | None = None,
        high: float | None = None,
        needed: bool = False,
        negative: bool = False,
    ) -> float | None:
        """The number, in the machine's own decimal mark; above ``low`` and up to ``high`` where given."""
        return self._read(
            column,
            lambda typed: _within(
                _quoted(self._form.rows[column]),
                number_from_text(typed, decimal_mark=decimal_mark(), negative=negative),
                low,
                high,
            ),
            needed=needed,
        )

    def measure(
        self, column: str, units: Mapping[str, float], *, low: float, high: float, negative: bool = False
    ) -> float | None:
        """The figure in the unit of its field, whichever of ``units`` was typed behind it."""

        def read(typed: str) -> float:
            value = measure_from_text(typed, units, decimal_mark=decimal_mark(), negative=negative)
            return _within(_quoted(self._form.rows[column]), Decimal(str(value)), low, high)

        return self._read(column, read)

    def temperature(
        self, column: str, unit: TemperatureUnit, *, needed: bool = False
    ) -> tuple[float, TemperatureUnit] | None:
        """The temperature and its unit: the one typed with it, else ``unit``."""

        def read(typed: str) -> tuple[float, TemperatureUnit]:
            value, named = temperature_from_text(typed, decimal_mark=decimal_mark())
            return value, named or unit

        return self._read(column, read, needed=needed)

    def moment(self, column: str, zone: str, *, needed: bool = False) -> Moment | None:
        """``YYYY-MM-DD HH:MM`` in that zone; where a time was proposed, ``HH:MM`` is that of its day."""
        return self._read(
            column, lambda typed: time_from_text(typed, zone, self._proposed(column, zone)), needed=needed
        )

    def past_moment(self, column: str, zone: str, now: Moment, *, needed: bool = True) -> Moment | None:
        """The same of something that has happened: a time still to come is refused."""
        at = self.moment(column, zone, needed=needed)
        if at is not None and at.hours_since(now) > AHEAD_H:
            self.refuse(column, TimeToCome(at=at, now=now))
            return None
        return at

    def _proposed(self, column: str, zone: str) -> Moment | None:
        """The time that stood in the field when the form was shown."""
        proposed = self._form.by_hand.proposed(self._form.rows[column].field)
        try:
            return Moment.from_text(str(proposed or ""), zone)
        except UnreadableTime:
            return None

    def thickness(self, column: str) -> str | None:
        """A thickness that can be read, as it was typed."""

        def readable(typed: str) -> str:
            thickness_mm(typed, decimal_mark=decimal_mark())
            return typed

        return self._read(column, readable)

    def refuse(self, column: str, error: KilnlogError) -> None:
        """Refuse a field for a reason found elsewhere."""
        self._refuse(self._form.rows[column], error)

    def _read(self, column: str, read: Callable[[str], T], *, needed: bool = False) -> T | None:
        typed = self.text(column, needed=needed)
        if typed is None:
            return None
        try:
            return read(typed)
        except KilnlogError as error:
            self._refuse(self._form.rows[column], error)
            return None

    def _refuse(self, row: Labelled, error: KilnlogError) -> None:
        row.refuse(worded(error).text)
        self._wrong.append(row)


def _quoted(row: Labelled) -> str:
    """The field by the name that stands above it."""
    return f"“{row.name}”"


def _within(named: str, value: Decimal, low: float | None, high: float | None) -> float:
    """The value, if it lies above ``low`` and not above ``high``."""
    number = float(value)
    if (low is not None and number <= low) or (high is not None and number > high):
        raise OutOfRange(column=named, value=str(value), low=low or 0, high=high)
    return number


def plain(value: float | None) -> str:
    """A number as it would be typed: not grouped, which could be read in two ways, no zeros at its end."""
    if value is None:
        return ""
    return format(Decimal(repr(value)).normalize(), "f").replace(".", decimal_mark())
