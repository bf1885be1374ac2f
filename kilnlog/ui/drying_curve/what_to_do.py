"""What to do now: the findings, most urgent first, gone through by keys and answered where they stand."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.decision import Decision
from kilnlog.records.weight import WeightUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.drying_curve.answers import Answers
from kilnlog.ui.drying_curve.finding_item import FindingItem
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import Page, page_title, title_row
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, Role

HEADING = "What to do now"
HEADING_CLOSED = "How it ended"
NOTHING = "Nothing stands out. Weigh the boards when their round is due."
NOTHING_CLOSED = "This charge is closed, and nothing stood out at the end."
#: Gives the list the keys, and gives them back to the curve.
KEY = "F6"


class _Shown(NamedTuple):
    """What the items were made of: where any of it is another, they are made anew."""

    logbook: Path | None
    charge: str  # two charges may have the same findings
    found: tuple[Finding, ...]
    can_write: bool  # a charge closed meanwhile takes no answers
    today: date  # the moments are told by it


class WhatToDoPage(Page):
    """The findings of the charge in hand, in order.

    led(Finding): the operator asked to be led to what it is about. left(): Esc, back to the curve.
    """

    led = Signal(object)
    left = Signal()

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance)
        self._desk = desk
        self._items: list[FindingItem] = []
        self._in_hand: FindingItem | None = None
        self._shown: _Shown | None = None
        self._answers = Answers()
        self._before: QWidget | None = None
        self._heading = page_title(HEADING, appearance)
        self._title = title_row(self._heading, right=KeyHint(KEY, appearance))
        self._none = Wrapped("", appearance, Role.SAID, "ink2")
        self._list = QWidget()
        self._column = QVBoxLayout(self._list)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._none_row = QHBoxLayout()
        self._none_row.addWidget(self._none)
        self._column.addLayout(self._none_row)
        self._column.addStretch(1)
        area = QScrollArea()
        area.setWidget(self._list)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setStyleSheet("QScrollArea { background: transparent; }")
        area.viewport().setAutoFillBackground(False)
        self._list.setAutoFillBackground(False)
        self._area = area
        self.body.addLayout(self._title)
        self.body.addSpacing(GAP_8)
        self.body.addWidget(area, 1)
        self._lay_out()
        desk.record_changed.connect(self._record_came)
        desk.register_changed.connect(self._follow_due)
        self._follow()

    def _lay_out(self) -> None:
        """The list lies across the margin: its marks stand there."""
        super()._lay_out()
        self.body.setContentsMargins(1, 1, 1, 1)
        self.setFixedWidth(round(self._appearance.sizes.side_w * 0.9))
        if hasattr(self, "_title"):
            self._title.setContentsMargins(self.margin_x + GAP_12, GAP_8, GAP_16, 0)
            self._none_row.setContentsMargins(self.margin_x + GAP_12, GAP_8, GAP_16, 0)

    def set_foot(self, *widgets: QWidget) -> None:
        """Lay these under the list; they lie across the margin as it does."""
        for widget in widgets:
            self.body.addWidget(widget)

    def _follow_due(self) -> None:
        record = self._desk.record
        is_closed = record is not None and record.is_closed
        self._none.setText(NOTHING_CLOSED if is_closed else self._nothing())

    def _nothing(self) -> str:
        """Nothing stands out; what the register says is due next all the same."""
        record = self._desk.record
        here = record.entity if record is not None else None
        due = next((line.due for line in self._desk.lines if line.entity == here), None)
        return f"Nothing stands out. Due next: {due}." if due else NOTHING

    @property
    def items(self) -> tuple[FindingItem, ...]:
        """The findings as they stand, most urgent first."""
        return tuple(self._items)

    def stand_after(self, widget: QWidget) -> None:
        """Tab comes here from that widget."""
        self._before = widget
        self._order_tabs()

    def unkept(self) -> tuple[str, ...]:
        """The answers that stand typed and are not kept, in words."""
        return self._answers.unkept(self._desk.path)

    def take_keys(self) -> bool:
        """Give the keys to the finding last in hand, else to the first; False where there is none."""
        item = next((item for item in self._items if item is self._in_hand), None)
        item = item or next(iter(self._items), None)
        if item is not None:
            self._open_only(item)
            self._go_to(item)
        return item is not None

    def show_kind(self, kind: str) -> None:
        """Open the first finding of a kind and give it the keys."""
        for item in self._items:
            if item.finding.severity.value == kind and not item.finding.answered:
                self._open_only(item)
                self._go_to(item)
                return

    def _go_to(self, item: FindingItem) -> None:
        self._in_hand = item
        item.setFocus()
        # A finding just opened has its height once it is laid out.
        QTimer.singleShot(0, self._area, lambda: self._show_in_hand(item))

    def _show_in_hand(self, item: FindingItem) -> None:
        """From its title on where it is higher than the page; what has the keys in it shows all the same."""
        if item not in self._items:
            return
        bar, room = self._area.verticalScrollBar(), self._area.viewport().height()
        if item.height() > room or item.y() < bar.value():
            bar.setValue(item.y())
        elif item.y() + item.height() > bar.value() + room:
            bar.setValue(item.y() + item.height() - room)
        keys = self.window().focusWidget()
        if keys is not None and keys is not item and item.isAncestorOf(keys):
            self._area.ensureWidgetVisible(keys, 0, 0)

    def _move(self, item: FindingItem, by: int) -> None:
        """The one that has the keys stands open: Tab then goes on to its own answers."""
        number = self._items.index(item) + by
        there = self._items[min(len(self._items) - 1, max(0, number))]
        self._open_only(there)
        self._go_to(there)

    def _record_came(self, changes: Changes | None) -> None:
        """An answer the file holds stands typed no longer; then the list follows."""
        for entry in changes.entries if changes is not None else ():
            if isinstance(entry.fact, Decision):
                answer = self._answers.kept(self._desk.path, entry.fact)
                for item in self._items:
                    if item.answer is answer:
                        item.close_note()
        self._follow()

    def _follow(self) -> None:
        assessment, record = self._desk.assessment, self._desk.record
        found = assessment.findings if assessment is not None else ()
        closed = record is not None and record.is_closed
        self._heading.setText(HEADING_CLOSED if closed else HEADING)
        self._follow_due()
        self._none.setVisible(assessment is not None and not found)
        shown = _Shown(
            self._desk.path,
            record.entity if record is not None else "",
            found,
            self._desk.can_write,
            self._desk.now().local.date(),
        )
        if shown == self._shown:
            return
        is_same_charge = self._shown is not None and self._shown[:2] == shown[:2]
        self._shown = shown
        self._answers.renew(shown.logbook, shown.charge)
        gone, had_keys = self._items, self._item_with_keys()
        cursor = had_keys.typing_at if had_keys is not None and is_same_charge else None
        unit = weight_unit_of(record) if record is not None else None
        self._items = [self._item_of(finding, unit) for finding in found]
        for place, item in enumerate(self._items):
            self._column.insertWidget(place, item)
            item.show()  # keys go to nothing hidden, and the layout would show it later
        self._order_tabs()
        urgent = [item for item in self._items if not item.finding.answered]
        if urgent and urgent[0].finding.severity is not Severity.NOTE:
            urgent[0].set_open(True)
        self._in_hand = self._successor(gone, had_keys) if had_keys is not None else None
        if self._in_hand is not None:
            self._open_only(self._in_hand)
            self._go_to(self._in_hand)
            if cursor is not None and had_keys is not None and self._in_hand.answer is had_keys.answer:
                self._in_hand.type_on(cursor)
        else:
            # The most urgent stands first: left where it was, the list would begin amid some other finding.
            self._area.verticalScrollBar().setValue(0)
            if had_keys is not None:
                self.left.emit()
        for item in gone:
            self._column.removeWidget(item)
            item.hide()
            item.deleteLater()

    def _item_of(self, finding: Finding, unit: WeightUnit | None) -> FindingItem:
        words = worded_finding(finding, unit) if unit is not None else worded_finding(finding)
        record = self._desk.record
        charge = record.entity if record is not None else ""
        answer = self._answers.to(self._desk.path, charge, finding, words.headline)
        item = FindingItem(finding, words, answer, self._desk, self._appearance)
        item.opened.connect(self._open_only)
        item.led.connect(self.led)
        item.moved.connect(self._move)
        item.left.connect(self.left)
        return item

    def _item_with_keys(self) -> FindingItem | None:
        """The item that has the keys, in itself or its buttons, also while another window is active."""
        keys = self.window().focusWidget()
        return next((item for item in self._items if keys is item or item.isAncestorOf(keys)), None)

    def _successor(self, gone: list[FindingItem], had_keys: FindingItem) -> FindingItem | None:
        """Where the keys go on: at the same finding or, once that is answered, at what follows it."""
        about = (had_keys.finding.code, had_keys.finding.subject)
        same = next((item for item in self._items if _about(item) == about), None)
        if same is not None and same.finding.answered == had_keys.finding.answered:
            return same
        place = gone.index(had_keys)
        following = [item for item in self._items[place:] if not item.finding.answered]
        return next(iter([*following, *self._items[-1:]]), None)

    def _order_tabs(self) -> None:
        """The list after what stands before it: an item made anew would come after the whole window."""
        before = self._before
        for item in self._items:
            for stop in item.stops:
                if before is not None:
                    QWidget.setTabOrder(before, stop)
                before = stop

    def _open_only(self, chosen: FindingItem) -> None:
        for item in self._items:
            item.set_open(item is chosen)


def _about(item: FindingItem) -> tuple[str, str]:
    return item.finding.code, item.finding.subject
