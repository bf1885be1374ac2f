"""The name of a line of the air at its right end: clear of the line, the hatching and the plot's edge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from PySide6.QtGui import QFontMetricsF

from kilnlog.ui.kiln_air.curve_lines import Reals

#: What a text item keeps round its words [px].
_INSET_PX = 8
#: Readings that are looked at for how far the words must keep away: it happens at every step of a pan.
_LOOKED_AT = 2000
_OFF = 1.1  # heights of the words from the line to their farther edge, as the item is anchored


@dataclass(frozen=True, slots=True)
class LineName:
    """One name.

    Attributes:
        item: The text item, anchored at its right end, over or under its place.
        texts: What it may say, the fullest first.
        at_s: When the line was read, up to its last reading [UTC s].
        values: What was read then.
        on_scale: Where such values are drawn.
        above: Whether the words stand over the line.
    """

    item: Any
    texts: tuple[str, ...]
    at_s: Reals
    values: Reals
    on_scale: Callable[[Reals], Reals]
    above: bool

    def place(
        self,
        shown: tuple[tuple[float, float], tuple[float, float]],
        width: float,
        height: float,
        metrics: QFontMetricsF,
        silent_until_s: float | None,
    ) -> None:
        """Stand where the line ends.

        Args:
            shown: The part of the plot that shows, as times [UTC s] and on its scale.
            width: Of the plot [px].
            height: Of the plot [px].
            metrics: Of the font of the words.
            silent_until_s: Where the last hole of the record ends [UTC s]: its hatching lies before that.
        """
        (low_s, high_s), (low, high) = shown
        per_px_s, per_px = (high_s - low_s) / max(1.0, width), (high - low) / max(1.0, height)
        end_s = float(self.at_s[-1])
        room_s = end_s - (low_s if silent_until_s is None else max(low_s, silent_until_s))
        reaches = [(metrics.horizontalAdvance(text) + _INSET_PX) * per_px_s for text in self.texts]
        number = next((n for n, reach in enumerate(reaches) if reach <= room_s), len(reaches) - 1)
        first = min(int(np.searchsorted(self.at_s, end_s - reaches[number])), len(self.at_s) - 1)
        read = self.values[first :: max(1, (len(self.at_s) - first) // _LOOKED_AT)]
        beside = self.on_scale(np.append(read[np.isfinite(read)], self.values[-1]))
        need = _OFF * (metrics.height() + _INSET_PX) * per_px
        at = min(float(beside.max()), high - need) if self.above else max(float(beside.min()), low + need)
        self.item.setText(self.texts[number])
        self.item.setPos(end_s, at)
