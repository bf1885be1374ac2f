"""The form of two figures of the air: a reading that was read, or what a kiln was set to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.air_doubts import air_doubt
from kilnlog.logbook.beside_logger import beside_logger_doubt
from kilnlog.logbook.errors import DoubtfulAir
from kilnlog.logbook.in_kiln import InKiln, in_kiln
from kilnlog.logbook.time_doubts import time_doubt
from kilnlog.logbook.typed_air import DRY, Second, TypedAir, read_air, second_of
from kilnlog.logbook.wording import worded
from kilnlog.records.air_reading import AirReading
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.set_point import SetPoint
from kilnlog.records.version import Entry
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.fields import second_title
from kilnlog.ui.kiln_air.figures_row import FiguresRow
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form, decimal_mark
from kilnlog.ui.look.reading import Reader, plain

SECOND = "second"
WHICH = "which"
TIME_HINT = "YYYY-MM-DD HH:MM"
ANYHOW = "Keep once more keeps it as it stands."


class TermsForm(Form):
    """Dry bulb, one figure beside it, and what both say, in pencil as they are typed."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[AirReading] | Entry[SetPoint] | None,
        title: str,
        time: str,
    ) -> None:
        super().__init__(parent, appearance, title, record.particulars.charge, width=560)
        self.desk, self.record, self.entry = desk, record, entry
        self.kiln: InKiln = in_kiln(record, desk.now())
        fact = entry.fact if entry is not None else None
        self.unit = self.kiln.unit if fact is None else fact.temperature_unit or self.kiln.unit
        self.proposed: Mapping[Second, str] = {}  # what may be replaced when another figure is chosen
        choices = [(one.value, second_title(one, self.unit)) for one in Second]
        self.choice = ChoiceField(appearance, choices)
        self._before = Second.WET_BULB
        self._when = (time, TextField(appearance))
        self.row = FiguresRow(appearance)
        self.asked: tuple[AirReading | SetPoint, Moment] | None = None

    def lay_terms(self, *beside_time: tuple[str, str, QWidget]) -> None:
        """The fields; ``beside_time`` stand beside the time."""
        title, when = self._when
        self.pair(("at", title, when, TIME_HINT), *beside_time)
        self.pair(
            (DRY, f"Dry bulb, °{self.unit.value}", TextField(self.appearance)),
            (SECOND, second_title(self._before, self.unit), TextField(self.appearance)),
            (WHICH, "The other figure is", self.choice),
        )
        self.column.addWidget(self.row)
        for column in (DRY, SECOND):
            field = self.rows[column].field
            if isinstance(field, TextField):
                field.textChanged.connect(lambda _: self._tell())
        self.choice.currentIndexChanged.connect(lambda _: self._choose())

    def fill(self, which: Second) -> None:
        """Put what is known into the fields."""
        self.set_text("at", self.entry.at.text() if self.entry is not None else self.desk.now().text()[:16])
        if self.entry is not None:
            fact = self.entry.fact
            which = second_of(fact) or which
            values = {
                Second.WET_BULB: fact.wet_bulb,
                Second.DEPRESSION: fact.depression,
                Second.RH: fact.rh_pct,
            }
            self.set_text(DRY, plain(fact.dry_bulb))
            self.set_text(SECOND, plain(values[which]))
        self.choice.set_value(which.value)
        self._choose()

    @property
    def second(self) -> Second:
        """What the other figure is."""
        return Second(self.choice.value)

    @property
    def typed(self) -> TypedAir:
        """What stands typed."""
        dry, second = (self._text(column) for column in (DRY, SECOND))
        return read_air(dry, second, self.second, self.unit, self.kiln.pressure_pa, decimal_mark())

    def read_terms(self, reader: Reader) -> TypedAir:
        """Read both figures; what is wrong stands at its field."""
        typed = self.typed
        for column, error in typed.wrong.items():
            reader.refuse(DRY if column == DRY else SECOND, error)
        if typed.dry_bulb is None and typed.second is None:
            reader.number(DRY, needed=True)
        return typed

    def refuse(self, error: KilnlogError) -> None:
        """The record names its own columns; here three of them share a field."""
        column = error.values.get("column")
        if column in list(Second):
            row = self.rows[SECOND]
            error.values["column"] = SECOND
            super().refuse(error)
            self.go_to(row)
        else:
            super().refuse(error)

    def _text(self, column: str) -> str:
        field = self.rows[column].field
        return field.text() if isinstance(field, TextField) else ""

    def _choose(self) -> None:
        """Another figure: its name, and its own proposal where the one before was left as proposed."""
        which = self.second
        row = self.rows[SECOND]
        row.clear()
        row.name = second_title(which, self.unit)
        row.require(row.required)
        if which in self.proposed and self._text(SECOND) == self.proposed.get(self._before, ""):
            self.set_text(SECOND, self.proposed[which])
        self._before = which
        self._tell()

    def _tell(self) -> None:
        self.row.show_air(self.typed)

    def asks(self, typed: TypedAir, fact: AirReading | SetPoint, at: Moment) -> bool:
        """Whether it is odd and asked about; the same once more is the answer."""
        if self.desk.assessment is None or self.asked == (fact, at):
            return False
        doubts = [time_doubt(self.record.particulars, at, self.desk.now()), self.doubt(typed, at)]
        if isinstance(fact, AirReading):
            doubts.append(beside_logger_doubt(self.desk.air.lines, fact.sensor, typed, at))
        told = dict.fromkeys(worded(doubt).what for doubt in doubts if doubt is not None)
        if told:
            self.asked = (fact, at)
            self.tell(" ".join((*told, ANYHOW)))
        return bool(told)

    def doubt(self, typed: TypedAir, at: Moment) -> DoubtfulAir | None:
        """What may be wrong with what stands typed."""
        desk, assessment = self.desk, self.desk.assessment
        if assessment is None:
            return None
        return air_doubt(self.without_entry(), assessment, typed, at, desk.now(), desk.reference)

    def without_entry(self) -> ChargeRecord:
        """The record without what is corrected: it is no measure of itself."""
        if self.entry is None:
            return self.record
        entity = self.entry.entity
        return replace(
            self.record,
            air_reading=tuple(line for line in self.record.air_reading if line.entity != entity),
            set_point=tuple(line for line in self.record.set_point if line.entity != entity),
        )
