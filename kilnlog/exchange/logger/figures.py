"""The figures in a logger's cells: as numbers to be checked, and as the text that is kept."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from kilnlog.records.logger_batch import number_literal
from kilnlog.records.words import TemperatureUnit

Reals = NDArray[np.float64]

#: What the record keeps where nothing was written.
NOTHING = "null"
#: Stands for a cell that holds something, but no figure.
NO_FIGURE = ""

_MOST_KEPT = 200_000  # texts; a logger of a hundredth of a degree has some ten thousand

_FIGURE = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+))\s*(?:[°º]?\s*([CFcf])|%\s*(?:[Rr][Hh])?)?", re.ASCII)
_LONGEST = 20
#: How loggers write that there was nothing to write.
_NOTHINGS = {"", "-", "--", "---", "n/a", "na", "nan", "null", "none"}
_MINUS = "\u2212"


class Figures:
    """Reads the figures of one file; each text once. A cell that names the other unit is no figure of it."""

    def __init__(self, decimal_mark: str, unit: TemperatureUnit) -> None:
        self._mark, self._unit = decimal_mark, unit
        self._known: dict[str, str] = {}

    def literals(self, cells: Sequence[str]) -> list[str]:
        """Each cell as JSON writes numbers, all decimals kept; ``NOTHING`` or ``NO_FIGURE`` where none."""
        known = self._known
        try:
            return [known[cell] for cell in cells]
        except KeyError:
            if len(known) > _MOST_KEPT:
                known.clear()
            for cell in set(cells).difference(known):
                known[cell] = self._literal(cell)
        return [known[cell] for cell in cells]

    def _literal(self, cell: str) -> str:
        text = cell.strip().replace(_MINUS, "-")
        if text.lower() in _NOTHINGS:
            return NOTHING
        if self._mark == "," and "." not in text:
            text = text.replace(",", ".")
        match = _FIGURE.fullmatch(text)
        if match is None or len(match[1]) > _LONGEST or (match[2] and match[2].upper() != self._unit.value):
            return NO_FIGURE
        return number_literal(match[1])


def values_of(literals: list[str]) -> Reals:
    """The literals as numbers; NaN where there is none."""
    try:
        return np.array(list(map(float, literals)))
    except ValueError:
        return np.array([float(each) if each not in (NOTHING, NO_FIGURE) else np.nan for each in literals])
