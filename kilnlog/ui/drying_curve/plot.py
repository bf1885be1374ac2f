"""The plot itself: lines, control, target, steps, marks, the present, and the hairline that reads them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF

from kilnlog.drying.figures import Assessment
from kilnlog.logbook import figures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.ui.drying_curve.axes import Ground, MoistureAxis, TimeAxis
from kilnlog.ui.drying_curve.series import (
    BoardSeries,
    Floats,
    StepSpan,
    board_series,
    control_series,
    seconds,
    step_spans,
)
from kilnlog.ui.drying_curve.styles import CONTROL_W, FEEDS_W, MARKER_PX, OTHERS_W, style_of
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

_DAY_S = 86400.0
_MARKERS_APART_PX = 14
_MARK_TICK_PCT = 2.4  # half the height of a recut's tick, in points of MC on a full scale of 100


class CurvePlot(pg.PlotWidget):
    """Moisture of each board over time. Drag pans, the wheel zooms, the pointer moves the hairline.

    hairline_moved(): another round is read off.
    """

    hairline_moved = Signal()

    def __init__(self, appearance: Appearance) -> None:
        self._time = TimeAxis()
        self._moisture = MoistureAxis()
        super().__init__(enableMenu=False, axisItems={"bottom": self._time, "left": self._moisture})
        self._appearance = appearance
        self._assessment: Assessment | None = None
        self._series: list[BoardSeries] = []
        self._hidden: set[str] = set()
        self._markers: dict[str, Any] = {}
        self._spans: list[StepSpan] = []
        self._step_names: list[tuple[StepSpan, Any]] = []
        self._whole: tuple[float, float] = (0.0, 1.0)
        self._top_pct = 100.0
        self.reading = -1  # the round the hairline stands on
        self._hairline: Any = None
        self.setFrameShape(pg.QtWidgets.QFrame.Shape.NoFrame)
        self.hideButtons()
        self.plotItem.setContentsMargins(0, 10, 8, 4)
        self.plotItem.vb.setMouseEnabled(x=True, y=False)
        self.plotItem.vb.setDefaultPadding(0)
        self.scene().sigMouseMoved.connect(self._pointed)
        self.plotItem.vb.sigXRangeChanged.connect(self._thin_markers)
        appearance.changed.connect(self._redraw)
        self.setAccessibleName("Drying curve")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def assessment(self) -> Assessment | None:
        """What is drawn."""
        return self._assessment

    @property
    def hidden(self) -> frozenset[str]:
        """The labels of the boards not drawn."""
        return frozenset(self._hidden)

    def show_charge(self, record: ChargeRecord | None, assessment: Assessment | None, *, anew: bool) -> None:
        """Draw an assessment. ``anew``: another charge, so the whole of it is shown and every board."""
        at_newest = anew or self.reading == self._last_round()
        self._assessment = assessment
        self._series = (
            [board_series(board, number) for number, board in enumerate(assessment.boards)]
            if assessment
            else []
        )
        self._spans = []
        if record is not None and assessment is not None and assessment.schedule is not None:
            taken = [(entry.at, entry.fact.step) for entry in current_entries(record.step_taken)]
            self._spans = step_spans([one for one in taken if one[0] <= assessment.at], assessment.loaded_at)
        if anew:
            self._hidden.clear()
        whole_shown = anew or self._shows_whole()
        self._whole = self._extent()
        if at_newest:
            self.reading = self._last_round()
        self._redraw()
        if whole_shown:
            self.show_whole()
        self.setAccessibleDescription(self._in_words())

    @property
    def ground(self) -> QColor:
        """The colour behind the lines."""
        return self._appearance.tokens.colour("sheet")

    def set_exporting(self, exporting: bool) -> None:
        """Draw markers as shapes rather than cached pictures of them, so that an SVG holds lines only."""
        for markers in self._markers.values():
            markers.setExportMode(exporting, {"antialias": True, "painter": None} if exporting else None)

    def set_shown(self, label: str, shown: bool) -> None:
        """Draw a board, or leave it out."""
        (self._hidden.discard if shown else self._hidden.add)(label)
        self._redraw()

    def show_whole(self) -> None:
        """The whole run."""
        self.plotItem.vb.setXRange(*self._whole, padding=0)
        self.plotItem.vb.setYRange(0, self._top_pct, padding=0)

    def show_since(self, from_s: float) -> None:
        """From an instant to the present; the moisture scale follows what is shown."""
        self.plotItem.vb.setXRange(from_s, self._whole[1], padding=0)
        shown = [series.mc_pct[series.at_s >= from_s] for series in self._series]
        values = np.concatenate([one for one in shown if len(one)] or [np.array([self._top_pct])])
        low = min(float(values.min()), self._assessment.target_mc_pct or 0 if self._assessment else 0)
        self.plotItem.vb.setYRange(max(0.0, low - 2), float(values.max()) + 4, padding=0)

    def last_step_began(self) -> float | None:
        """When the step in force was taken [UTC s]."""
        return self._spans[-1].from_s if self._spans else None

    def days_back(self, days: float) -> float:
        """The instant so many days before the present [UTC s]."""
        return self._whole[1] - days * _DAY_S

    def zoom(self, factor: float) -> None:
        """Show more or less time about the hairline."""
        low, high = self.plotItem.vb.viewRange()[0]
        middle = self._reading_s() if self.reading >= 0 else (low + high) / 2
        self.plotItem.vb.setXRange(
            middle - (middle - low) * factor, middle + (high - middle) * factor, padding=0
        )

    def pan(self, share: float) -> None:
        """Move along the time axis by a share of what is shown."""
        low, high = self.plotItem.vb.viewRange()[0]
        by = (high - low) * share
        self.plotItem.vb.setXRange(low + by, high + by, padding=0)

    def read_at(self, number: int) -> None:
        """Put the hairline on a round."""
        last = self._last_round()
        number = max(0, min(last, number))
        if last >= 0 and number != self.reading:
            self.reading = number
            if self._hairline is not None:
                self._hairline.setValue(self._reading_s())
            self.hairline_moved.emit()

    def read_nearest(self, moment: Moment) -> None:
        """Put the hairline on the round nearest to a moment."""
        self._read_near(seconds(moment))

    def _read_near(self, at_s: float) -> None:
        if self._assessment is not None and self._assessment.rounds:
            apart = [abs(seconds(one.at) - at_s) for one in self._assessment.rounds]
            self.read_at(apart.index(min(apart)))

    def _last_round(self) -> int:
        return len(self._assessment.rounds) - 1 if self._assessment is not None else -1

    def _reading_s(self) -> float:
        return seconds(self._assessment.rounds[self.reading].at) if self._assessment is not None else 0.0

    def _shows_whole(self) -> bool:
        low, high = self.plotItem.vb.viewRange()[0]
        return bool(low <= self._whole[0] + 1 and high >= self._whole[1] - 1)

    def _extent(self) -> tuple[float, float]:
        """The time of the run, with a little room at both ends; sets the moisture scale with it."""
        times = [series.at_s for series in self._series if len(series.at_s)]
        if self._assessment is None or not times:
            self._top_pct = 100.0
            return (0.0, 1.0)
        first = min(float(one[0]) for one in times)
        last = max(float(one[-1]) for one in times)
        now = seconds(self._assessment.at)
        if now - last < 14 * _DAY_S:
            last = max(last, now)
        room = max((last - first) * 0.03, 3600.0)
        self._top_pct = (
            max(float(series.mc_pct.max()) for series in self._series if len(series.mc_pct)) * 1.06 + 2
        )
        return (first - room, last + 2 * room)

    def _redraw(self) -> None:
        """Draw everything anew: a few dozen short lines, quicker than keeping track of what changed."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        self.setBackground(tokens.sheet)
        self.plotItem.clear()
        self._markers.clear()
        self._step_names.clear()
        label_font = sizes.font(Role.LABEL)
        for axis in (self._time, self._moisture):
            axis.setStyle(
                tickFont=label_font, tickTextOffset=6, tickLength=0 if axis is self._moisture else -6
            )
            axis.setTextPen(tokens.ink2)
            axis.setPen(pg.mkPen(tokens.edge) if axis is self._time else pg.mkPen(None))
        self._moisture.setWidth(round(QFontMetricsF(label_font).horizontalAdvance("100 %")) + 18)
        self._time.setHeight(round(QFontMetricsF(label_font).height()) + 12)
        if self._assessment is None or not self._series:
            return
        self._time.set_zone(self._assessment.charge.zone)
        ground = Ground(self._moisture)
        ground.set_look(pg.mkPen(tokens.rule), pg.mkBrush(tokens.step_b), self._tinted())
        self.plotItem.addItem(ground, ignoreBounds=True)
        self._draw_steps()
        self._draw_target()
        self._draw_control()
        for series in self._series:
            if series.label not in self._hidden:
                self._draw_board(series)
        self._draw_now()
        self._draw_hairline()
        self._thin_markers()

    def _tinted(self) -> list[tuple[float, float]]:
        """Every second step, from when it was taken to the next."""
        return [
            (span.from_s, span.to_s if span.to_s is not None else self._whole[1])
            for span in self._spans[1::2]
        ]

    def _draw_steps(self) -> None:
        tokens = self._appearance.tokens
        for number, span in enumerate(self._spans):
            if number:
                edge = pg.InfiniteLine(span.from_s, pen=pg.mkPen(tokens.edge, width=1))
                edge.setZValue(-150)
                self.plotItem.addItem(edge, ignoreBounds=True)
            item = self._write("", span.from_s, self._top_pct, "ink2", anchor=(0, 0))
            self._step_names.append((span, item))

    def _draw_target(self) -> None:
        assessment, tokens = self._assessment, self._appearance.tokens
        if assessment is None:
            return
        targets = {lot.target_mc_pct for lot in assessment.lots if lot.target_mc_pct is not None}
        if not targets and assessment.target_mc_pct is not None:
            targets = {assessment.target_mc_pct}
        for target in sorted(targets):
            pen = pg.mkPen(tokens.ink, width=1.2)
            pen.setDashPattern([9, 4])
            self.plotItem.addItem(pg.InfiniteLine(target, angle=0, pen=pen), ignoreBounds=True)
            self._write(f"target {figures.trimmed(target)} %", self._whole[0], target, "ink", anchor=(0, 1))

    def _draw_control(self) -> None:
        if self._assessment is None:
            return
        at_s, mc_pct = control_series(self._assessment)
        if len(at_s):
            item = self._line(at_s, mc_pct, pg.mkPen(self._appearance.tokens.ink, width=CONTROL_W))
            item.setZValue(-10)  # under the boards it is taken from

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
        markers.setZValue(10)
        self.plotItem.addItem(markers, ignoreBounds=True)
        self._markers[series.label] = markers
        for at_s, mc_pct in zip(series.marked_at_s, series.marked_mc_pct, strict=True):
            half = _MARK_TICK_PCT * self._top_pct / 100
            tick = pg.PlotCurveItem(
                [at_s, at_s], [mc_pct - half, mc_pct + half], pen=pg.mkPen(style.colour, width=2)
            )
            tick.setZValue(12)
            self.plotItem.addItem(tick, ignoreBounds=True)
        for at_s, mc_pct, words in zip(
            series.marked_at_s, series.marked_mc_pct, series.marked_words, strict=True
        ):
            half = _MARK_TICK_PCT * self._top_pct / 100
            self._write(f"{series.label} {words}", float(at_s), float(mc_pct) + half, "ink2", anchor=(0.5, 1))

    def _draw_now(self) -> None:
        assessment, tokens = self._assessment, self._appearance.tokens
        if assessment is None or seconds(assessment.at) > self._whole[1]:
            return
        now = seconds(assessment.at)
        self.plotItem.addItem(pg.InfiniteLine(now, pen=pg.mkPen(tokens.now, width=1.4)), ignoreBounds=True)
        self._write("now", now, self._top_pct * 0.955, "now", anchor=(1, 0))

    def _draw_hairline(self) -> None:
        self._hairline = None
        if self.reading < 0 or self._assessment is None:
            return
        pen = pg.mkPen(self._appearance.tokens.ink, width=1)
        pen.setDashPattern([1, 3])
        self._hairline = pg.InfiniteLine(self._reading_s(), pen=pen)
        self._hairline.setZValue(20)
        self.plotItem.addItem(self._hairline, ignoreBounds=True)

    def _line(self, at_s: Floats, mc_pct: Floats, pen: Any, joined: Any = None) -> Any:
        connect = "all" if joined is None else joined.astype(np.int32)
        item = pg.PlotCurveItem(at_s, mc_pct, pen=pen, connect=connect, antialias=True, skipFiniteCheck=True)
        self.plotItem.addItem(item)
        return item

    def _name_steps(self) -> None:
        """``step 4``, only the number where there is room for no more, nothing where there is none."""
        low, high = self.plotItem.vb.viewRange()[0]
        px_per_s = self.plotItem.vb.width() / (high - low) if high > low else 0.0
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        for span, item in self._step_names:
            room = ((span.to_s if span.to_s is not None else self._whole[1]) - span.from_s) * px_per_s
            names = (f"step {span.step}", str(span.step), "")
            item.setText(
                next(name for name in names if not name or metrics.horizontalAdvance(name) + 10 <= room)
            )

    def _write(self, text: str, at_s: float, mc_pct: float, colour: str, anchor: tuple[float, float]) -> Any:
        item = pg.TextItem(text, color=self._appearance.tokens.colour(colour), anchor=anchor)
        item.setFont(self._appearance.sizes.font(Role.LABEL))
        item.setPos(at_s, mc_pct)
        item.setZValue(30)
        self.plotItem.addItem(item, ignoreBounds=True)
        return item

    def _thin_markers(self, *_: object) -> None:
        """Markers no closer than they can be told apart, at alternate weighings from board to board."""
        self._name_steps()
        low, high = self.plotItem.vb.viewRange()[0]
        per_px = (high - low) / max(1.0, self.plotItem.vb.width())
        for series in self._series:
            markers = self._markers.get(series.label)
            if markers is None:
                continue
            apart = float(np.median(np.diff(series.at_s))) if len(series.at_s) > 1 else _DAY_S
            every = max(1, int(np.ceil(_MARKERS_APART_PX * per_px / max(apart, 1.0))))
            chosen = np.arange(series.number % every if every > 1 else 0, len(series.at_s), every)
            chosen = np.union1d(chosen, [len(series.at_s) - 1]).astype(np.intp)
            markers.setData(series.at_s[chosen], series.mc_pct[chosen])

    def _pointed(self, position: QPointF) -> None:
        """The hairline follows the pointer from round to round."""
        box: QRectF = self.plotItem.vb.sceneBoundingRect()
        if self._assessment is None or not self._assessment.rounds or not box.contains(position):
            return
        self._read_near(self.plotItem.vb.mapSceneToView(position).x())

    def _in_words(self) -> str:
        """The figures at the newest round, for who cannot see the lines."""
        if self._assessment is None or not self._assessment.rounds:
            return "no moisture content yet"
        newest = self._assessment.rounds[-1]
        shown: Mapping[str, float] = newest.mc_pct
        boards = ", ".join(f"board {label} {figures.mc(mc)} %" for label, mc in shown.items())
        return f"At {newest.at.text()}: control {figures.mc(newest.control.mc_pct)} %, {boards}"
