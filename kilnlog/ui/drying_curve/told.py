"""The curve in words: its newest figures for who cannot see the lines, and why nothing is drawn."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pyqtgraph as pg

from kilnlog.drying.figures import Assessment
from kilnlog.logbook import figures
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

NO_CHARGE = "No charge in hand: take one in the charge register."


def curve_in_words(assessment: Assessment | None) -> str:
    """The figures at the newest round."""
    if assessment is None:
        return NO_CHARGE
    if not assessment.rounds:
        return "no moisture content yet"
    newest = assessment.rounds[-1]
    shown: Mapping[str, float] = newest.mc_pct
    boards = ", ".join(f"board {label} {figures.mc(mc)} %" for label, mc in shown.items())
    return f"At {newest.at.text()}: control {figures.mc(newest.control.mc_pct)} %, {boards}"


def no_charge_item(appearance: Appearance, at_s: float, mc_pct: float) -> Any:
    """The words in place of a plot, about that instant [UTC s] and moisture [%]."""
    words = pg.TextItem(NO_CHARGE, color=appearance.tokens.colour("ink2"), anchor=(0.5, 0.5))
    words.setFont(appearance.sizes.font(Role.BODY))
    words.setPos(at_s, mc_pct)
    return words
