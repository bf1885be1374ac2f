"""Typed weights in a form; one that can be read in two ways is asked about, and kept as typed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QWidget

from kilnlog.logbook.wording import worded
from kilnlog.records.errors import AmbiguousNumber
from kilnlog.records.typed_weight import weight_from_reading, weight_from_text
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form, decimal_mark
from kilnlog.ui.look.reading import Reader

UNITS = tuple((unit.value, "lb and oz" if unit is WeightUnit.LB_OZ else unit.value) for unit in WeightUnit)


def weight_in_form(weight: Weight | None, unit: WeightUnit) -> str:
    """A weight as typed, with its unit where the form's is another one."""
    if weight is None:
        return ""
    named = any(letter.isalpha() for letter in weight.text)
    return weight.text if named or weight.unit is unit else f"{weight.text} {weight.unit}"


class WeightField(TextField):
    """Remembers which of two readings its text was said to have."""

    def __init__(self, appearance: Appearance, placeholder: str = "") -> None:
        super().__init__(appearance, placeholder)
        self._read_as: dict[str, str] = {}

    def settle(self, text: str, reading: str) -> None:
        """``text`` means ``reading``."""
        self._read_as[text] = reading

    def reading_of(self, text: str) -> str | None:
        """What ``text`` was said to mean, or None where nobody was asked."""
        return self._read_as.get(text)


class WeightReader(Reader):
    """Reads weights too."""

    def __init__(self, form: Form) -> None:
        super().__init__(form)
        self._asked: tuple[WeightField, AmbiguousNumber] | None = None

    def weight(self, column: str, unit: WeightUnit, *, needed: bool = False) -> Weight | None:
        """The weight; a unit typed with it wins over ``unit``."""
        field = self._form.rows[column].field
        if not isinstance(field, WeightField):
            raise TypeError(column)

        def read(typed: str) -> Weight:
            reading = field.reading_of(typed)
            if reading is not None:
                return weight_from_reading(typed, reading, unit)
            try:
                return weight_from_text(typed, unit, decimal_mark=decimal_mark())
            except AmbiguousNumber as error:
                self._asked = self._asked or (field, error)
                raise

        return self._read(column, read, needed=needed)

    def ask_which(self, again: Callable[[], None]) -> None:
        """Ask about the first text that can be read in two ways, then do it again."""
        if self._asked is not None:
            field, error = self._asked
            WhichReading(self._form, self._form.appearance, field, error, again).open()


class WhichReading(Form):
    """Which of two readings a typed text has."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        field: WeightField,
        error: AmbiguousNumber,
        again: Callable[[], None],
    ) -> None:
        super().__init__(parent, appearance, "Which of the two?", width=460)
        self._field, self._again = field, again
        self._typed = str(error.values["typed"])
        self.remark(worded(error).what)
        readings = error.values["readings"]
        texts = [str(reading) for reading in readings] if isinstance(readings, tuple) else []
        self.choices: list[QuietButton] = []
        for reading in texts:
            shown = reading.replace(".", QLocale().decimalPoint())
            button = QuietButton(f"It is {shown}", appearance)
            button.clicked.connect(lambda _=False, reading=reading: self._choose(reading))
            button.setAutoRepeat(False)
            self.column.addWidget(button)
            self.choices.append(button)
        self.finish("Type it again", self.reject)
        if self.choices:
            self.choices[0].setFocus()

    def _choose(self, reading: str) -> None:
        self._field.settle(self._typed, reading)
        self.accept()
        self._again()
