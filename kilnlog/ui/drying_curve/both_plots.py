"""The drying curve with the kiln's air beneath it, on one time axis printed once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kilnlog.drying.figures import Assessment
from kilnlog.logbook import figures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.temperature import in_unit
from kilnlog.reference.tables import Reference
from kilnlog.ui.drying_curve.key_column import AirKeyLine
from kilnlog.ui.drying_curve.plot import CurvePlot
from kilnlog.ui.drying_curve.series import seconds
from kilnlog.ui.kiln_air.air_plot import AirPlot
from kilnlog.ui.kiln_air.curve_lines import ShownAir, ShownEvent, shown_air
from kilnlog.ui.look.appearance import Appearance

if TYPE_CHECKING:
    from kilnlog.drying.air.lines import AirLine

_MOISTURE_SHARE, _AIR_SHARE = 63, 37


class BothPlots(QWidget):
    """Moisture above, air below where there is any; they pan and zoom together."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self.curve = CurvePlot(appearance)
        self.air = AirPlot(appearance)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.curve, _MOISTURE_SHARE)
        column.addWidget(self.air, _AIR_SHARE)
        self.air.hide()
        self.air.plotItem.setXLink(self.curve.plotItem)
        self.curve.limited.connect(lambda limits: self.air.plotItem.vb.setLimits(**limits))
        self.air.pointed.connect(self.curve.read_near)
        self.curve.hairline_moved.connect(self._follow_hairline)
        appearance.changed.connect(self._line_up)
        self.setFocusProxy(self.curve)

    def show_charge(
        self,
        record: ChargeRecord | None,
        assessment: Assessment | None,
        logged: Sequence[AirLine],
        reference: Reference,
        *,
        anew: bool,
    ) -> None:
        """Draw a charge. ``anew``: another one, so the whole of it is shown and every board."""
        air: ShownAir | None = None
        if record is not None and assessment is not None:
            air = shown_air(record, assessment, logged, reference)
        self.curve.set_emc(air.lines if air is not None else ())
        self.curve.show_charge(record, assessment, anew=anew)
        self.air.setVisible(air is not None)
        self.curve.tell_time(told=air is None)
        if assessment is not None:
            self.air.show_air(
                air,
                assessment.charge.zone,
                seconds(assessment.at),
                self.curve.whole[1],
                self.curve.tinted,
            )
        self._line_up()
        self._follow_hairline()

    def read_air(self) -> tuple[AirKeyLine, ...]:
        """The air at the hairline, as the key tells it; empty where none is drawn."""
        air, at_s = self.air.air, self.curve.reading_s
        if air is None or not air.lines or at_s is None:
            return ()
        read = air.read(at_s)

        def degrees(celsius: float | None) -> str:
            return figures.EMPTY if celsius is None else figures.number(float(in_unit(celsius, air.unit)), 1)

        emc = figures.EMPTY if read is None or read.emc_pct is None else figures.number(read.emc_pct, 1)
        rh = figures.EMPTY if read is None or read.rh_pct is None else figures.number(read.rh_pct)
        read_at = figures.EMPTY if read is None else self.air.time.clock(read.at_s)
        return (
            AirKeyLine("read", read_at, "ink2", "ink"),
            AirKeyLine("EMC", emc, "pencil", "pencil"),
            AirKeyLine(f"dry, °{air.unit.value}", degrees(read.dry_c if read else None), "dry", "ink"),
            AirKeyLine(f"wet, °{air.unit.value}", degrees(read.wet_c if read else None), "wet", "ink"),
            AirKeyLine("RH, %", rh, "ink2", "pencil"),
        )

    def event_beside(self, by: int) -> ShownEvent | None:
        """The next event after the hairline, or the last one before it; None where there is none."""
        air, at_s = self.air.air, self.curve.reading_s
        if air is None or at_s is None:
            return None
        if by > 0:
            return next((one for one in air.events if one.at_s > at_s), None)
        return next((one for one in reversed(air.events) if one.at_s < at_s), None)

    def set_exporting(self, exporting: bool) -> None:
        """Draw markers as shapes, so that an SVG holds lines only."""
        self.curve.set_exporting(exporting)

    def paint_on(self, painter: QPainter) -> None:
        """Both plots where they stand."""
        self.curve.render(painter, self.curve.geometry().toRectF())
        if not self.air.isHidden():
            self.air.render(painter, self.air.geometry().toRectF())

    def _line_up(self) -> None:
        """The same instant under itself: as wide at the left, and at the right, in both."""
        self.air.set_left_width(self.curve.left_width)
        self.curve.set_right_room(self.air.right_width if not self.air.isHidden() else 0)

    def _follow_hairline(self) -> None:
        self.air.put_hairline(self.curve.reading_s)
