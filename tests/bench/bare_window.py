"""The peer of the start: a bare PySide6 window with one pyqtgraph plot of one curve."""

from __future__ import annotations

import sys

import pyqtgraph
from PySide6.QtWidgets import QApplication, QMainWindow

from tests.bench.first_paint import FirstPaint


def main() -> None:
    """Show it; the process ends once the plot is painted."""
    app = QApplication(sys.argv)
    window = QMainWindow()
    plot = pyqtgraph.PlotWidget()
    plot.plot(list(range(22)), [80 - 2 * day for day in range(22)])
    window.setCentralWidget(plot)
    window.resize(1366, 768)
    watch = FirstPaint(app, lambda widget: widget is plot.viewport())
    window.show()
    sys.exit(app.exec() or watch is None)


if __name__ == "__main__":
    main()
