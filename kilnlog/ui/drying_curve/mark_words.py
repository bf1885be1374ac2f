"""The words of the marks on the curve (recut, withdrawn, loaded), placed clear of the lines at every zoom."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtGui import QFontMetricsF

from kilnlog.ui.drying_curve.free_places import Box, Drawn, Floats, Words, places
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

_INSET_PX = 4.0  # what a text item keeps round its words
_LEADER_FROM_PX = 14.0  # farther from its mark, a fine line leads to the words


@dataclass(frozen=True, slots=True)
class _Mark:
    at_s: float
    mc_pct: float | None  # None: at the foot of the plot
    text: str
    item: Any
    leader: Any


class MarkWords:
    """Collects the marks while the plot is drawn; ``fit`` places their words."""

    def __init__(self, plot_item: Any, appearance: Appearance, add: Callable[[Any, float], None]) -> None:
        self._plot, self._appearance, self._add = plot_item, appearance, add
        self._marks: list[_Mark] = []
        self._fixed: list[tuple[Any, str, tuple[float, float]]] = []
        self._lines: list[tuple[Floats, Floats]] = []

    def clear(self) -> None:
        """Forget them; the plot has taken its items off."""
        self._marks.clear()
        self._fixed.clear()
        self._lines.clear()

    def keep_clear_of(self, at_s: Floats, mc_pct: Floats) -> None:
        """A line no words may stand on."""
        self._lines.append((at_s, mc_pct))

    def keep_clear_of_words(self, item: Any, text: str, anchor: tuple[float, float]) -> None:
        """Words that have their own place."""
        self._fixed.append((item, text, anchor))

    def mark(self, text: str, at_s: float, mc_pct: float | None) -> None:
        """Words for a mark at an instant [UTC s] and a moisture [%], or at the foot of the plot."""
        item = pg.TextItem(text, color=self._appearance.tokens.colour("ink2"), anchor=(0, 0))
        item.setFont(self._appearance.sizes.font(Role.LABEL))
        self._add(item, 30)
        leader = pg.PlotCurveItem(pen=pg.mkPen(self._appearance.tokens.edge, width=1))
        self._add(leader, 8)
        self._marks.append(_Mark(at_s, mc_pct, text, item, leader))

    def fit(self, kept_at_top_px: float) -> None:
        """Place the words for the part of the plot that shows; its topmost pixels hold the steps' names."""
        view = self._plot.vb
        (low_s, high_s), (low_pct, high_pct) = view.viewRange()
        width, height = view.width(), view.height()
        if not (self._marks and high_s > low_s and high_pct > low_pct and width > 1 and height > 1):
            return
        per_s, per_pct = width / (high_s - low_s), height / (high_pct - low_pct)

        def x(at_s: Any) -> Any:
            return (at_s - low_s) * per_s

        def y(mc_pct: Any) -> Any:
            return (high_pct - mc_pct) * per_pct

        drawn = Drawn([(x(at_s), y(mc_pct)) for at_s, mc_pct in self._lines], width, height)
        taken = [Box(0, 0, width, kept_at_top_px)]
        for item, text, (right, down) in self._fixed:
            size = self._size(text)
            place = item.pos()
            taken.append(Box(x(place.x()) - right * size[0], y(place.y()) - down * size[1], *size))
        shown = [mark for mark in self._marks if low_s <= mark.at_s <= high_s]
        for mark in self._marks:
            mark.item.setVisible(mark in shown)
            mark.leader.setVisible(False)
        wanted = [
            Words(
                x(mark.at_s),
                height if mark.mc_pct is None else y(mark.mc_pct),
                *self._size(mark.text),
                aside=mark.mc_pct is None,
            )
            for mark in shown
        ]
        for mark, words, box in zip(shown, wanted, places(wanted, drawn, taken), strict=True):
            mark.item.setPos(low_s + box.left / per_s, high_pct - box.top / per_pct)
            self._lead(mark, words, box, per_s, per_pct)

    def boxes(self) -> Sequence[tuple[str, float, float]]:
        """The words that show, and where they begin [UTC s, %]."""
        return [
            (one.text, one.item.pos().x(), one.item.pos().y()) for one in self._marks if one.item.isVisible()
        ]

    def _lead(self, mark: _Mark, words: Words, box: Box, per_s: float, per_pct: float) -> None:
        if mark.mc_pct is None:
            return
        inner = (box.top + _INSET_PX, box.top + box.height - _INSET_PX)
        end_y = inner[1] if inner[1] < words.y else inner[0]
        if abs(end_y - words.y) < _LEADER_FROM_PX:
            return
        end_x = min(max(words.x, box.left + _INSET_PX), box.left + box.width - _INSET_PX)
        mark.leader.setData(
            np.array([mark.at_s, mark.at_s + (end_x - words.x) / per_s]),
            np.array([mark.mc_pct, mark.mc_pct - (end_y - words.y) / per_pct]),
        )
        mark.leader.setVisible(True)

    def _size(self, text: str) -> tuple[float, float]:
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        return metrics.horizontalAdvance(text) + 2 * _INSET_PX, metrics.height() + 2 * _INSET_PX
