"""The page of one heading: a title line with the lot in front, what is asked, and the way on at its foot."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLayout, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.close_out_words import TITLES
from kilnlog.logbook.register_words import OWN_STOCK
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry
from kilnlog.ui.closing.elided import Elided
from kilnlog.ui.closing.hand import ClosingHand
from kilnlog.ui.closing.line_keeper import Within
from kilnlog.ui.closing.lot_tabs import LotTabs
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import MainButton, QuietButton
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.page import Page, page_title
from kilnlog.ui.look.sizes import GAP_4, GAP_8, GAP_12, Role


class StepPage(Page):
    """One heading. A page names its ``step`` and fills ``body`` by ``add``; ``renew`` shows what stands.

    ``renew`` is called whenever the record or the lot in front is new, while the page is in front. What the
    operator writes goes by ``write``: a refusal is then told on the page. What stands typed and unkept is the
    page's own to remember, by lot: the lot, the charge and the page in front may change at any time.

    moved(int): back (-1) or on (+1) to another heading.
    left(): Esc with nothing typed, from a field that keeps Esc to itself.
    keys_changed(): other keys work now.
    """

    step: ClassVar[Step]
    by_lot: ClassVar[bool] = True  # whether it is gone through lot by lot

    moved = Signal(int)
    left = Signal()
    keys_changed = Signal()

    def __init__(self, desk: Desk, hand: ClosingHand, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self.desk, self.hand, self.appearance = desk, hand, appearance
        self._indented: list[tuple[QLayout, int, int]] = []
        self.title = page_title(TITLES[self.step], appearance)
        self.of_lot = Elided(appearance, Role.SAID, "ink2")
        self.at_right = Elided(appearance, Role.BODY, "ink", least_w=280)
        self.lots = LotTabs(hand, appearance)
        head = QHBoxLayout()
        head.setSpacing(GAP_12 + 6)
        head.addWidget(self.title, 0, Qt.AlignmentFlag.AlignVCenter)
        head.addWidget(self.of_lot)
        head.addStretch(1)
        head.addWidget(self.lots, 0, Qt.AlignmentFlag.AlignVCenter)
        head.addWidget(self.at_right)
        self.add_layout(head, above=GAP_8 + 2, below=GAP_4)
        self._wrong = Wrapped("", appearance, Role.BODY, "act")
        self._wrong.hide()
        self.buttons = QHBoxLayout()
        self.buttons.setSpacing(GAP_8)
        self.back = QuietButton("Back", appearance, "Alt ←")
        self.next = MainButton("Next", appearance, "Alt →")
        self.back.clicked.connect(lambda: self.moved.emit(-1))
        self.next.clicked.connect(lambda: self.moved.emit(1))
        appearance.changed.connect(self._indent)

    def add(self, widget: QWidget, stretch: int = 0, *, in_margin: bool = False) -> None:
        """Put a widget on the page, on its text edge; or ``in_margin``, from the page's very edge."""
        if in_margin:
            self.body.addWidget(widget, stretch)
            return
        row = QHBoxLayout()
        row.addWidget(widget)
        self.add_layout(row, stretch)

    def add_layout(self, layout: QLayout, stretch: int = 0, above: int = 0, below: int = 0) -> None:
        """Put a layout on the page, on its text edge."""
        self._indented.append((layout, above, below))
        self.body.addLayout(layout, stretch)
        self._indent()

    def finish(self, *others: QWidget) -> None:
        """The line of what was refused and the foot, below all that was added: others, then the way on."""
        self.add(self._wrong)
        for other in others:
            self.buttons.addWidget(other)
        self.buttons.addStretch(1)
        self.buttons.addWidget(self.back)
        self.buttons.addWidget(self.next)
        self.add_layout(self.buttons, above=GAP_8)

    def _indent(self) -> None:
        left = self.margin_x + GAP_12 - 1
        for layout, above, below in self._indented:
            layout.setContentsMargins(left, above, GAP_12 + 2, below)

    @property
    def lot(self) -> Entry[Lot] | None:
        """The lot in front."""
        return self.hand.lot

    def show_step(self, before: Step | None, after: Step | None) -> None:
        """Come to the front, between these two headings."""
        self.back.setVisible(before is not None)
        self.next.setVisible(after is not None)
        if after is not None:
            self.next.setText(f"Next: {TITLES[after].lower()}")
            self.next.updateGeometry()
        self.follow()

    def follow(self) -> None:
        """Show what stands now."""
        self.set_sealed(not self.hand.can_write)
        lot = self.lot if self.by_lot else None
        self.of_lot.setText(lot_words(lot.fact) if lot is not None else "")
        self.lots.setVisible(self.by_lot and len(self.hand.close_out.lots) > 1)
        self.lots.follow()
        self.renew()

    def renew(self) -> None:
        """Show the record as it stands; the lot in front may be another."""
        raise NotImplementedError

    def take_keys(self) -> None:
        """The keyboard goes to where one begins."""
        self.next.setFocus()

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The keys of this page, most used first; those of the close-out come after them."""
        return ()

    def unkept(self, within: Within = ()) -> tuple[str, ...]:
        """What stands typed that nobody kept, in words; of other lots and charges too, or ``within`` one."""
        return ()

    def forget(self, within: Within) -> None:
        """Give up what stands typed there: it was sealed without."""

    def drop_typed(self) -> bool:
        """Drop what stands typed where the keys are; whether there was any. Esc and undo begin with it."""
        return False

    def write(
        self,
        verb: Callable[..., Changes],
        *arguments: Any,
        saying: str,
        done: Callable[[Changes], None] | None = None,
        failed: Callable[[KilnlogError], None] | None = None,
    ) -> None:
        """Run a verb; a refusal stands on this page while its charge is in hand, else across the window."""
        self.tell("")
        charge = self.hand.record.entity

        def refused(error: KilnlogError) -> None:
            if failed is not None:
                failed(error)
            record = self.desk.record
            if self.isVisible() and record is not None and record.entity == charge:
                if failed is None:
                    self.tell(worded(error).text)
            else:
                self.desk.refused.emit(error)

        self.desk.do(verb, *arguments, saying=saying, done=done, failed=refused)

    def tell(self, text: str) -> None:
        """A sentence above the foot; an empty one takes it away."""
        self._wrong.setText(text)
        self._wrong.setVisible(bool(text))

    @property
    def told(self) -> str:
        """What stands above the foot."""
        return "" if self._wrong.isHidden() else self._wrong.text()


def lot_words(lot: Lot) -> str:
    """``lot A, 4/4 cherry, Rowan Joinery, 380 bf``."""
    what = " ".join(part for part in (lot.thickness, lot.species) if part)
    volume = figures.volume(lot.volume, lot.volume_unit) if lot.volume is not None else ""
    parts = (f"lot {lot.lot}", what, lot.owner or OWN_STOCK, volume)
    return ", ".join(part for part in parts if part)
