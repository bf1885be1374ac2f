"""The guided close-out: headings, the one in hand, what stands before the seal; all of it by keys."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QApplication, QHBoxLayout, QStackedWidget, QWidget
from shiboken6 import isValid

from kilnlog.logbook.close_out_steps import Before, Step
from kilnlog.ui.closing.answers import answer
from kilnlog.ui.closing.before_seal import WIDTH as BEFORE_W
from kilnlog.ui.closing.before_seal import BeforeSeal
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.pages import PAGES
from kilnlog.ui.closing.seal_page import SealPage
from kilnlog.ui.closing.step_page import StepPage
from kilnlog.ui.closing.steps_column import WIDTH as STEPS_W
from kilnlog.ui.closing.steps_column import StepsColumn
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_12, Role

#: What the page of a heading needs beside the two others, at the regular size [px].
ROOM_FOR_STEP = 740


class CloseOutView(QWidget):
    """Stands in place of the register while something is closed out.

    left(): Esc with nothing typed, or what was closed out is no longer in hand.
    keys_changed(): other keys work now.
    paper_asked(Paper): a paper of what was sealed is wanted.
    """

    left = Signal()
    keys_changed = Signal()
    paper_asked = Signal(object)

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self.desk, self._appearance = desk, appearance
        self.hand = ClosingHand(desk, self)
        self.steps = StepsColumn(appearance)
        self.before = BeforeSeal(appearance)
        self.pages: dict[Step, StepPage] = {
            step: PAGES[step](desk, self.hand, appearance) for step in Step if step in PAGES
        }
        self.stack = QStackedWidget()
        for page in self.pages.values():
            self.stack.addWidget(page)
            page.moved.connect(self.go)
            page.left.connect(self.left)
            page.keys_changed.connect(self.keys_changed)
            if (asked := getattr(page, "paper_asked", None)) is not None:
                asked.connect(self.paper_asked)
        for page in self.pages.values():
            if isinstance(page, SealPage):
                page.others = tuple(self.pages.values())
        self._before_in_front = False
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP_12)
        row.addWidget(self.steps)
        row.addWidget(self.stack, 1)
        row.addWidget(self.before)
        self._has_keys = False
        self._connect()
        self._share_room()

    def _connect(self) -> None:
        if isinstance(app := QApplication.instance(), QApplication):
            app.focusChanged.connect(self._keys_moved)
        self.hand.changed.connect(self._follow)
        self.hand.ended.connect(self._ended)
        self.steps.chosen.connect(self.show_step)
        self.before.asked.connect(self._answer)
        self._appearance.changed.connect(self._share_room)
        for keys, act in (
            ("Alt+Right", lambda: self.go(1)),
            ("Alt+Left", lambda: self.go(-1)),
            ("Alt+Down", lambda: self._move_lot(1)),
            ("Alt+Up", lambda: self._move_lot(-1)),
            ("F6", self._turn),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(act)

    @property
    def page(self) -> StepPage:
        """The page in front."""
        page = self.stack.currentWidget()
        if not isinstance(page, StepPage):
            raise TypeError(page)
        return page

    @property
    def step(self) -> Step:
        """The heading in hand."""
        return self.page.step

    @property
    def is_going(self) -> bool:
        """Whether something is being closed out."""
        return self.hand.is_going

    def begin(self, lot: str | None = None) -> None:
        """Close out the charge in hand, or one lot of it; go on at the first heading nobody answered."""
        self.hand.begin(lot)
        if self.is_going:
            first = Step.SEAL if self.hand.is_sealed else self.hand.close_out.first_open
            self.show_step(first if first in self.pages else Step.REVIEW)

    def show_step(self, step: Step) -> None:
        """Take a heading in hand."""
        if step not in self.pages:
            return
        order = list(self.pages)
        place = order.index(step)
        page = self.pages[step]
        self._bring_before(False)
        self.stack.setCurrentWidget(page)
        after = order[place + 1] if place + 1 < len(order) else None
        page.show_step(order[place - 1] if place else None, after)
        self._tell()
        page.take_keys()
        self.keys_changed.emit()

    def go(self, by: int) -> None:
        """Go back or on by so many headings."""
        order = list(self.pages)
        place = order.index(self.step) + by
        if 0 <= place < len(order):
            self.show_step(order[place])

    def _move_lot(self, by: int) -> None:
        if self.page.by_lot:
            self.hand.move_lot(by)
            self.page.take_keys()

    def _follow(self) -> None:
        if self.isVisible():
            self.page.follow()
            self._tell()
            self.keys_changed.emit()
            QTimer.singleShot(0, self, self._keep_keys)

    def _keep_keys(self) -> None:
        """What had the keyboard may be gone with what was written: the page has it then."""
        focus = self.window().focusWidget()
        if not self.isVisible():
            return
        if focus is None or not focus.isVisible() or (self._has_keys and not self.isAncestorOf(focus)):
            self.page.take_keys()

    def _keys_moved(self, old: QWidget | None, new: QWidget | None) -> None:
        """Where what had the keyboard went, Qt hands it to whatever comes first in the window."""
        if new is None or new.window() is not self.window():
            return  # a dialog has it: what had it before gets it back
        if self.isAncestorOf(new):
            self._has_keys = True
        elif old is not None and isValid(old) and old.isVisible() and old.isEnabled():
            self._has_keys = False  # somebody left
        elif self._has_keys:
            QTimer.singleShot(0, self, self._keep_keys)

    def _tell(self) -> None:
        close_out, lot = self.hand.close_out, self.hand.lot
        of = f"lot {lot.fact.lot}" if self.hand.scope is not None and lot is not None else ""
        sealed = self.hand.is_sealed
        self.steps.show_close_out(close_out, self.step, self.desk.now(), of, sealed=sealed)
        for step, button in self.steps.buttons.items():
            button.setVisible(step in self.pages)
        self.before.show_close_out(close_out, writable=self.hand.can_write, sealed=sealed)

    def _ended(self) -> None:
        self.left.emit()

    def _answer(self, one: Before, way: object) -> None:
        answer(self, one, way)

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that work here."""
        several = self.page.by_lot and len(self.hand.close_out.lots) > 1 if self.is_going else False
        lots = (("Alt ↑ ↓", "other lot"),) if several else ()
        return (
            *self.page.keys(),
            ("Alt → ←", "next step, back"),
            *lots,
            ("F6", "before the seal"),
            ("Esc", "leave"),
        )

    def unkept(self) -> tuple[str, ...]:
        """What stands typed in any page that nobody kept."""
        return tuple(words for page in self.pages.values() for words in page.unkept())

    def drop_typed(self) -> bool:
        """Undo begins with what stands typed where the keys are."""
        return self.page.drop_typed()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc drops what is typed, or leaves."""
        if event.key() == Qt.Key.Key_Escape:
            if not self.page.drop_typed():
                self.left.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: object) -> None:
        """The keys go to the page in hand."""
        self.page.take_keys()

    def _turn(self) -> None:
        """The keys go to what stands before the seal, from there to the headings, and back to the page."""
        focus = self.focusWidget()
        if focus is not None and self.before.isAncestorOf(focus):
            self._bring_before(False)
            self.steps.buttons[self.step].setFocus()
        elif focus is not None and self.steps.isAncestorOf(focus):
            self.page.take_keys()
        else:
            self._bring_before(True)
            if not self.before.take_keys():
                self._bring_before(not self._one_at_a_time)
                self.steps.buttons[self.step].setFocus()

    def _bring_before(self, in_front: bool) -> None:
        self._before_in_front = in_front
        self._share_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Room for all three pages, or for two."""
        super().resizeEvent(event)
        self._share_room()

    @property
    def _factor(self) -> float:
        return self._appearance.sizes.px(Role.BODY) / 15

    @property
    def _one_at_a_time(self) -> bool:
        return self.width() < (STEPS_W + BEFORE_W + ROOM_FOR_STEP) * self._factor

    def _share_room(self) -> None:
        self.steps.setFixedWidth(round(STEPS_W * self._factor))
        self.before.setFixedWidth(round(BEFORE_W * self._factor))
        alone = self._one_at_a_time
        shown = {
            self.before: not alone or self._before_in_front,
            self.steps: not (alone and self._before_in_front),
        }
        # What goes does so first: both at once would make the window wider.
        for page in sorted(shown, key=lambda one: shown[one]):
            page.setVisible(shown[page])
