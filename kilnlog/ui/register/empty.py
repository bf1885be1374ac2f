"""Where there is nothing yet: one sentence in serif, one plain one, one main button with its key."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint, MainButton, QuietButton
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.page import Page
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_24, Role


class EmptyRegister(Page):
    """No logbook, or a logbook without a charge.

    new_charge_asked, new_logbook_asked: sent by the main button, by what is missing.
    logbook_asked, sample_asked: sent by the two beside it, while no logbook is open.
    """

    new_charge_asked = Signal()
    new_logbook_asked = Signal()
    logbook_asked = Signal()
    sample_asked = Signal()

    def __init__(self, desk: Desk, appearance: Appearance) -> None:
        super().__init__(appearance, inset=False)
        self._desk = desk
        self._said = Text("", appearance, Role.PAGE_TITLE, "ink")
        self._plain = Text("", appearance, Role.BODY, "ink2")
        self._button = MainButton("", appearance)
        self._hint = QWidget()
        self._hint_row = QHBoxLayout(self._hint)
        self._hint_row.setContentsMargins(0, 0, 0, 0)
        self._caps = {text: KeyHint(text, appearance) for text in ("Ctrl N", "Ctrl Alt N")}
        for cap in self._caps.values():
            self._hint_row.addWidget(cap)
        self._button.clicked.connect(self._ask)
        self._open = QuietButton("Open logbook…", appearance, "Ctrl O")
        self._sample = QuietButton("Look at the sample", appearance)
        self._open.clicked.connect(self.logbook_asked)
        self._sample.clicked.connect(self.sample_asked)
        self.setFocusProxy(self._button)
        self.body.addStretch(2)
        row = QHBoxLayout()
        row.setSpacing(GAP_8)
        row.addWidget(self._button)
        row.addWidget(self._hint)
        row.addSpacing(GAP_12)
        row.addWidget(self._open)
        row.addWidget(self._sample)
        row.addStretch(1)
        self._rows = [QHBoxLayout(), QHBoxLayout(), row]
        self._rows[0].addWidget(self._said)
        self._rows[1].addWidget(self._plain)
        for line, space in zip(self._rows, (GAP_8, GAP_24, 0), strict=True):
            self.body.addLayout(line)
            self.body.addSpacing(space)
        self.body.addStretch(3)
        desk.register_changed.connect(self.renew)
        desk.record_changed.connect(lambda _: self.renew())
        appearance.changed.connect(self._fit)
        self._fit()
        self.renew()

    def renew(self) -> None:
        """Say what is missing."""
        for button in (self._open, self._sample):
            button.setVisible(not self._desk.is_open)
        if not self._desk.is_open:
            self._tell(
                "No logbook is open.",
                "Begin a new one, a single file; open the one you keep; or try things on a sample.",
                "New logbook…",
                "Ctrl Alt N",
            )
        elif self._desk.read_only is not None:
            self._tell("This logbook holds no charge yet.", "It is open for reading only.", "", "")
        else:
            self._tell(
                "The first page is empty.",
                "Begin with a charge: what is stacked for one run of a kiln. Its sample boards come next.",
                "New charge",
                "Ctrl N",
            )

    def keys(self) -> tuple[tuple[str, str], ...]:
        """The one key, and the help."""
        return (
            (("Ctrl Alt N", "new logbook"), ("Ctrl O", "open"), ("F1", "words"))
            if not self._desk.is_open
            else (("Ctrl N", "new charge"),)
        )

    def _tell(self, said: str, plain: str, button: str, key: str) -> None:
        self._said.setText(said)
        self._plain.setText(plain)
        self._button.setText(button)
        self._button.setVisible(bool(button))
        self._button.updateGeometry()
        for text, cap in self._caps.items():
            cap.setVisible(text == key)

    def _ask(self) -> None:
        (self.new_charge_asked if self._desk.is_open else self.new_logbook_asked).emit()

    def _fit(self) -> None:
        for row in self._rows:
            row.setContentsMargins(self.margin_x + GAP_12, 0, GAP_12, 0)
            row.setAlignment(Qt.AlignmentFlag.AlignLeft)
