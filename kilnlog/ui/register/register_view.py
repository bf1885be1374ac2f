"""The charge register: the list with its search and filters, and the particulars beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QStackedLayout, QWidget

from kilnlog.logbook.past_charges import Facet
from kilnlog.logbook.register_summary import register_summary
from kilnlog.ui.commands import Command, MenuName
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton, QuietButton
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.page import Page, page_title
from kilnlog.ui.look.sizes import GAP_8, GAP_12, Role
from kilnlog.ui.look.tabs import FilterTabs
from kilnlog.ui.past_charges.commands import OverAllCommands
from kilnlog.ui.register.charge_commands import ChargeCommands
from kilnlog.ui.register.empty import EmptyRegister
from kilnlog.ui.register.model import FILTER_NAMES, Filter, RegisterModel
from kilnlog.ui.register.narrowing import CLEAR_KEY, ChosenWords, NarrowDialog
from kilnlog.ui.register.particulars import ParticularsPage
from kilnlog.ui.register.table import RegisterTable

if TYPE_CHECKING:
    from kilnlog.ui.closing.view import CloseOutView

#: Below this width [px] the particulars do not stand beside the list at the two larger sizes.
ROOM_FOR_BOTH = 1500


class RegisterView(QWidget):
    """List at the left, particulars at the right; or the first step where there is nothing yet.

    boards_asked: sent when a charge is opened; the window brings the boards to the front.
    keys_changed: other keys work now.
    paper_asked(Paper): a paper of the charge in hand is wanted.
    """

    boards_asked = Signal()
    keys_changed = Signal()
    paper_asked = Signal(object)

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__()
        self._desk = desk
        self._appearance = appearance
        self._path = desk.path
        self._turned = False  # the particulars are in front where there is room for one page only
        self.model = RegisterModel()
        self.table = RegisterTable(self.model, appearance)
        self.search = _SearchField(appearance, self.table)
        self.filters = FilterTabs(appearance, [(key, FILTER_NAMES[key]) for key in Filter], "Show")
        self.words = ChosenWords(appearance)
        self.new_button = MainButton("New charge", appearance, "Ctrl N")
        self.copy_button = QuietButton("Copy as new…", appearance, "Ctrl Shift N")
        self.particulars = ParticularsPage(desk, appearance)
        self.charge_commands = ChargeCommands(self, desk, appearance, self.close_out)
        self.over_all = OverAllCommands(self, desk, appearance)
        self._summary = Text("", appearance, Role.SAID, "ink2")
        self.empty = EmptyRegister(desk, appearance)
        self.closing: CloseOutView | None = None  # made when something is closed out
        self._arrange()
        self._connect()
        self.renew()

    def _arrange(self) -> None:
        self._list = Page(self._appearance, inset=False)
        self._head = QHBoxLayout()
        self._head.setSpacing(GAP_12 + 6)
        self._title = page_title("Charge register", self._appearance)
        self._head.addWidget(self._title, 0, Qt.AlignmentFlag.AlignVCenter)
        self._head.addWidget(self.search, 0, Qt.AlignmentFlag.AlignVCenter)
        self._head.addStretch(1)
        self._head.addWidget(self.filters, 0, Qt.AlignmentFlag.AlignVCenter)
        self._list.body.addLayout(self._head)
        self._narrowed = QHBoxLayout()
        self._narrowed.addWidget(self.words, 1)
        self._list.body.addLayout(self._narrowed)
        self._list.body.addWidget(self.table, 1)
        self._foot = QHBoxLayout()
        self._foot.setSpacing(GAP_8)
        self._foot.addWidget(self.new_button)
        self._foot.addWidget(self.copy_button)
        self._foot.addStretch(1)
        self._foot.addWidget(self._summary)
        self._list.body.addSpacing(GAP_8)
        self._list.body.addLayout(self._foot)
        both = self._both = QWidget()
        self._row = QHBoxLayout(both)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(GAP_12)
        self._row.addWidget(self._list, 1)
        self._row.addWidget(self.particulars)
        self._pages = QStackedLayout(self)
        self._pages.addWidget(both)
        self._pages.addWidget(self.empty)
        self._fit()

    def _connect(self) -> None:
        self._desk.register_changed.connect(self.renew)
        self._desk.record_changed.connect(lambda _: self._follow())
        self._appearance.changed.connect(self._fit)
        self.search.textChanged.connect(self._search)
        self.filters.chosen.connect(self._filter)
        self.words.changed.connect(self.narrow)
        self.table.chosen.connect(self._desk.take_in_hand)
        self.table.opened.connect(lambda _: self.boards_asked.emit())
        self.model.modelReset.connect(lambda: self.table.show_in_hand(self._in_hand))
        self.particulars.boards_asked.connect(self.boards_asked)
        self.particulars.correct_asked.connect(self.charge_commands.correct)
        self.particulars.close_asked.connect(self.charge_commands.closing.close_out)
        self.particulars.lots_asked.connect(self.charge_commands.lots)
        self.new_button.clicked.connect(self.charge_commands.new)
        self.copy_button.clicked.connect(self.charge_commands.copy)
        self.empty.new_charge_asked.connect(self.charge_commands.new)
        self.table.narrow_asked.connect(self.ask_narrow)
        self.table.widen_asked.connect(lambda: self.narrow({}))
        for key, act in (("/", self._to_search), ("F4", self._turn)):
            # On the list's own page: in the close-out a slash is a letter of 4/4.
            shortcut = QShortcut(QKeySequence(key), self._both)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(act)

    @property
    def _in_hand(self) -> str | None:
        return self._desk.record.entity if self._desk.record is not None else None

    def close_out(self, lot: str | None = None) -> None:
        """Close out the charge in hand, or one lot of it, in place of the list; Esc comes back to it."""
        if self.closing is None:
            # Its pages bring numpy and much besides: the window starts without them.
            from kilnlog.ui.closing.view import CloseOutView  # noqa: PLC0415  # as above

            self.closing = CloseOutView(self._desk, self._appearance)
            self.closing.left.connect(self._leave_closing)
            self.closing.keys_changed.connect(self.keys_changed)
            self.closing.paper_asked.connect(self.paper_asked)
            self._pages.addWidget(self.closing)
        self._pages.setCurrentWidget(self.closing)
        self.closing.begin(lot)
        self.keys_changed.emit()

    @property
    def _closes_out(self) -> bool:
        return self.closing is not None and self._pages.currentWidget() is self.closing

    def _leave_closing(self) -> None:
        if self.closing is not None and self._closes_out:
            self.closing.hand.leave()
            self._pages.setCurrentIndex(1 if self.model.is_empty_logbook else 0)
            self.setFocus()
            self.focusInEvent(None)
            self.keys_changed.emit()

    def unkept(self) -> tuple[str, ...]:
        """What stands typed in the close-out that nobody kept."""
        return self.closing.unkept() if self.closing is not None else ()

    def drop_typed(self) -> bool:
        """Undo begins with what stands typed where the keys are."""
        return self._closes_out and self.closing is not None and self.closing.drop_typed()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys that work here."""
        if self.closing is not None and self._closes_out:
            return self.closing.keys()
        if self.model.is_empty_logbook:
            return self.empty.keys()
        keys = [("/", "search"), ("↑ ↓", "move"), ("Enter", "open"), ("S", "sort"), ("F", "narrow")]
        if self.model.chosen:
            keys.append((CLEAR_KEY, "show all again"))
        if self._one_at_a_time:
            keys.append(("F4", "the list" if self._turned else "particulars"))
        if self._desk.read_only is None:
            keys.append(("Ctrl N", "new charge"))
        return tuple(keys)

    def commands(self) -> tuple[Command, ...]:
        """The Charge menu, and what is to be seen over all charges."""
        return (
            *self.charge_commands.commands(),
            Command(
                MenuName.VIEW,
                "&Narrow the list…",
                self.ask_narrow,
                "Ctrl+F",
                self._has_charges,
                begins_group=True,
            ),
            *self.over_all.commands(),
        )

    def _has_charges(self) -> bool:
        return not self.model.is_empty_logbook

    def renew(self) -> None:
        """Take the register anew; the first charge comes in hand where none is."""
        if self._desk.path != self._path:
            self._path = self._desk.path  # another logbook: its own charges, and all of them
            self.model.narrow({})
            self.words.show_words((), {})
        self.model.set_lines(self._desk.lines)
        was_empty = self._pages.currentIndex() == 1
        if not self._closes_out:
            self._pages.setCurrentIndex(1 if self.model.is_empty_logbook else 0)
        if was_empty and not self.model.is_empty_logbook:
            # Else the keys would go to the search when the dialog closes.
            QTimer.singleShot(0, self.table, self.table.setFocus)
        writable = self._desk.read_only is None
        self.new_button.setVisible(writable)
        self.copy_button.setVisible(writable)
        self._count()
        if self._desk.record is None and self.model.lines:
            self._desk.take_in_hand(self.model.lines[0].entity)
        self._follow()

    def focusInEvent(self, event: object) -> None:
        """The keys go to the table, to the first step, or to what is closed out."""
        if self.closing is not None and self._closes_out:
            self.closing.page.take_keys()
            return
        (self.empty if self.model.is_empty_logbook else self.table).setFocus()

    def _follow(self) -> None:
        self.table.show_in_hand(self._in_hand)

    def ask_narrow(self) -> None:
        """Choose what the list is narrowed to."""
        if not self.model.is_empty_logbook:
            lines, chosen = self.model.searched, self.model.chosen
            NarrowDialog(self.window(), self._appearance, lines, chosen, self.narrow).open()

    def narrow(self, chosen: dict[Facet, str]) -> None:
        """Narrow the list to the charges that fit every word."""
        self.model.narrow(chosen)
        self.words.show_words(self.model.all_lines, chosen)
        if not self.words.words:
            self.table.setFocus()  # the word that had the keys is gone
        self._count()
        self.keys_changed.emit()

    def _search(self, typed: str) -> None:
        self.model.search(typed)
        self._count()

    def _filter(self, key: str) -> None:
        self.model.show_only(Filter(key))
        self._count()

    def _count(self) -> None:
        for which in Filter:
            self.filters.set_text(which, f"{FILTER_NAMES[which]} {self.model.count(which)}")
        shown = self.model.lines
        self._summary.setText(register_summary(shown, self._desk.now()) if shown else "nothing of that kind")

    @property
    def _one_at_a_time(self) -> bool:
        return self._appearance.size_name != "regular" and self.width() < ROOM_FOR_BOTH

    def _turn(self) -> None:
        """Bring the other page to the front where there is room for one only."""
        if self._one_at_a_time:
            self._turned = not self._turned
            self._share_room()
            (self.particulars.boards_button if self._turned else self.table).setFocus()
            self.keys_changed.emit()

    def _share_room(self) -> None:
        alone = self._one_at_a_time
        self._list.setVisible(not (alone and self._turned))
        self.particulars.setVisible(not alone or self._turned)
        self.particulars.spread(alone)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Room for both pages, or for one."""
        super().resizeEvent(event)
        self._share_room()

    def _to_search(self) -> None:
        self.search.setFocus()
        self.search.selectAll()

    def _fit(self) -> None:
        left = self._list.margin_x + GAP_12
        self.search.setFixedWidth(round(312 * self._appearance.sizes.px(Role.BODY) / 15))
        self._share_room()
        self._head.setContentsMargins(left - 1, GAP_8 - 2, GAP_12 + 2, 4)
        self._narrowed.setContentsMargins(left - 1, 0, GAP_12 + 2, 2)
        self._foot.setContentsMargins(left - 1, 0, GAP_12 + 2, 0)


class _SearchField(TextField):
    """Searches as you type; Down goes to the list, Esc clears and goes back to it."""

    def __init__(self, appearance: Appearance, table: QWidget) -> None:
        super().__init__(appearance, "Search number, kiln, species, owner, notes")
        self._table = table
        self.setAccessibleName("Search charges")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Down, Enter and Esc leave for the list."""
        if event.key() == Qt.Key.Key_Escape:
            QLineEdit.clear(self)
            self._table.setFocus()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._table.setFocus()
        else:
            super().keyPressEvent(event)
