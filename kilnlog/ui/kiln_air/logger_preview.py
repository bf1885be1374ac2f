"""What a logger's file would give, shown before anything of it is kept."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFocusEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kilnlog.exchange.logger.format import LoggerFormat
from kilnlog.logbook import figures
from kilnlog.logbook.logger_settings import ProbeColumns, ReadAs, Suggestion, probe_columns, suggestion
from kilnlog.logbook.session import Logbook
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment
from kilnlog.records.words import ProbePlace, SecondReading
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.painting import draw_focus_ring
from kilnlog.ui.look.ruled import Cell, RuledTable
from kilnlog.ui.look.sizes import GAP_4, Role

if TYPE_CHECKING:
    from kilnlog.exchange.logger.preview import Preview, PreviewRow

#: Said while a question is open.
AS_SUGGESTED = "Until everything is chosen, this is how it would most likely be read."
#: Said of a probe's file.
AS_PROBE = "A probe’s readings are kept for the heat of the wood, and not drawn as the kiln’s air."
#: So many rows show whether the columns are the right ones.
SAMPLE_ROWS = 3
_WHEN = "Taken at"
_PLACES = {ProbePlace.CORE: "Core of the wood", ProbePlace.AIR: "Air near the wood"}


@dataclass(frozen=True, slots=True)
class Recognised:
    """A file as it shows itself, and as it would be read by all that is known."""

    by_itself: LoggerFormat
    suggested: Suggestion
    columns: ProbeColumns


def recognised(
    book: Logbook,
    charge: str,
    source: Path,
    delimiter: str | None,
    sensor: str | None,
    read_as: ReadAs | None = None,
) -> Recognised:
    """Recognise a file by a sample of it, on the thread of the logbook; raises as ``recognise_file``."""
    from kilnlog.exchange.logger.recognise import recognise_file  # noqa: PLC0415  # loads numpy, on the worker

    by_itself = recognise_file(source, delimiter)
    suggested = suggestion(book, charge, by_itself, sensor, read_as)
    return Recognised(by_itself, suggested, probe_columns(book, charge, by_itself, source.name))


def previewed(source: Path, form: LoggerFormat, zone: str) -> Preview:
    """What the file gives when read so, by its two ends; meant for the worker."""
    from kilnlog.exchange.logger.preview import preview  # noqa: PLC0415  # loads numpy, on the worker

    return preview(source, form, zone)


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence about what was previewed; a ``doubt`` is to be looked at before it is kept."""

    text: str
    is_doubt: bool = False


def span_text(found: Preview) -> str:
    """The first and the last stamp as they would be kept, in the charge's zone."""
    if found.first is None or found.last is None:
        return "No row can be read so."
    first, last = (figures.weekday_date_and_time(each) + _offset(each) for each in (found.first, found.last))
    return f"First reading {first}; last reading {last}; clock of {found.first.zone}."


def _offset(moment: Moment) -> str:
    """The offset, where the clock showed this time twice."""
    plain = moment.local.strftime("%Y-%m-%d %H:%M:%S" if moment.local.second else "%Y-%m-%d %H:%M")
    return moment.text().removeprefix(plain)


def remarks(found: Preview, form: LoggerFormat, charge: Charge, now: Moment) -> tuple[Remark, ...]:
    """What is odd about it: nothing to be read, readings to come, readings from outside the charge's time."""
    told: list[Remark] = []
    if form.placed_in is not None:
        told.append(Remark(AS_PROBE))
    if found.first is None or found.last is None:
        told.append(Remark("Look at the columns, the delimiter and the order of the date.", is_doubt=True))
        return tuple(told)
    if found.last > now:
        told.append(
            Remark(
                f"The last reading would be {figures.duration(found.last.hours_since(now))} from now: "
                "look at the order of the date and at the clock.",
                is_doubt=True,
            )
        )
    for moment, hours, word in (
        (charge.loaded_at, _hours(found.first, charge.loaded_at, found.last), "before the kiln was loaded"),
        (
            charge.unloaded_at,
            _hours(charge.unloaded_at, found.last, found.first),
            "after the kiln was unloaded",
        ),
    ):
        if moment is not None and hours > 0:
            many = _about(hours, form)
            told.append(Remark(f"{many} from {word} ({moment.text()}); kept with the others."))
    if found.set_aside:
        rows = figures.count(found.set_aside, "row")
        told.append(Remark(f"Of the rows looked at, {rows} would be set aside, with the reason told."))
    return tuple(told)


def read_twice(form: LoggerFormat, columns: ProbeColumns, sensor: str) -> tuple[Remark, ...]:
    """That a probe's column was read already under another name."""
    column = form.dry_column
    if form.placed_in is None or column is None:
        return ()
    others = [name for name in columns.read.get(column, ()) if name != sensor]
    if not others or sensor in columns.read.get(column, ()):
        return ()
    named = " and ".join(f"“{name}”" for name in others)
    return (
        Remark(
            f"Column {column + 1} of this file was read already as {named}: kept again it would stand there "
            "as two probes. Choose the other probe's column, or that name.",
            is_doubt=True,
        ),
    )


def _hours(begin: Moment | None, end: Moment | None, bound: Moment) -> float:
    """How much of the file lies between two moments; ``bound`` is its other end."""
    if begin is None or end is None or begin >= end:
        return 0.0
    inside = min(end, bound) if bound > begin else end
    return max(0.0, max(inside, begin).hours_since(begin))


def _about(hours: float, form: LoggerFormat) -> str:
    if form.interval_s is None:
        return f"Readings of {figures.duration(hours)} are"
    return f"About {figures.count(max(1, round(hours * 3600 / form.interval_s)), 'reading')} are"


class PreviewPart(QWidget):
    """First and last stamp, some rows, and what is odd about them."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_4)
        self._appearance = appearance
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)  # so that the keys reach what stands below the edge
        self.setAccessibleName("As it would be kept")
        self.span = Wrapped("", appearance, Role.BODY, "ink")
        self.table = RuledTable(
            appearance, (_WHEN, "Dry bulb"), "Rows as they would be kept", in_margin=False
        )
        column.addWidget(self.span)
        self._remarks = QVBoxLayout()  # before the rows: what is doubtful stays in sight at any text size
        self._remarks.setSpacing(GAP_4)
        column.addLayout(self._remarks)
        column.addWidget(self.table)

    def show_preview(self, found: Preview, form: LoggerFormat, odd: tuple[Remark, ...]) -> None:
        """Show what was found."""
        self.span.setText(span_text(found))
        headings = _headings(form)
        rows = [_cells(row)[: len(headings)] for row in found.first_rows[:SAMPLE_ROWS]]
        self.table.set_rows(rows, headings)
        self.say(odd)
        self.setAccessibleDescription(self.told)

    def forget(self) -> None:
        """Nothing can be read as the fields stand: what was shown before is not what would be kept."""
        self.span.setText("")
        self.table.set_rows([])
        self.say(())
        self.setAccessibleDescription("")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ring where the focus is."""
        if self.hasFocus():
            draw_focus_ring(QPainter(self), QRectF(self.rect()), self._appearance.tokens)

    def say(self, odd: tuple[Remark, ...]) -> None:
        """These remarks and no others."""
        while (item := self._remarks.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for remark in odd:
            role, colour = (Role.BODY, "look") if remark.is_doubt else (Role.SAID, "ink2")
            self._remarks.addWidget(Wrapped(remark.text, self._appearance, role, colour))

    @property
    def told(self) -> str:
        """All the sentences, for who reads them one after the other."""
        items = (self._remarks.itemAt(number) for number in range(self._remarks.count()))
        widgets = (item.widget() for item in items if item is not None)
        odd = [widget.text() for widget in widgets if isinstance(widget, Wrapped)]
        return " ".join([self.span.text(), *odd])


def _headings(form: LoggerFormat) -> tuple[str, ...]:
    unit = f"°{form.temperature_unit}"
    if form.placed_in is not None:
        return (_WHEN, f"{_PLACES[form.placed_in]}, {unit}")
    second = {SecondReading.WET_BULB: f"Wet bulb, {unit}", SecondReading.RH: "RH, %", None: "Beside it"}
    return (_WHEN, f"Dry bulb, {unit}", second[form.second])


def _cells(row: PreviewRow) -> tuple[Cell, Cell, Cell]:
    dry, second = (figures.EMPTY if text is None else text for text in (row.dry, row.second))
    return Cell(row.at.text()), Cell(dry), Cell(second)
