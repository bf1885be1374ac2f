"""The page of the round: its time, its lines, and the aloud line at its foot."""

from __future__ import annotations

import re

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from kilnlog.drying.finding import Severity
from kilnlog.logbook import figures
from kilnlog.logbook.errors import TimeToCome
from kilnlog.logbook.round_sheet import LineState, RoundLine, RoundSheet
from kilnlog.logbook.wording import worded, worded_finding
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import is_wrong
from kilnlog.ui.look.labels import Text, label
from kilnlog.ui.look.page import Page, page_title
from kilnlog.ui.look.painting import MARGIN_BAR, Mark
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_12, GAP_16, Role
from kilnlog.ui.weighing_round.aloud import Aloud, Said
from kilnlog.ui.weighing_round.keeper import RoundKeeper
from kilnlog.ui.weighing_round.model import NO_LOSS, SEVERITY_MARKS
from kilnlog.ui.weighing_round.round_table import RoundTable
from kilnlog.ui.weighing_round.time_field import TimeField
from kilnlog.ui.weighing_round.typed import Typed, TypedState

_TOLD_FIRST = (TypedState.ASKED, TypedState.REFUSED, TypedState.HALF)
#: A clock may be a little ahead; a sheet cannot be.
AHEAD_H = 0.1
#: Said of a charge that came out: a weight can still be typed.
NOT_ASKED = "the kiln is unloaded: no weight is asked for"
#: A rate below this share of the limit is well under it.
WELL_UNDER = 0.6


class _FeedsKey(QWidget):
    """The key to the bar on the margin line."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self.setFixedWidth(MARGIN_BAR + GAP_8)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The bar."""
        height = self._appearance.sizes.px(Role.BODY)
        box = QRectF(0, (self.height() - height) / 2, MARGIN_BAR, height)
        QPainter(self).fillRect(box, self._appearance.tokens.colour("pencil"))


class RoundPage(Page):
    """The weighing round."""

    def __init__(self, keeper: RoundKeeper, appearance: Appearance) -> None:
        super().__init__(appearance)
        self._keeper = keeper
        self.time_field = TimeField(appearance)
        self.table = RoundTable(keeper, appearance)
        self.aloud = Aloud(appearance)
        self._count = label("", appearance, Role.BODY, "ink2")
        self._count.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._late = Text("", appearance, Role.SAID, "ink2")
        self._title = QHBoxLayout()
        self._title.setSpacing(GAP_8)
        self._title.addWidget(page_title("Weighing round", appearance))
        self._title.addSpacing(GAP_8)
        self._title.addWidget(self.time_field)
        self._title.addWidget(self._late)
        self._title.addStretch(1)
        self._title.addWidget(_FeedsKey(appearance))
        self._title.addWidget(Text("feeds the control", appearance, Role.SAID, "ink2"))
        self._title.addSpacing(GAP_12)
        self._title.addWidget(self._count)
        self.body.addLayout(self._title)
        self.body.addWidget(self.table, 1)
        self.body.addWidget(self.aloud)
        self._lay_out()
        keeper.changed.connect(self._follow)
        appearance.changed.connect(lambda: self._tell_count(keeper.sheet))  # after the label took its font
        self.time_field.chosen.connect(self._choose_time)
        self.time_field.refused.connect(self._time_unread)
        self.time_field.dropped.connect(lambda: self._time_unread(None))
        self.time_field.left.connect(self.table.setFocus)
        self.table.line_changed.connect(lambda _: self._speak())
        self._follow()

    def _lay_out(self) -> None:
        """The table lies across the margin too: its first column is the margin."""
        super()._lay_out()
        self.body.setContentsMargins(1, 1, 1, 1)
        if hasattr(self, "_title"):
            self._title.setContentsMargins(self.margin_x + GAP_12, GAP_4, GAP_16, GAP_4)

    def _follow(self) -> None:
        sheet, time = self._keeper.sheet, self._keeper.time
        if time.unread is None and is_wrong(self.time_field):
            self.time_field.drop()  # it was for the charge that was in hand
        self.time_field.show_time(self._keeper.at if sheet is not None else None)
        self._tell_count(sheet)
        self._tell_time()
        self._speak()

    def _choose_time(self, at: Moment | None) -> None:
        """Another sheet begins at its first line that waits."""
        now = self._keeper.desk.now()
        if at is not None and at.hours_since(now) > AHEAD_H:
            self.time_field.refuse(TimeToCome(at=at, now=now))
            return
        self.table.hold()  # digits in the field were typed for the time before
        self._keeper.choose_time(at)
        self.table.go_to_first_waiting()

    def _time_unread(self, error: KilnlogError | None) -> None:
        self._keeper.time_unread(error)
        self._tell_time()
        self._speak()

    def _tell_time(self) -> None:
        time = self._keeper.time
        if time.unread is not None:
            self._late.setText("no time yet")  # the line at the foot says why, where there is room for it
        elif time.lapsed is not None:
            self._late.setText("follows the clock again")
        else:
            self._late.setText("from sheet" if time.is_late else "")

    def _tell_count(self, sheet: RoundSheet | None) -> None:
        """How many are weighed, in the room for all: another width would lay out the whole window."""
        text = f"{sheet.weighed} of {sheet.to_weigh} weighed" if sheet is not None else ""
        widest = f"{sheet.to_weigh} of {sheet.to_weigh} weighed" if sheet is not None else ""
        metrics = self._count.fontMetrics()
        width = max(metrics.horizontalAdvance(text), metrics.horizontalAdvance(widest))
        self._count.setFixedSize(width, metrics.height())
        self._count.setText(text)

    def _speak(self) -> None:
        """Say what was last kept; a line in hand that is asked about or refused comes first."""
        row = self.table.row
        model = self.table.model()
        if self._keeper.time.unread is not None:
            words = worded(self._keeper.time.unread)
            self.aloud.say(Said(mark=Mark.ACT, remark=words.text))
            return
        if 0 <= row < model.rowCount():
            line = self._keeper.sheet.lines[row] if self._keeper.sheet is not None else None
            typed = self._keeper.stands(line.entity) if line is not None else None
            if line is not None and typed is not None and typed.state in _TOLD_FIRST:
                self.aloud.say(_doubted(line, typed))
                return
        last = self._keeper.line(self._keeper.last_kept) if self._keeper.last_kept else None
        if last is not None and last.state is LineState.KEPT:
            self.aloud.say(_kept(last))
        elif 0 <= row < model.rowCount() and self._keeper.sheet is not None:
            can_write = self._keeper.desk.can_write
            sheet = self._keeper.sheet
            self.aloud.say(
                _waiting(sheet.lines[row], can_write=can_write, is_out=sheet.out_since is not None)
            )
        else:
            self.aloud.say(Said())


def _waiting(line: RoundLine, *, can_write: bool, is_out: bool) -> Said:
    if not can_write and line.kept is not None:
        return _kept(line)
    if is_out and line.state is LineState.WAITING:
        return Said(line.board, remark=NOT_ASKED)
    if can_write and line.state is LineState.WAITING:
        return Said(line.board, remark="put it on the scale, type the weight, Enter")
    return Said(line.board, remark=line.place)


def _doubted(line: RoundLine, typed: Typed) -> Said:
    if typed.state is TypedState.HALF:
        return Said(line.board, ((typed.text, "not kept yet", "ink"),), Mark.LOOK, "Enter keeps it")
    weight = (figures.grouped(typed.weight), typed.weight.unit.value) if typed.weight else (typed.text, "")
    shown = ((weight[0], f"{weight[1]}, not kept yet".lstrip(", "), "ink"),)
    if typed.doubts:
        headline = worded_finding(typed.doubts[0].finding, line.unit).headline
        return Said(line.board, shown, Mark.LOOK, _first_clause(headline))
    mark = Mark.ACT if typed.state is TypedState.REFUSED else Mark.LOOK
    return Said(line.board, shown, mark, _first_clause(worded(typed.error).what) if typed.error else "")


def _kept(line: RoundLine) -> Said:
    if line.mc_pct is None:
        weight = line.kept.fact.weight if line.kept is not None else None
        shown = ((figures.grouped(weight), f"{weight.unit}, kept", "ink"),) if weight is not None else ()
        follows = "once its sections are dry" if line.has_sections else "once a section is cut and dry"
        return Said(line.board, shown, Mark.TICK, f"its moisture follows {follows}")
    worked_out = (
        (figures.mc(line.mc_pct), "% MC", "pencil"),
        (figures.rate(line.rate_pct_per_day), "% lost a day", "pencil"),
    )
    urgent = [one for one in line.findings if not one.answered and one.severity is not Severity.NOTE]
    if urgent:
        words = worded_finding(urgent[0], line.unit)
        return Said(line.board, worked_out, SEVERITY_MARKS[urgent[0].severity], words.short)
    return Said(line.board, worked_out, Mark.TICK, _steady(line))


def _steady(line: RoundLine) -> str:
    limit, rate = line.safe_rate_pct_per_day, line.rate_pct_per_day
    if rate is not None and rate < 0:
        return NO_LOSS
    if limit is None or rate is None:
        return "steady"
    under = "well under" if rate < WELL_UNDER * limit else "under"
    return f"steady, {under} {figures.trimmed(limit)}"


def _first_clause(sentence: str) -> str:
    """What fits the aloud line: the part before the first semicolon or full stop."""
    return re.split(r";|\. ", sentence, maxsplit=1)[0].rstrip(".")
