"""Earlier charges of the same kind behind the present curve: thin, quiet, each with its number."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg

from kilnlog.logbook.earlier_curves import LaidOn
from kilnlog.ui.drying_curve.mark_words import MarkWords
from kilnlog.ui.look.appearance import Appearance

WIDTH_PX = 1
#: Behind the control line, before the ground.
Z = -20
#: The names stand at these shares of their lines, so that lines close together are told apart.
_NAMED_AT = (0.30, 0.46, 0.62, 0.38, 0.54)
#: So much of the run that is drawn [share of it] is shown ahead of it at most, for what earlier charges did.
AHEAD = 0.4


def draw_earlier(plot: Any, appearance: Appearance, laid: Sequence[LaidOn], words: MarkWords) -> None:
    """Draw them onto a plot item and have them named."""
    pen = pg.mkPen(appearance.tokens.edge, width=WIDTH_PX)
    for number, one in enumerate(laid):
        at_s, mc_pct = np.array(one.points, dtype=np.float64).T
        item = pg.PlotCurveItem(at_s, mc_pct, pen=pen, antialias=True, skipFiniteCheck=True)
        item.setZValue(Z)
        plot.addItem(item, ignoreBounds=True)
        words.keep_clear_of(at_s, mc_pct)
        named = round(_NAMED_AT[number % len(_NAMED_AT)] * (len(at_s) - 1))
        words.mark(f"earlier: {one.number}", float(at_s[named]), float(mc_pct[named]))


def shown_until_s(whole: tuple[float, float], laid: Sequence[LaidOn]) -> float:
    """Where the whole run ends with earlier charges behind it: what lies ahead of it is theirs [UTC s]."""
    begins_s, ends_s = whole
    last_s = max((one.points[-1][0] for one in laid), default=ends_s)
    return max(ends_s, min(last_s, ends_s + AHEAD * (ends_s - begins_s)))
