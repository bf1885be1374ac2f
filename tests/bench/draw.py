"""Moving over a million readings of the air, against the plotting library alone, in the same run."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

import numpy as np
import pyqtgraph as pg
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.drying.air.lines import logger_lines
from kilnlog.drying.air.moist_air import pressure_pa
from kilnlog.records.words import SecondReading, TemperatureUnit
from kilnlog.ui.kiln_air.air_plot import AirPlot
from kilnlog.ui.kiln_air.curve_lines import ShownAir
from kilnlog.ui.look.appearance import Appearance
from tests.bench.measured import Measured

READINGS = 1_000_000
HOLES = 20
MOVES = 120
BAR = 1.5
SEED = 20261125
SIZE = (900, 260)  # px: the panel in a window of 1366 x 768


class _Logged:
    """A logger read every minute for two years."""

    sensor = "fan side"
    temperature_unit = TemperatureUnit.FAHRENHEIT
    second_is = SecondReading.WET_BULB

    def __init__(self) -> None:
        random = np.random.default_rng(SEED)
        at_s = 1.7e9 + 60.0 * np.arange(READINGS)
        after = np.linspace(READINGS / HOLES, READINGS, HOLES, endpoint=False).astype(np.intp)
        at_s += np.searchsorted(after, np.arange(READINGS), side="right") * 7200.0
        self.at_s = at_s
        self.dry = 110 + random.normal(0, 0.2, READINGS)
        self.second = self.dry - 4 - random.uniform(0, 0.5, READINGS)


def measure(sample: Path, folder: Path) -> list[Measured]:
    """Both draw dry and wet bulb, thinned by the library's own way; ours has its scales, holes and marks."""
    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    logged = _Logged()
    (line,) = logger_lines([logged], pressure_pa(0))
    appearance = Appearance()
    appearance.apply(app)
    ours = AirPlot(appearance)
    shown = ShownAir(TemperatureUnit.FAHRENHEIT, line, None, (), False, (), False)
    begin, end = float(line.at_s[0]), float(line.at_s[-1])
    bare = pg.PlotWidget(enableMenu=False)
    bare.hideButtons()
    for values, colour in ((logged.dry, "r"), (logged.second, "b")):
        curve = bare.plot(logged.at_s, values, pen=pg.mkPen(colour, width=1), skipFiniteCheck=True)
        curve.setClipToView(True)
        curve.setDownsampling(auto=True, method="peak")
    for plot in (ours, bare):
        plot.resize(*SIZE)
        plot.show()
    ours.show_air(shown, "America/New_York", end, end, [])
    app.processEvents()
    took: dict[str, list[float]] = {"ours": [], "bare": []}
    for move in range(MOVES):  # in turn, so that a busy moment hits both
        span = (end - begin) * (0.2 + 0.8 * abs(((move * 7) % 60) / 30 - 1))
        left = begin + (end - begin - span) * (move % 13) / 12
        for name, plot in (("ours", ours), ("bare", bare)):
            took[name].append(_move(app, plot, left, left + span))
    for plot in (ours, bare):
        plot.close()
    mine, peer = (statistics.median(took[name]) for name in ("ours", "bare"))
    slowest = sorted(took["ours"])[int(MOVES * 0.95)]
    return [
        Measured(
            "moving over 1,000,000 readings of both thermometers, the bare library",
            mine / peer,
            BAR,
            "times",
            f"ours {mine:.1f} ms (19 of 20 within {slowest:.1f}), bare {peer:.1f} ms",
        )
    ]


def _move(app: QApplication, plot: QWidget, left: float, right: float) -> float:
    began = time.perf_counter()
    plot.plotItem.vb.setXRange(left, right, padding=0)  # type: ignore[attr-defined]  # pyqtgraph has no types
    plot.repaint()
    app.processEvents()
    return (time.perf_counter() - began) * 1000
