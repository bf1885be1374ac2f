"""The plot itself: its axes, what of the run it shows, and the hairline that reads it off."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF

from kilnlog.drying.air.lines import AirLine
from kilnlog.drying.figures import Assessment, ChargeState
from kilnlog.logbook.earlier_curves import LaidOn
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.ui.drying_curve.axes import MoistureAxis, TimeAxis
from kilnlog.ui.drying_curve.earlier_lines import draw_earlier, shown_until_s
from kilnlog.ui.drying_curve.layers import Layers
from kilnlog.ui.drying_curve.series import (
    BoardSeries,
    StepSpan,
    board_series,
    meter_series,
    seconds,
    step_spans,
    tinted,
)
from kilnlog.ui.drying_curve.told import curve_in_words, no_charge_item
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import Role

_DAY_S = 86400.0
#: Closer than this no hand zooms on purpose, and beyond the limits there is nothing to see [s].
_LEAST_SHOWN_S = 600.0
_ROOM_S = 180 * _DAY_S


class CurvePlot(pg.PlotWidget):
    """Moisture of each board over time. Drag pans, the wheel zooms, the pointer moves the hairline.

    hairline_moved(): another round is read off. ranged(): somebody zoomed or moved along. limited(dict): how
    far one can do so is another, for a plot that shows the same time; sent before the time shown changes.
    """

    hairline_moved = Signal()
    ranged = Signal()
    limited = Signal(object)

    def __init__(self, appearance: Appearance) -> None:
        self._time = TimeAxis()
        self._moisture = MoistureAxis()
        super().__init__(enableMenu=False, axisItems={"bottom": self._time, "left": self._moisture})
        self._appearance = appearance
        self._record: ChargeRecord | None = None
        self._assessment: Assessment | None = None
        self._series: list[BoardSeries] = []
        self._hidden: set[str] = set()
        self._spans: list[StepSpan] = []
        self._whole: tuple[float, float] = (0.0, 1.0)
        self._top_pct = 100.0
        self._emc: Sequence[AirLine] = ()
        self._earlier: Sequence[LaidOn] = ()
        self._time_told = True
        self.happened, self._happened_s = "", 0.0  # what the hairline stands on between rounds, in words
        self.reading = -1  # the round the hairline stands on; one past the last is the present
        self._layers = Layers(self.plotItem, appearance)
        self.setFrameShape(pg.QtWidgets.QFrame.Shape.NoFrame)
        self.hideButtons()
        self.plotItem.setContentsMargins(0, 10, 8, 4)
        self.plotItem.vb.setMouseEnabled(x=True, y=False)
        self.plotItem.vb.setDefaultPadding(0)
        self.scene().sigMouseMoved.connect(self._pointed)
        # The words have their places in pixels: they follow the zoom, the scale and the size.
        for changed in ("sigXRangeChanged", "sigYRangeChanged", "sigResized"):
            getattr(self.plotItem.vb, changed).connect(self._fit_layers)
        self.plotItem.vb.sigRangeChangedManually.connect(lambda *_: self.ranged.emit())
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
        at_present = not anew and self.reading > self._last_round() >= 0
        self._record, self._assessment = record, assessment
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
            self.happened = ""
        self._whole = self._extent()
        if at_newest:
            self.reading = self._last_round()
        elif at_present:
            self.reading = self._last_place()
        limits = self._limits()
        self.plotItem.vb.setLimits(**limits)
        self.limited.emit(limits)
        self._redraw()
        if anew:
            self.show_whole()
        self.setAccessibleDescription(curve_in_words(assessment))

    def set_emc(self, lines: Sequence[AirLine]) -> None:
        """Draw the EMC of these readings of the air with the next charge shown: the gap is the pull."""
        self._emc = lines

    def set_earlier(self, laid: Sequence[LaidOn]) -> None:
        """Lay these earlier charges behind the next charge shown."""
        self._earlier = laid

    def tell_time(self, *, told: bool) -> None:
        """Print the times under this plot, or leave that to the one below."""
        self._time_told = told
        self._time.setStyle(showValues=told and self._assessment is not None)
        self._size_axes()

    @property
    def whole(self) -> tuple[float, float]:
        """Beginning and end of the run with some room [UTC s]."""
        return self._whole

    @property
    def tinted(self) -> list[tuple[float, float]]:
        """The spans of every second step [UTC s]."""
        return tinted(self._spans, self._whole[1])

    @property
    def left_width(self) -> int:
        """What the moisture scale takes [px]."""
        label = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        return round(max(label.horizontalAdvance("100 %"), label.horizontalAdvance("188 °F"))) + 18

    def set_right_room(self, room: int) -> None:
        """Keep so much free at the right [px]: the plot below has a scale there."""
        self.plotItem.setContentsMargins(0, 10, 8 + room, 4)

    @property
    def reading_s(self) -> float | None:
        """The instant the hairline stands at [UTC s]."""
        return self._reading_s() if self.reading >= 0 else None

    @property
    def ground(self) -> QColor:
        """The colour behind the lines."""
        return self._appearance.tokens.colour("sheet")

    def set_exporting(self, exporting: bool) -> None:
        """Draw markers as shapes rather than cached pictures of them, so that an SVG holds lines only."""
        self._layers.set_exporting(exporting)

    def set_shown(self, label: str, shown: bool) -> None:
        """Draw a board, or leave it out."""
        (self._hidden.discard if shown else self._hidden.add)(label)
        self._redraw()

    def show_whole(self) -> None:
        """The whole run."""
        self.plotItem.vb.setXRange(self._whole[0], shown_until_s(self._whole, self._earlier), padding=0)
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
        self.ranged.emit()

    def pan(self, share: float) -> None:
        """Move along the time axis by a share of what is shown."""
        low, high = self.plotItem.vb.viewRange()[0]
        by = (high - low) * share
        self.plotItem.vb.setXRange(low + by, high + by, padding=0)
        self.ranged.emit()

    def read_at(self, number: int) -> None:
        """Put the hairline on a round, or past the last of them on the present; it stays in view."""
        last = self._last_place()
        number = max(0, min(last, number))
        if last >= 0 and (number != self.reading or self.happened):
            self.reading, self.happened = number, ""
            self._layers.put_hairline(self._reading_s())
            self._follow_hairline()
            self.hairline_moved.emit()

    def read_event(self, at_s: float, words: str) -> None:
        """Put the hairline on something that happened [UTC s]; the round before it is read off."""
        if self._assessment is None or self.reading < 0:
            return
        before = sum(seconds(one.at) <= at_s for one in self._assessment.rounds)
        self.reading, self.happened, self._happened_s = max(0, before - 1), words, at_s
        self._layers.put_hairline(at_s)
        self._follow_hairline()
        self.hairline_moved.emit()

    def _follow_hairline(self) -> None:
        low, high = self.plotItem.vb.viewRange()[0]
        at_s, room = self._reading_s(), 0.05 * (high - low)
        if at_s < low:
            self.pan((at_s - room - low) / (high - low))
        elif at_s > high:
            self.pan((at_s + room - high) / (high - low))

    def read_nearest(self, moment: Moment) -> None:
        """Put the hairline on the round nearest to a moment, or on the present; and bring it into view."""
        self.read_near(seconds(moment))
        if self.reading >= 0:
            self._follow_hairline()

    def read_near(self, at_s: float) -> None:
        """Put the hairline on the round nearest to an instant [UTC s], or on the present where that is."""
        if self._assessment is not None and self._assessment.rounds:
            places = [one.at for one in self._assessment.rounds]
            if self._last_place() == len(places):
                places.append(self._assessment.at)
            apart = [abs(seconds(place) - at_s) for place in places]
            self.read_at(apart.index(min(apart)))

    def _last_round(self) -> int:
        return len(self._assessment.rounds) - 1 if self._assessment is not None else -1

    def _last_place(self) -> int:
        """The present comes after the last round while the charge runs."""
        last, assessment = self._last_round(), self._assessment
        if assessment is None or last < 0 or assessment.state is not ChargeState.DRYING:
            return last
        return last + 1 if assessment.at > assessment.rounds[-1].at else last

    def _reading_s(self) -> float:
        if self._assessment is None or self.happened:
            return self._happened_s
        rounds = self._assessment.rounds
        return seconds(rounds[self.reading].at if self.reading < len(rounds) else self._assessment.at)

    def _extent(self) -> tuple[float, float]:
        """The time of the run, with a little room at both ends; sets the moisture scale with it."""
        times = [series.at_s for series in self._series if len(series.at_s)]
        if self._assessment is None:
            self._top_pct = 100.0
            return (0.0, _DAY_S)
        if not times:
            # Nothing to draw of the boards yet, but the air below has its time.
            loaded_at, at_s = self._assessment.loaded_at, seconds(self._assessment.at)
            begun_s = at_s - _DAY_S if loaded_at is None else min(seconds(loaded_at), at_s)
            times = [np.array([begun_s, at_s]), *(line.at_s for line in self._emc if len(line.at_s))]
        first = min(float(one[0]) for one in times)
        last = max(float(one[-1]) for one in times)
        now = seconds(self._assessment.at)
        if now - last < 14 * _DAY_S:
            last = max(last, now)
        room = max((last - first) * 0.03, 3600.0)
        wettest = [float(series.mc_pct.max()) for series in self._series if len(series.mc_pct)]
        self._top_pct = max(wettest, default=92.0) * 1.06 + 2
        return (first - room, last + 2 * room)

    def _limits(self) -> dict[str, float]:
        """How far one can zoom and move along: far out no clock tells the time any more."""
        low, high = self._whole
        room = max(high - low, _ROOM_S)  # earlier charges drawn behind may have taken longer
        first, last = low - room, high + room
        return {"xMin": first, "xMax": last, "minXRange": _LEAST_SHOWN_S, "maxXRange": last - first}

    def _redraw(self) -> None:
        """Draw everything anew: a few dozen short lines, quicker than keeping track of what changed."""
        tokens, sizes = self._appearance.tokens, self._appearance.sizes
        self.setBackground(tokens.sheet)
        self._layers.clear()
        label_font = sizes.font(Role.LABEL)
        for axis in (self._time, self._moisture):
            axis.setStyle(
                tickFont=label_font, tickTextOffset=6, tickLength=0 if axis is self._moisture else -6
            )
            axis.setTextPen(tokens.ink2)
            axis.setPen(pg.mkPen(tokens.edge) if axis is self._time else pg.mkPen(None))
        self._tell_nothing()
        if self._assessment is not None:
            self._time.set_zone(self._assessment.charge.zone)
        if self._assessment is None or not self._series:
            return
        shown = [series for series in self._series if series.label not in self._hidden]
        self._layers.draw(self._assessment, shown, self._spans, self._whole, self._top_pct, self._moisture)
        draw_earlier(self.plotItem, self._appearance, self._earlier, self._layers.words)
        self._layers.draw_emc(self._emc)
        if self._record is not None:
            self._layers.draw_meter(meter_series(self._record, self._assessment))
        if self.reading >= 0:
            self._layers.put_hairline(self._reading_s())
        self._fit_layers()

    def _tell_nothing(self) -> None:
        """Without a charge there is neither a time nor a moisture to tell, and nothing to move along."""
        is_empty = self._assessment is None
        self.tell_time(told=self._time_told)
        self._moisture.setStyle(showValues=not is_empty)
        self.plotItem.vb.setMouseEnabled(x=not is_empty, y=False)
        if is_empty:
            middle = (sum(self._whole) / 2, self._top_pct / 2)
            self.plotItem.addItem(no_charge_item(self._appearance, *middle), ignoreBounds=True)

    def _size_axes(self) -> None:
        label = QFontMetricsF(self._appearance.sizes.font(Role.LABEL))
        self._moisture.setWidth(self.left_width)
        self._time.setHeight(round(label.height()) + 12 if self._time_told else 6)

    def _fit_layers(self, *_: object) -> None:
        self._layers.fit(self._whole[1])

    def _pointed(self, position: QPointF) -> None:
        """The hairline follows the pointer from round to round."""
        box: QRectF = self.plotItem.vb.sceneBoundingRect()
        if self._assessment is None or not self._assessment.rounds or not box.contains(position):
            return
        self.read_near(self.plotItem.vb.mapSceneToView(position).x())
