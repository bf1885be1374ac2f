"""A step of the schedule was set on the kiln: what it waits for and sets, and why where it is early."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import ScheduleFigures
from kilnlog.logbook.step_words import StepWords, step_words
from kilnlog.logbook.time_doubts import time_doubt
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import write
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.step_taken import StepTaken
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader


class StepDialog(Form):
    """The next step, or the one that is due. An early one is kept only with a reason."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        schedule: ScheduleFigures,
    ) -> None:
        self._step = min(schedule.due or schedule.step + 1, schedule.of)
        said = f"of {schedule.of}, {schedule.schedule}"
        super().__init__(parent, appearance, f"Step {self._step} taken", said, width=520)
        self._desk, self._record = desk, record
        self._control, self._begins, self._sets = (self.remark("") for _ in range(3))
        when = TextField(appearance)
        self.add("at", "When", when, "YYYY-MM-DD HH:MM")
        self._early = self.remark("")
        self._early.set_colour("look")
        self.add("reason", "Why", TextField(appearance))
        self.require("at")
        self._now = desk.now()
        self.set_text("at", self._now.text()[:16])
        self._is_early = False
        self._asked: Moment | None = None  # the time that was asked about
        self._tell(self._words_at(self._now))
        when.editingFinished.connect(self._look_again)
        self.finish("Keep", self.keep)
        self.rows["reason" if self._is_early else "at"].field.setFocus()

    @property
    def sentences(self) -> tuple[str, ...]:
        """What stands over the fields, and the warning."""
        return tuple(text.text() for text in (self._control, self._begins, self._sets, self._early))

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        at = self._meant(reader.moment("at", self._record.particulars.zone, needed=True))
        if at is not None:
            self._tell(self._words_at(at))
        reason = reader.text("reason", needed=self._is_early)
        if not reader.ok or at is None:
            return
        fact = StepTaken(self._record.entity, self._step, reason)
        if self._asks(at):
            return
        self.send(self._desk, write, fact, at, saying=f"Step {self._step} taken")

    def _asks(self, at: Moment) -> bool:
        """Whether the time is odd and asked about; the same once more is the answer."""
        doubt = None if self._asked == at else time_doubt(self._record.particulars, at, self._desk.now())
        if doubt is not None:
            self._asked = at
            self.tell(worded(doubt).text)
        return doubt is not None

    def _look_again(self) -> None:
        """A step taken earlier is judged by the moisture of then."""
        field = self.rows["at"].field
        if not isinstance(field, TextField):
            return
        try:
            at = self._meant(Moment.from_text(field.text().strip(), self._record.particulars.zone))
        except KilnlogError:
            return  # said when it is to be kept
        if at is not None:
            self._tell(self._words_at(at))

    def _meant(self, at: Moment | None) -> Moment | None:
        """Left as proposed it is now, to the second: the weights that made the step due are not after it."""
        return self._now if at is not None and at.text()[:16] == self._now.text()[:16] else at

    def _words_at(self, at: Moment) -> StepWords | None:
        return step_words(self._record, assess(self._record, self._desk.reference, at), self._step)

    def _tell(self, words: StepWords | None) -> None:
        told = (words.control, words.begins, words.sets, words.early) if words is not None else ("",) * 4
        for said, text in zip((self._control, self._begins, self._sets, self._early), told, strict=True):
            said.setText(text)
            said.setVisible(bool(text))
        self._is_early = words is not None and bool(words.early)
        self.rows["reason"].require(self._is_early)
