"""What heat the probes are asked for: from a publication, its standing shown, or as typed."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.heat import minutes_from
from kilnlog.logbook.heat_words import OWN_RECORD, minutes_words, published_words
from kilnlog.logbook.writing import change, write
from kilnlog.records.errors import KilnlogError
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.version import Entry
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.heat import HeatThreshold, heat_thresholds
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain

_TYPED = "typed"


class HeatChoiceForm(Form):
    """Choosing a publication fills the fields, which stay open to be typed over."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        charge: str,
        stood: Entry[HeatChoice] | None,
        unit: TemperatureUnit,
    ) -> None:
        super().__init__(parent, appearance, "Ask of the probes", width=600)
        self._desk, self._charge, self._stood, self._unit = desk, charge, stood, unit
        self._rows = heat_thresholds()
        choices = [(str(number), _shown(row)) for number, row in enumerate(self._rows)]
        self.published = ChoiceField(appearance, [*choices, (_TYPED, "another, as typed below")])
        self.add("published", "Asked for by", self.published)
        self._about = self.remark("")
        self.pair(
            ("at_least", "At least", TextField(appearance, "56 °C")),
            ("for_minutes", "For how long", TextField(appearance, "30 min")),
        )
        self.add("limits_from", "Taken from", TextField(appearance, "the publication, or the order"))
        self.pair(
            ("agency", "Agency, if you have an agreement", TextField(appearance)),
            ("agreement", "Number of the agreement", TextField(appearance)),
        )
        self.add("note", "Note", TextField(appearance))
        self.remark(OWN_RECORD)
        self.require("at_least", "for_minutes")
        self.published.currentIndexChanged.connect(lambda _: self._fill())
        if stood is None:
            self._fill()
        else:
            self._show(stood.fact)
        self.finish("Keep", self.keep)

    @property
    def about(self) -> str:
        """What is said of the publication chosen."""
        return self._about.text()

    def _row(self) -> HeatThreshold | None:
        value = self.published.value
        return None if value == _TYPED else self._rows[int(value)]

    def _fill(self) -> None:
        row = self._row()
        self._about.setText(published_words(row) if row is not None else "")
        self._about.setVisible(row is not None)
        if row is not None:
            self.set_text("at_least", f"{plain(row.at_least)} °{row.temperature_unit.value}")
            self.set_text("for_minutes", minutes_words(row.for_minutes))
            self.set_text("limits_from", f"{row.purpose}: {row.source}")

    def _show(self, fact: HeatChoice) -> None:
        same = (
            str(number)
            for number, row in enumerate(self._rows)
            if (row.at_least, row.temperature_unit, row.for_minutes)
            == (fact.at_least, fact.temperature_unit, fact.for_minutes)
            and fact.limits_from == f"{row.purpose}: {row.source}"
        )
        self.published.set_value(next(same, _TYPED))
        self._fill()
        self.set_text("at_least", f"{plain(fact.at_least)} °{fact.temperature_unit.value}")
        self.set_text("for_minutes", f"{plain(fact.for_minutes)} min")
        for column in ("limits_from", "agency", "agreement", "note"):
            self.set_text(column, getattr(fact, column) or "")

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        read = reader.temperature("at_least", self._unit, needed=True)
        minutes = None
        duration = reader.text("for_minutes", needed=True)
        try:
            minutes = minutes_from(duration) if duration is not None else None
        except KilnlogError as error:
            reader.refuse("for_minutes", error)
        if not reader.ok or read is None or minutes is None:
            return
        fact = HeatChoice(
            self._charge,
            read[0],
            read[1],
            minutes,
            reader.text("limits_from"),
            reader.text("agency"),
            reader.text("agreement"),
            reader.text("note"),
        )
        degrees = f"{figures.trimmed(fact.at_least)} °{fact.temperature_unit.value}"
        saying = f"The probes are asked for {degrees}, {minutes_words(minutes)}"
        if self._stood is None:
            self.send(self._desk, write, fact, saying=saying)
        elif fact == self._stood.fact:
            self.accept()
        else:
            self.send(
                self._desk,
                change,
                "heat_choice",
                self._stood.entity,
                fact,
                self._desk.now(),
                None,
                saying=saying,
            )


def _shown(row: HeatThreshold) -> str:
    degrees = f"{figures.trimmed(row.at_least)} °{row.temperature_unit.value}"
    return f"{row.purpose}: {degrees}, {minutes_words(row.for_minutes)}"
