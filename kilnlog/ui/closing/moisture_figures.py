"""The big figures of a series: inside n of m first, then mean, spread and range; each asked how it came."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from kilnlog.drying.closing.figures import Limits, SeriesFigures
from kilnlog.logbook import figures
from kilnlog.logbook.close_out_words import SERIES_NAMES, between
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Computed, Text
from kilnlog.ui.look.sizes import GAP_2, Role

_HOW = (
    "Each reading is compared as it is shown, to 0.1 %; one that equals a limit lies inside.",
    "Readings above what a meter measures are counted outside and enter no other figure.",
    "The mean is the sum of the readings over their number.",
    "The spread is the standard deviation of a sample, by their number less one.",
    "Readings of meters, oven-dried pieces and sample boards are never put together.",
)


class MoistureFigures(QWidget):
    """Four figures in a row."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._series: SeriesFigures | None = None
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        self.labels: dict[str, Text] = {}
        self.figures: dict[str, Computed] = {}
        for name in ("inside", "mean", "spread", "range"):
            column = QVBoxLayout()
            column.setSpacing(GAP_2)
            label = Text("", appearance, Role.LABEL, "ink2")
            figure = Computed(appearance, Role.BIG_FIGURE)
            figure.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            figure.asked.connect(self.show_working)
            column.addWidget(label, 0, Qt.AlignmentFlag.AlignLeft)
            column.addWidget(figure, 0, Qt.AlignmentFlag.AlignLeft)
            self.labels[name], self.figures[name] = label, figure
            row.addLayout(column, 1)

    def show_series(self, series: SeriesFigures | None, limits: Limits) -> None:
        """Show them, or dashes."""
        self._series = series
        whole = series.whole if series is not None else None
        asked = between(limits.low_pct, limits.high_pct)
        count = None
        if whole is not None:
            count = f"{whole.inside} of {whole.n}" if whole.inside is not None else figures.number(whole.n)
        low, high = (whole.lowest_pct, whole.highest_pct) if whole is not None else (None, None)
        over = whole.over if whole is not None else 0
        highest = "over 30" if over else figures.mc(high)
        span = figures.span(figures.mc(low), highest) if low is not None else None
        self._show("inside", f"inside {asked}" if asked else "pieces read", count, "")
        mean = figures.number(whole.mean_pct, 2) if whole is not None and whole.mean_pct is not None else None
        # As the paper says it: a reading over the range is outside, and in no mean.
        of = f"mean of the {whole.n - over} under 30 %" if whole is not None and over else "mean"
        self._show("mean", of, mean, "%")
        spread = figures.number(whole.sd_pct, 2) if whole is not None and whole.sd_pct is not None else None
        self._show("spread", "spread, SD", spread, "")
        self._show("range", "lowest – highest", span, "%")

    def _show(self, name: str, label: str, figure: str | None, unit: str) -> None:
        self.labels[name].setText(label)
        self.figures[name].set_name(label)
        self.figures[name].set_value(figure, unit if figure is not None else "")

    def show_working(self) -> None:
        """How they came about."""
        if self._series is None:
            return
        form = Form(self.window(), self._appearance, "How it was worked out", SERIES_NAMES[self._series.kind])
        for sentence in _HOW:
            form.remark(sentence)
        form.close_only()
        form.open()
