"""A step of the schedule was set on the kiln: what it waits for and sets, and why where it is early."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.assessment import assess
from kilnlog.drying.facts_at import facts_at
from kilnlog.drying.figures import ScheduleFigures
from kilnlog.drying.schedule import steps_of
from kilnlog.logbook.step_words import StepWords, step_words
from kilnlog.logbook.time_doubts import time_doubt
from kilnlog.logbook.typed_time import time_from_text
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import write
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.step_taken import StepTaken
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader

GOES_BACK = "It goes back: step {step} is in force. So say why it is taken again."


class StepDialog(Form):
    """Any step, the next or the due one proposed. Against the schedule it is kept only with a reason."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        schedule: ScheduleFigures,
    ) -> None:
        said = f"of {schedule.of}, {schedule.schedule}"
        super().__init__(parent, appearance, "Step taken", said, width=520)
        self._desk, self._record, self._in_force = desk, record, schedule.step
        steps = [str(step.step) for step in steps_of(facts_at(record, desk.now()))]
        self._choice = ChoiceField(appearance, [(step, _named(step, schedule)) for step in steps])
        self._choice.set_value(str(min(schedule.due or schedule.step + 1, schedule.of)))
        self.add("step", "Step", self._choice)
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
        self._choice.currentIndexChanged.connect(lambda _: self._look_again())
        when.editingFinished.connect(self._look_again)
        self.finish("Keep", self.keep)
        self.rows["reason" if self._is_early else "at"].field.setFocus()

    @property
    def _step(self) -> int:
        return int(self._choice.value)

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
            zone = self._record.particulars.zone
            at = self._meant(time_from_text(field.text(), zone, self._now))
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
        early = words.early if words is not None else ""
        if not early and self._step < self._in_force:
            early = GOES_BACK.format(step=self._in_force)
        told = (*((words.control, words.begins, words.sets) if words is not None else ("",) * 3), early)
        for said, text in zip((self._control, self._begins, self._sets, self._early), told, strict=True):
            said.setText(text)
            said.setVisible(bool(text))
        self._is_early = bool(early)
        self.rows["reason"].require(self._is_early)


def _named(step: str, schedule: ScheduleFigures) -> str:
    marks = {str(schedule.step): "in force", str(schedule.due): "due"}
    return f"{step}, {marks[step]}" if step in marks else step
