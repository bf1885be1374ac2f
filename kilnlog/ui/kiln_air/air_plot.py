"""The air under the drying curve, on the same time axis: what was read, what was set, what happened."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QPen

from kilnlog.drying.air.lines import AirLine
from kilnlog.logbook import figures
from kilnlog.records.temperature import in_unit
from kilnlog.ui.drying_curve.axes import Ground, TimeAxis
from kilnlog.ui.drying_curve.free_places import Box
from kilnlog.ui.kiln_air.axes import HumidityAxis, TemperatureAxis
from kilnlog.ui.kiln_air.curve_lines import Reals, SetSpan, ShownAir
from kilnlog.ui.kiln_air.events_lane import Lane
from kilnlog.ui.kiln_air.line_names import LineName, Panel, place_holes, place_names
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

_WET_DASHES = (6.0, 2.5)
_MARKER_PX = 5
#: The scale follows the middle of the readings: heating up and the door open would flatten all the rest.
_MIDDLE = (2.0, 98.0)  # percentiles
_LEAST_SPAN_C = 6.0
#: Above and below the lines there is room for words, as a share of what the lines take.
_LEAST_ROOM, _MOST_ROOM, _WORDS_CLEAR_PX = 0.22, 0.4, 8
_LOOKED_AT = 4000  # readings the scale is taken from
_RH_SHARE = 0.86  # of the height under the lane that 0 to 100 % RH takes


class AirPlot(pg.PlotWidget):
    """Dry bulb and wet bulb, or humidity. Drag pans, the wheel zooms, both plots together.

    pointed(float): the pointer stands over that instant [UTC s].
    """

    pointed = Signal(float)

    def __init__(self, appearance: Appearance) -> None:
        self.time = TimeAxis()
        self._temperature = TemperatureAxis()
        self._humidity = HumidityAxis()
        super().__init__(
            enableMenu=False,
            axisItems={"bottom": self.time, "left": self._temperature, "right": self._humidity},
        )
        self._appearance = appearance
        self._air: ShownAir | None = None
        self._tinted: list[tuple[float, float]] = []
        self._now_s = self._end_s = 0.0
        self._hairline: Any = None
        self._hairline_s: float | None = None
        self._lane: Lane | None = None
        self._names: list[LineName] = []
        self._drawn: list[tuple[Reals, Reals]] = []  # the lines, on the temperature's scale
        self._rh_zero, self._rh_per_pct = 0.0, 1.0  # where 0 % RH is drawn, and how far a percent reaches
        self.setFrameShape(pg.QtWidgets.QFrame.Shape.NoFrame)
        self.hideButtons()
        self.plotItem.setContentsMargins(0, 4, 8, 4)
        self.plotItem.vb.setMouseEnabled(x=True, y=False)
        self.plotItem.vb.setDefaultPadding(0)
        self.plotItem.vb.sigResized.connect(self._fit_scale)
        for changed in ("sigXRangeChanged", "sigResized"):
            getattr(self.plotItem.vb, changed).connect(self._place_names)
        self.scene().sigMouseMoved.connect(self._point)
        self.plotItem.showAxis("right", show=False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the keys belong to the curve above, which moves both
        appearance.changed.connect(self._redraw)
        self.setAccessibleName("Air of the kiln")

    @property
    def air(self) -> ShownAir | None:
        """What is drawn."""
        return self._air

    @property
    def ground(self) -> QColor:
        """The colour behind the lines."""
        return self._appearance.tokens.colour("sheet")

    def show_air(
        self, air: ShownAir | None, zone: str, now_s: float, end_s: float, tinted: list[tuple[float, float]]
    ) -> None:
        """Draw it.

        Args:
            air: What is drawn.
            zone: Whose clock tells the times.
            now_s: The present [UTC s].
            end_s: Where the run's time axis ends [UTC s].
            tinted: The spans of every second step [UTC s].
        """
        self._air, self._now_s, self._end_s, self._tinted = air, now_s, end_s, tinted
        self.time.set_zone(zone)
        self._redraw()
        self.setAccessibleDescription(self._in_words())

    def put_hairline(self, at_s: float | None) -> None:
        """Stand the hairline at an instant [UTC s]."""
        self._hairline_s = at_s
        if at_s is None or self._air is None:
            return
        if self._hairline is None:
            pen = pg.mkPen(self._appearance.tokens.ink, width=1)
            pen.setDashPattern([1, 3])
            self._hairline = pg.InfiniteLine(at_s, pen=pen)
            self._add(self._hairline, 20)
        else:
            self._hairline.setValue(at_s)

    def set_left_width(self, width: int) -> None:
        """As wide at the left as the plot above [px]: the same instant stands under itself."""
        self._temperature.setWidth(width)

    @property
    def right_width(self) -> int:
        """What the humidity's scale takes at the right [px]."""
        if self._air is None or not self._air.by_rh:
            return 0
        metrics = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        return round(metrics.horizontalAdvance("100 % RH")) + 10

    def _redraw(self) -> None:
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        self.setBackground(tokens.sheet)
        self.plotItem.clear()
        self._hairline = self._lane = None
        self._names, self._drawn = [], []
        label_font = sizes.font(Role.LABEL)
        for axis in (self.time, self._temperature, self._humidity):
            axis.setStyle(tickFont=label_font, tickTextOffset=6, tickLength=-6 if axis is self.time else 0)
            axis.setTextPen(tokens.ink2)
            axis.setPen(pg.mkPen(tokens.edge) if axis is self.time else pg.mkPen(None))
        self.time.setHeight(round(QFontMetricsF(label_font).height()) + 12)
        air = self._air
        if air is None:
            return
        self._temperature.unit = f"°{air.unit.value}"
        self._temperature.clear_px = Lane.height(self._appearance)
        self.plotItem.showAxis("right", show=air.by_rh)
        self._humidity.setWidth(self.right_width)
        ground = Ground(self._temperature)
        ground.set_look(pg.mkPen(tokens.rule), pg.mkBrush(tokens.step_b), self._tinted)
        self._add(ground, -100)
        self._fit_scale()
        self._draw_sets(air)
        for line in air.lines:
            self._draw_line(air, line, by_hand=line is air.hand)
        self._lane = Lane(self._appearance)
        holes = air.logger.holes if air.logger is not None else ()
        self._lane.show_all(air.events, holes, self._tinted)
        self._add(self._lane, 15)
        if self._now_s <= self._end_s:
            self._add(pg.InfiniteLine(self._now_s, pen=pg.mkPen(tokens.now, width=1.4)), 5)
        self._name_lines(air)
        self.put_hairline(self._hairline_s)

    def _point(self, position: QPointF) -> None:
        if self.plotItem.vb.sceneBoundingRect().contains(position):
            self.pointed.emit(self.plotItem.vb.mapSceneToView(position).x())

    def _add(self, item: Any, z: float) -> None:
        item.setZValue(z)
        self.plotItem.addItem(item, ignoreBounds=True)

    def _fit_scale(self, *_: object) -> None:
        """The temperatures the scale shows, with the lane's room above; the humidity's scale lies on it."""
        air = self._air
        if air is None:
            return
        height = max(60.0, float(self.plotItem.vb.height()))
        share = min(0.5, Lane.height(self._appearance) / height)
        words = QFontMetricsF(self._appearance.sizes.font(Role.LABEL)).height() + _WORDS_CLEAR_PX
        low, high = _middle_of(air, words / (height * (1 - share)))
        top = low + (high - low) / (1 - share)
        self.plotItem.vb.setYRange(low, top, padding=0)
        self._humidity.set_span(low, low + (high - low) * _RH_SHARE)
        self._rh_zero, self._rh_per_pct = low, (high - low) * _RH_SHARE / 100

    def _draw_line(self, air: ShownAir, line: AirLine, *, by_hand: bool) -> None:
        tokens = self._appearance.tokens
        self._curve(line.at_s, air.shown(line.dry_c), _pen(tokens.dry), by_hand=by_hand)
        second = self._second(air, line.wet_c, line.rh_pct)
        self._curve(line.at_s, second, _pen(tokens.wet, _WET_DASHES), by_hand=by_hand)

    def _second(self, air: ShownAir, wet_c: Reals, rh_pct: Reals) -> Reals:
        """Where the second figure is drawn on the temperature's scale."""
        return self._rh_on_scale(rh_pct) if air.by_rh else air.shown(wet_c)

    def _rh_on_scale(self, rh_pct: Reals) -> Reals:
        return self._rh_zero + rh_pct * self._rh_per_pct

    def _curve(self, at_s: Reals, values: Reals, pen: QPen, *, by_hand: bool) -> None:
        if not np.isfinite(values).any():
            return
        self._drawn.append((at_s, values))
        marks = {"symbol": "o", "symbolSize": _MARKER_PX, "symbolBrush": pen.color(), "symbolPen": None}
        curve = self.plotItem.plot(at_s, values, pen=pen, connect="finite", **(marks if by_hand else {}))
        # Only once it is on the plot: the plot sets both anew for what is added to it.
        curve.setClipToView(True)
        curve.setDownsampling(auto=True, method="peak")

    def _draw_sets(self, air: ShownAir) -> None:
        """What was set as a line; what the schedule or the end of the run asked for, dotted."""
        ink2 = self._appearance.tokens.ink2
        for spans, pen in ((air.asked, _pen(ink2, (2.0, 3.0))), (air.sets, pg.mkPen(ink2, width=1))):
            at_s, dry_c = _stairs(spans, [span.dry_c for span in spans], self._end_s)
            _, wet_c = _stairs(spans, [span.wet_c for span in spans], self._end_s)
            _, rh_pct = _stairs(spans, [span.rh_pct for span in spans], self._end_s)
            for values in (air.shown(dry_c), self._second(air, wet_c, rh_pct)):
                if np.isfinite(values).any():
                    self._drawn.append((at_s, values))
                    self._add(pg.PlotCurveItem(at_s, values, pen=pen, connect="finite"), -20)

    def _name_lines(self, air: ShownAir) -> None:
        """The name and last value of each figure at the end of the line that was read last."""
        line = max(air.lines, key=_last_read_s, default=None)
        self._names = []
        if line is None:
            return
        tokens, unit = self._appearance.tokens, f"°{air.unit.value}"
        second: tuple[str, Reals, str] = ("wet bulb", line.wet_c, unit)
        if air.by_rh:
            second = ("RH", line.rh_pct, "%")
        for (name, values, told_in), colour, above in (
            (("dry bulb", line.dry_c, unit), tokens.dry, True),
            (second, tokens.wet, False),
        ):
            known = np.flatnonzero(np.isfinite(values))
            if not len(known):
                continue
            shown = slice(0, int(known[-1]) + 1)
            last, is_rh = float(values[known[-1]]), told_in == "%"
            told = figures.number(last) if is_rh else figures.number(float(in_unit(last, air.unit)), 1)
            item = pg.TextItem(color=pg.mkColor(colour), anchor=(0, 0))
            item.setFont(self._appearance.sizes.font(Role.LABEL))
            self._add(item, 30)
            full, at = f"{name} {told} {told_in}", self.time.clock(float(line.at_s[known[-1]]))
            texts, on_scale = (f"{full} at {at}", full, name), self._rh_on_scale if is_rh else air.shown
            self._names.append(LineName(item, texts, line.at_s[shown], values[shown], on_scale, above))
        self._place_names()

    def _place_names(self, *_: object) -> None:
        """Follow the zoom."""
        air, view, lane = self._air, self.plotItem.vb, self._lane
        shown = view.viewRange()
        if air is None or lane is None or view.width() < 1 or shown[0][0] >= shown[0][1]:
            return
        font = self._appearance.sizes.font(Role.LABEL)
        panel = Panel(shown, view.width(), view.height(), QFontMetricsF(font))
        drawn = panel.lines(self._drawn)
        taken = [Box(0, 0, panel.width, Lane.height(self._appearance)), *lane.hatched(panel)]
        if self._now_s <= self._end_s:
            taken.append(Box(float(panel.x(self._now_s)) - 1, 0, 2, panel.height))
        names = place_names(self._names, panel, drawn, taken)
        lane.tell_holes(place_holes(lane.longest_holes(panel), panel, drawn, [*taken, *names]))

    def _in_words(self) -> str:
        """What the air was last, for who cannot see the lines."""
        air = self._air
        line = next(iter(air.lines), None) if air is not None else None
        if air is None or line is None:
            return "no reading of the air"
        known = np.flatnonzero(np.isfinite(line.dry_c))
        if not len(known):
            return "no reading of the air"
        last = int(known[-1])
        dry, wet = (float(in_unit(float(column[last]), air.unit)) for column in (line.dry_c, line.wet_c))
        told = [f"dry bulb {figures.number(dry, 1)} °{air.unit.value}"]
        if not np.isnan(wet):
            told.append(f"wet bulb {figures.number(wet, 1)} °{air.unit.value}")
        if not np.isnan(line.rh_pct[last]):
            told.append(f"RH {figures.number(float(line.rh_pct[last]))} %")
            told.append(f"EMC {figures.number(float(line.emc_pct[last]), 1)} %")
        return ", ".join(told)


def _middle_of(air: ShownAir, words: float) -> tuple[float, float]:
    """The lowest and highest temperature of the scale [the kiln's unit]; a line of words takes that share."""
    columns = [line.dry_c for line in air.lines]
    columns += [] if air.by_rh else [line.wet_c for line in air.lines]
    read = [column[:: max(1, len(column) // _LOOKED_AT)] for column in columns]
    read = [column[np.isfinite(column)] for column in read]
    read = [column for column in read if len(column)]
    told = [value for column in read for value in np.percentile(column, _MIDDLE).tolist()]
    settings = (*air.sets, *air.asked)
    told += [span.dry_c for span in settings if span.dry_c is not None]
    if not air.by_rh:
        told += [span.wet_c for span in settings if span.wet_c is not None]
    low_c, high_c = (min(told), max(told)) if told else (20.0, 60.0)
    # Above and below there is room for the lines' names, and for how long nobody recorded them.
    above = min(_MOST_ROOM, max(_LEAST_ROOM, words / max(0.1, 1 - 2 * words)))
    room_c = max(above * (high_c - low_c), (_LEAST_SPAN_C - (high_c - low_c)) / 2, 0.8)
    low, high = in_unit(low_c - room_c, air.unit), in_unit(high_c + room_c, air.unit)
    return float(low), float(high)


def _last_read_s(line: AirLine) -> float:
    known = np.flatnonzero(np.isfinite(line.dry_c))
    return float(line.at_s[known[-1]]) if len(known) else 0.0


def _stairs(sets: Sequence[SetSpan], values: Sequence[float | None], end_s: float) -> tuple[Reals, Reals]:
    """Steps as a line: level while a setting stands, broken where there was none."""
    at_s: list[float] = []
    level: list[float] = []
    for span, value in zip(sets, values, strict=True):
        until = span.to_s if span.to_s is not None else end_s
        if at_s and at_s[-1] != span.from_s:
            at_s.append(span.from_s)
            level.append(np.nan)
        at_s += [span.from_s, until]
        level += [np.nan if value is None else value] * 2
    return np.array(at_s), np.array(level)


def _pen(colour: str, dashes: tuple[float, ...] = ()) -> QPen:
    pen = QPen(pg.mkColor(colour), 1.0)  # wider than a pixel, a million readings take twice as long
    pen.setCosmetic(True)
    if dashes:
        pen.setDashPattern(list(dashes))
    return pen
