"""The foot of the window: what was kept last and when, and the keys that work here."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QSizePolicy, QWidget

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.buttons import KeyHint, QuietButton
from kilnlog.ui.look.labels import Text
from kilnlog.ui.look.painting import Mark, draw_mark
from kilnlog.ui.look.sizes import GAP_8, GAP_12, GAP_16, Role


class _Tick(QWidget):
    """The tick of what is kept."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self.setFixedSize(14, 14)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The tick."""
        draw_mark(QPainter(self), QRectF(self.rect()), Mark.TICK, self._appearance.tokens)


class Foot(QWidget):
    """Left: the last thing kept, or a long operation with its way out. Right: keys."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._hints: list[KeyHint] = []
        self._shown: tuple[tuple[str, str], ...] = ()
        row = QHBoxLayout(self)
        row.setContentsMargins(GAP_12 + 9, 0, GAP_16, 0)
        row.setSpacing(GAP_8 - 2)
        self._tick = _Tick(appearance)
        self._tick.hide()
        self._said = Text("", appearance, Role.TINY, "ink2")
        self._said.setAccessibleName("Last thing kept")
        self._following = Text("", appearance, Role.TINY, "ink2")
        self._following.setAccessibleName("File followed")
        self._following.hide()
        self._bar = QProgressBar()
        self._bar.setRange(0, 100)
        self._bar.setTextVisible(False)
        self._bar.setFixedSize(140, 10)
        self._bar.hide()
        self._stop = QuietButton("Stop", appearance)
        self._stop.hide()
        row.addWidget(self._tick)
        row.addWidget(self._said)
        row.addWidget(self._bar)
        row.addWidget(self._stop)
        row.addSpacing(GAP_8)
        row.addWidget(self._following)
        row.addStretch(1)
        self._keys = QHBoxLayout()
        self._keys.setSpacing(GAP_16)
        row.addLayout(self._keys)
        # What is said here must not decide how wide the window is.
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._cancel: Callable[[], None] | None = None
        self._stop.clicked.connect(self._ask_to_stop)
        appearance.changed.connect(self._dress)
        self._dress()

    def say(self, text: str, *, kept: bool) -> None:
        """Tell what happened; the tick is for what the file holds."""
        self._tick.setVisible(kept)
        self._said.setText(text)
        self._fit()
        self._said.setAccessibleDescription(text)

    @property
    def said(self) -> str:
        """What stands there now."""
        return self._said.text()

    def set_following(self, text: str) -> None:
        """What is followed all the while, beside what was kept last; nothing takes it away."""
        self._following.setText(text)
        self._following.setVisible(bool(text))
        self._following.setAccessibleDescription(text)
        self._fit()

    @property
    def following(self) -> str:
        """What is followed."""
        return self._following.text()

    def set_keys(self, keys: Sequence[tuple[str, str]]) -> None:
        """The keys of the view in front."""
        if tuple(keys) == self._shown:
            return
        self._shown = tuple(keys)
        for hint in self._hints:
            self._keys.removeWidget(hint)
            hint.hide()  # at once: the deletion waits for the event loop
            hint.deleteLater()
        self._hints = [KeyHint(caps, self._appearance, text) for caps, text in keys]
        for hint in self._hints:
            self._keys.addWidget(hint, 0, Qt.AlignmentFlag.AlignVCenter)
        self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Room for more keys, or fewer."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """Show the keys that find room, most used first; all of them stand in the menus and the help."""
        room = self.width() - 3 * GAP_16 - 2 * GAP_12 - self._said.sizeHint().width()
        if self._following.text():
            room -= self._following.sizeHint().width() + GAP_8
        for hint in self._hints:
            room -= hint.sizeHint().width() + GAP_16
            hint.setVisible(room >= 0)

    def progress(self, text: str, fraction: float, cancel: Callable[[], None]) -> None:
        """Show how far a long operation is, with the button that stops it."""
        self._cancel = cancel
        self.say(text, kept=False)
        self._bar.setValue(round(fraction * 100))
        self._bar.setAccessibleName(text)
        self._bar.show()
        self._stop.show()

    def end_progress(self) -> None:
        """The operation is over."""
        self._cancel = None
        self._bar.hide()
        self._stop.hide()

    def _ask_to_stop(self) -> None:
        if self._cancel is not None:
            self._cancel()
            self._stop.hide()

    def _dress(self) -> None:
        self.setFixedHeight(self._appearance.sizes.foot_h)
        self._fit()
