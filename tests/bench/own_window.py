"""Our side of the start: the window on a logbook, until its charges are painted."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QAbstractItemView, QApplication, QWidget

from kilnlog.ui.running import run
from tests.bench.first_paint import FirstPaint


def shows_charges(widget: QWidget) -> bool:
    """Whether this is the viewport of a list that has charges to show."""
    view = widget.parentWidget()
    return isinstance(view, QAbstractItemView) and view.viewport() is widget and view.model().rowCount() > 0


def main() -> None:
    """Open it; the process ends once the charges are painted."""
    logbook, preferences = (Path(word) for word in sys.argv[1:])
    app = QApplication(sys.argv[:1])
    watch = FirstPaint(app, shows_charges)
    sys.exit(run(logbook, preferences) or watch is None)


if __name__ == "__main__":
    main()
