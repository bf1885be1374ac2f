"""A moisture meter or a probe read on a sample board: a series of its own, never averaged into the boards."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.in_kiln import in_kiln
from kilnlog.logbook.kiln_doubts import meter_doubt
from kilnlog.logbook.time_doubts import time_doubt
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import correct, write
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import MissingValue, OutOfRange
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import InstrumentKind, TemperatureUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.cautions import HOT_WOOD
from kilnlog.ui.kiln_air.terms_form import TIME_HINT
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain

WHICH = ("", "choose…")
UNITS = (("F", "°F"), ("C", "°C"))
#: Between these a temperature is one of wood in a kiln, in either unit.
_COLDEST, _HOTTEST = -60.0, 400.0


class MeterDialog(Form):
    """A new reading (``entry`` None), or one that was written down wrong."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[MeterCheck] | None = None,
    ) -> None:
        title = "A meter's reading" if entry is None else "Correct a meter's reading"
        super().__init__(parent, appearance, title, record.particulars.charge, width=560)
        self._desk, self._record, self._entry = desk, record, entry
        self._asked: tuple[MeterCheck, Moment] | None = None
        boards = [(board.entity, board.fact.board) for board in current_entries(record.board)]
        in_hand = desk.board_in_hand if entry is None else entry.fact.board
        if len(boards) > 1 and in_hand not in dict(boards):
            boards.insert(0, WHICH)  # a reading must not go to the first board because nobody looked
        meters = [
            (one.entity, one.fact.instrument)
            for one in current_entries(record.instrument)
            if one.fact.kind is InstrumentKind.METER
        ]
        most_pct = figures.trimmed(desk.reference.limit("meter_most_pct"))
        self.remark(
            f"It stands on the curve as a series of its own and goes into no board. Above {most_pct} "
            "% a meter does not measure; below, where the two disagree, either may be wrong."
        )
        self._board = ChoiceField(appearance, boards)
        self.pair(
            ("board", "Board", self._board),
            ("instrument", "Meter", ChoiceField(appearance, [("", "not said"), *meters])),
        )
        self.pair(
            ("reading_pct", "It shows, %", TextField(appearance)),
            (
                "corrected_pct",
                "Corrected, %",
                TextField(appearance),
                "By the meter's own tables; may be empty.",
            ),
        )
        self.pair(
            ("wood_temperature", "Wood's temperature", TextField(appearance)),
            ("temperature_unit", "in", ChoiceField(appearance, UNITS)),
        )
        self.add("at", "Read", TextField(appearance), TIME_HINT)
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
            self.require("reason")
        self.remark(HOT_WOOD)
        self.require("at", "board", "reading_pct")
        self.finish("Keep", self.keep)
        self._fill()
        first = "reading_pct" if self._board.value else "board"
        self.rows[first].field.setFocus()

    def _fill(self) -> None:
        if self._entry is None:
            self.set_text("at", self._desk.now().text()[:16])
            self.set_choice("board", self._desk.board_in_hand or "")
            self.set_choice("temperature_unit", in_kiln(self._record, self._desk.now()).unit)
            last = max(current_entries(self._record.meter_check), key=lambda one: one.at, default=None)
            self.set_choice("instrument", last.fact.instrument or "" if last is not None else "")
            return
        fact = self._entry.fact
        self.set_text("at", self._entry.at.text())
        self.set_choice("board", fact.board)
        self.set_choice("instrument", fact.instrument or "")
        self.set_choice("temperature_unit", fact.temperature_unit or "F")
        for column, value in (
            ("reading_pct", fact.reading_pct),
            ("corrected_pct", fact.corrected_pct),
            ("wood_temperature", fact.wood_temperature),
        ):
            self.set_text(column, plain(value))

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        at = reader.moment("at", self._record.particulars.zone, needed=True)
        reading = reader.number("reading_pct", low=0, high=1000, needed=True)
        corrected = reader.number("corrected_pct", low=0, high=1000)
        wood = reader.temperature("wood_temperature", TemperatureUnit(reader.choice("temperature_unit")))
        if wood is not None and not _COLDEST < wood[0] <= _HOTTEST:
            named, typed = "“Wood's temperature”", plain(wood[0])
            error = OutOfRange(column=named, value=typed, low=_COLDEST, high=_HOTTEST)
            reader.refuse("wood_temperature", error)
        reason = reader.text("reason", needed=True) if self._entry is not None else None
        if not self._board.value:
            reader.refuse("board", MissingValue(column="“Board”"))
        if not reader.ok or at is None or reading is None:
            return
        fact = MeterCheck(
            charge=self._record.entity,
            board=reader.choice("board"),
            reading_pct=reading,
            instrument=reader.choice("instrument") or None,
            wood_temperature=None if wood is None else wood[0],
            temperature_unit=None if wood is None else wood[1],
            corrected_pct=corrected,
        )
        if self._asks(fact, at):
            return
        labels = {board.entity: board.fact.board for board in current_entries(self._record.board)}
        saying = f"Meter {figures.trimmed(reading)} % on board {labels.get(fact.board, '')}"
        if self._entry is None:
            self.send(self._desk, write, fact, at, saying=saying)
        else:
            self.send(self._desk, correct, "meter_check", self._entry.entity, fact, reason, at, saying=saying)

    def _asks(self, fact: MeterCheck, at: Moment) -> bool:
        """Whether it is odd and asked about; the same once more is the answer."""
        if self._asked == (fact, at):
            return False
        doubts = (
            time_doubt(self._record.particulars, at, self._desk.now()),
            meter_doubt(self._record, fact, at, self._desk.reference),
        )
        told = [worded(doubt).text for doubt in doubts if doubt is not None]
        if told:
            self._asked = (fact, at)
            self.tell(" ".join(told))
        return bool(told)
