"""What is drawn on the plot, layer over layer: ground, steps, target, control, boards, marks, the present."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtGui import QFontMetricsF

from kilnlog.drying.air.lines import AirLine
from kilnlog.drying.figures import Assessment
from kilnlog.logbook import figures
from kilnlog.ui.drying_curve.axes import Ground, MoistureAxis
from kilnlog.ui.drying_curve.mark_words import MarkWords
from kilnlog.ui.drying_curve.series import (
    BoardSeries,
    Floats,
    MeterSeries,
    StepSpan,
    control_series,
    seconds,
    tinted,
)
from kilnlog.ui.drying_curve.styles import CONTROL_W, FEEDS_W, MARKER_PX, OTHERS_W, style_of
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

EMC_WORDS = "EMC, what the air would leave in the wood"
_DAY_S = 86400.0
_MARKERS_APART_PX = 14
METER_PX = 9
_MARK_TICK = 0.024  # half the height of a recut's tick, as a share of the moisture scale
#: Readings of the air that words keep clear of.
_CLEAR_OF = 400


class Layers:
    """Draws an assessment onto a plot item, and fits what depends on the zoom."""

    def __init__(self, plot_item: Any, appearance: Appearance) -> None:
        self._plot = plot_item
        self._appearance = appearance
        self._series: Sequence[BoardSeries] = ()
        self._markers: dict[str, Any] = {}
        self._step_names: list[tuple[StepSpan, Any]] = []
        self._now: Any = None
        self._hairline: Any = None
        self._emc_name: Any = None
        self.words = MarkWords(plot_item, appearance, self._add)
        self._top_pct = 100.0
        self._whole = (0.0, 1.0)

    def clear(self) -> None:
        """Take everything off."""
        self._plot.clear()
        self._markers.clear()
        self._step_names.clear()
        self.words.clear()
        self._now = None
        self._hairline = self._emc_name = None

    def draw(
        self,
        assessment: Assessment,
        series: Sequence[BoardSeries],
        spans: Sequence[StepSpan],
        whole: tuple[float, float],
        top_pct: float,
        axis: MoistureAxis,
    ) -> None:
        """Draw it all.

        Args:
            assessment: What is drawn.
            series: The boards shown.
            spans: The steps as they were taken.
            whole: Beginning and end of the run [UTC s].
            top_pct: The top of the moisture scale [%].
            axis: Whose ticks the rules stand at.
        """
        tokens = self._appearance.tokens
        self._series, self._top_pct, self._whole = series, top_pct, whole
        ground = Ground(axis)
        ground.set_look(pg.mkPen(tokens.rule), pg.mkBrush(tokens.step_b), tinted(list(spans), whole[1]))
        self._add(ground, -100)
        self._draw_steps(spans)
        self._draw_targets(assessment, whole[0])
        self._draw_control(assessment)
        for one in series:
            self._draw_board(one)
        self._draw_loading(assessment, spans)
        self._draw_now(assessment, whole[1])

    def draw_emc(self, lines: Sequence[AirLine]) -> None:
        """What the air would leave in the wood, in the unit of the moisture it pulls down.

        Where the air would leave it wetter than the scale reaches (a cold kiln) the line leaves the plot.
        """
        pen = pg.mkPen(self._appearance.tokens.pencil, width=1)
        named = False
        for line in lines:
            known = np.flatnonzero(np.isfinite(line.emc_pct))
            if not len(known):
                continue
            curve = self._plot.plot(line.at_s, line.emc_pct, pen=pen, connect="finite")
            # Only once it is on the plot: the plot sets both anew for what is added to it.
            curve.setClipToView(True)
            curve.setDownsampling(auto=True, method="peak")
            curve.setZValue(-8)
            few = known[:: max(1, len(known) // _CLEAR_OF)]  # it is gone through at every step of a pan
            self.words.keep_clear_of(line.at_s[few], line.emc_pct[few])
            if not named:
                named = True
                first = int(known[min(len(known) - 1, len(known) // 12)])
                level = float(np.nanmedian(line.emc_pct[known[: max(2, len(known) // 3)]]))
                self._emc_name = self._write(
                    EMC_WORDS, float(line.at_s[first]), level, "pencil", anchor=(0, 1)
                )

    def _name_emc(self) -> None:
        """The name alone where the explanation would run out of the plot."""
        if self._emc_name is None:
            return
        low, high = self._plot.vb.viewRange()[0]
        from_s = float(self._emc_name.pos().x())
        room = self._plot.vb.width() * (high - from_s) / (high - low) if high > low else 0.0
        width = QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).horizontalAdvance(EMC_WORDS)
        self._emc_name.setText(EMC_WORDS if width + 8 <= room else EMC_WORDS.partition(",")[0])

    def draw_meter(self, meter: MeterSeries) -> None:
        """Crosses of their own; the words stand by the newest, the others can be told by their place."""
        if not len(meter.at_s):
            return
        pen = pg.mkPen(self._appearance.tokens.ink, width=1.4)
        crosses = pg.ScatterPlotItem(meter.at_s, meter.mc_pct, symbol="x", size=METER_PX, pen=pen, brush=None)
        self._add(crosses, 11)
        self.words.mark(meter.words[-1], float(meter.at_s[-1]), float(meter.mc_pct[-1]))

    def put_hairline(self, at_s: float) -> None:
        """Stand the hairline at an instant [UTC s]."""
        if self._hairline is None:
            pen = pg.mkPen(self._appearance.tokens.ink, width=1)
            pen.setDashPattern([1, 3])
            self._hairline = pg.InfiniteLine(at_s, pen=pen)
            self._add(self._hairline, 20)
        else:
            self._hairline.setValue(at_s)

    def fit(self, end_s: float) -> None:
        """Follow the zoom: markers no closer than can be told apart, step names where there is room."""
        self._name_steps(end_s)
        self._name_emc()
        self._thin_markers()
        line_px = QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).height() + 8
        # Under the names of the steps, at every zoom.
        (_, top), per_px = self._plot.vb.viewRange()[1], self._pct_per_px
        if self._now is not None:
            self._now.setPos(self._now.pos().x(), top - line_px * per_px)
        self.words.fit(line_px)

    @property
    def _pct_per_px(self) -> float:
        low, high = self._plot.vb.viewRange()[1]
        return float(high - low) / max(1.0, float(self._plot.vb.height()))

    def set_exporting(self, exporting: bool) -> None:
        """Draw markers as shapes rather than cached pictures of them, so that an SVG holds lines only."""
        for markers in self._markers.values():
            markers.setExportMode(exporting, {"antialias": True, "painter": None} if exporting else None)

    def _add(self, item: Any, z: float) -> None:
        item.setZValue(z)
        self._plot.addItem(item, ignoreBounds=True)

    def _draw_steps(self, spans: Sequence[StepSpan]) -> None:
        for number, span in enumerate(spans):
            if number:
                edge = pg.mkPen(self._appearance.tokens.edge, width=1)
                self._add(pg.InfiniteLine(span.from_s, pen=edge), -50)
            item = self._write("", span.from_s, self._top_pct, "ink2", anchor=(0, 0))
            self._step_names.append((span, item))

    def _draw_targets(self, assessment: Assessment, from_s: float) -> None:
        targets = {lot.target_mc_pct for lot in assessment.lots if lot.target_mc_pct is not None}
        if not targets and assessment.target_mc_pct is not None:
            targets = {assessment.target_mc_pct}
        for target in sorted(targets):
            pen = pg.mkPen(self._appearance.tokens.ink, width=1.2)
            pen.setDashPattern([9, 4])
            self._add(pg.InfiniteLine(target, angle=0, pen=pen), -5)
            self.words.keep_clear_of(np.array(self._whole), np.array([target, target]))
            self._write(f"target {figures.trimmed(target)} %", from_s, target, "ink", anchor=(0, 1))

    def _draw_control(self, assessment: Assessment) -> None:
        at_s, mc_pct = control_series(assessment)
        if len(at_s):
            pen = pg.mkPen(self._appearance.tokens.ink, width=CONTROL_W)
            self._line(at_s, mc_pct, pen, z=-10)  # under the boards it is taken from

    def _draw_board(self, series: BoardSeries) -> None:
        tokens = self._appearance.tokens
        style = style_of(series.number, tokens)
        if len(series.first_at_s):
            pen = pg.mkPen(style.colour, width=1)
            pen.setDashPattern([1, 4])
            self._line(series.first_at_s, series.first_mc_pct, pen)
        if not len(series.at_s):
            return
        width = FEEDS_W if series.feeds_control else OTHERS_W
        self._line(series.at_s, series.mc_pct, style.pen(width), series.joined)
        markers = pg.ScatterPlotItem(
            symbol=style.marker, size=MARKER_PX, pen=style.marker_pen(), brush=style.marker_brush(tokens)
        )
        self._add(markers, 10)
        self._markers[series.label] = markers
        half = _MARK_TICK * self._top_pct
        for at_s, mc_pct, words in zip(
            series.marked_at_s.tolist(), series.marked_mc_pct.tolist(), series.marked_words, strict=True
        ):
            ends = ([at_s, at_s], [mc_pct - half, mc_pct + half])
            self._add(pg.PlotCurveItem(*ends, pen=pg.mkPen(style.colour, width=2)), 12)
            self.words.mark(f"board {series.label} {words}", at_s, mc_pct)

    def _draw_loading(self, assessment: Assessment, spans: Sequence[StepSpan]) -> None:
        """Where the run begins; the boards were cut and first weighed before it."""
        loaded_at = assessment.loaded_at
        if loaded_at is None:
            return
        at_s = seconds(loaded_at)
        if not any(span.from_s == at_s for span in spans[1:]):  # there the step's own edge stands
            self._add(pg.InfiniteLine(at_s, pen=pg.mkPen(self._appearance.tokens.edge, width=1)), -50)
        self.words.mark("loaded", at_s, None)

    def _draw_now(self, assessment: Assessment, end_s: float) -> None:
        now = seconds(assessment.at)
        if now <= end_s:
            self._add(pg.InfiniteLine(now, pen=pg.mkPen(self._appearance.tokens.now, width=1.4)), 5)
            self._now = self._write("now", now, self._top_pct * 0.955, "now", anchor=(1, 0))

    def _line(self, at_s: Floats, mc_pct: Floats, pen: Any, joined: Any = None, z: float = 0) -> None:
        connect = "all" if joined is None else joined.astype(np.int32)
        item = pg.PlotCurveItem(at_s, mc_pct, pen=pen, connect=connect, antialias=True, skipFiniteCheck=True)
        item.setZValue(z)
        self._plot.addItem(item)
        self.words.keep_clear_of(at_s, mc_pct)

    def _write(self, text: str, at_s: float, mc_pct: float, colour: str, anchor: tuple[float, float]) -> Any:
        item = pg.TextItem(text, color=self._appearance.tokens.colour(colour), anchor=anchor)
        item.setFont(self._appearance.sizes.font(Role.LABEL))
        item.setPos(at_s, mc_pct)
        self._add(item, 30)
        if text:
            self.words.keep_clear_of_words(item, text, anchor)
        return item

    def _name_steps(self, end_s: float) -> None:
        """``step 4``, only the number where there is room for no more, nothing where there is none."""
        low, high = self._plot.vb.viewRange()[0]
        px_per_s = self._plot.vb.width() / (high - low) if high > low else 0.0
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        top_pct = self._plot.vb.viewRange()[1][1]
        for span, item in self._step_names:
            # A step that began before what shows is named at the edge.
            begins, ends = max(span.from_s, low), min(span.to_s if span.to_s is not None else end_s, high)
            item.setPos(begins, top_pct)
            room = (ends - begins) * px_per_s
            names = (f"step {span.step}", str(span.step), "")
            item.setText(next(one for one in names if not one or metrics.horizontalAdvance(one) + 10 <= room))

    def _thin_markers(self) -> None:
        """At alternate weighings from board to board; the newest always has its marker."""
        low, high = self._plot.vb.viewRange()[0]
        per_px = (high - low) / max(1.0, self._plot.vb.width())
        for series in self._series:
            markers = self._markers.get(series.label)
            if markers is None:
                continue
            apart = float(np.median(np.diff(series.at_s))) if len(series.at_s) > 1 else _DAY_S
            every = max(1, int(np.ceil(_MARKERS_APART_PX * per_px / max(apart, 1.0))))
            chosen = np.arange(series.number % every if every > 1 else 0, len(series.at_s), every)
            chosen = np.union1d(chosen, [len(series.at_s) - 1]).astype(np.intp)
            markers.setData(series.at_s[chosen], series.mc_pct[chosen])
