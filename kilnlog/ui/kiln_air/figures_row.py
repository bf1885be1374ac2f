"""What follows from two figures of the air, in pencil: side by side, or in two rows where it is narrow."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.typed_air import Second, TypedAir
from kilnlog.records.temperature import difference_in_unit, in_unit
from kilnlog.ui.kiln_air.air_working_dialog import AirWorkingDialog
from kilnlog.ui.kiln_air.fields import AirFigure
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.sizes import GAP_2, GAP_16, Role


class FiguresRow(QWidget):
    """RH, EMC, and depression or wet bulb; each shows its working first and the others after it."""

    def __init__(self, appearance: Appearance) -> None:
        super().__init__()
        self._appearance = appearance
        self._air: TypedAir | None = None
        self.figures = tuple(AirFigure(appearance, Role.STRONG) for _ in range(3))
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(GAP_16)
        self._grid.setVerticalSpacing(GAP_2)
        self._grid.setColumnStretch(len(self.figures), 1)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        for number, figure in enumerate(self.figures):
            figure.asked.connect(lambda number=number: self.show_working(number))
        appearance.changed.connect(self._place)
        self._place()

    @property
    def shown(self) -> tuple[str, ...]:
        """The figures as shown."""
        return tuple(figure.value for figure in self.figures)

    def show_air(self, air: TypedAir) -> None:
        """Show what follows from it."""
        self._air = air
        for figure, text in zip(self.figures, _worked_out(air), strict=True):
            figure.set_value(text)
        self._place()

    def show_working(self, first: int = 0) -> None:
        """How the figures came about, beginning with one of them."""
        if self._air is not None:
            AirWorkingDialog(self.window(), self._appearance, self._air, first).open()

    def _place(self) -> None:
        """As many in a row as there is room for."""
        left, row, column = self.width(), 0, 0
        for figure in self.figures:
            wanted = figure.sizeHint().width()
            if column and wanted > left:
                left, row, column = self.width(), row + 1, 0
            self._grid.addWidget(figure, row, column, Qt.AlignmentFlag.AlignLeft)
            left, column = left - wanted - GAP_16, column + 1

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width may take another row."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._place()


def _worked_out(air: TypedAir) -> tuple[str, str, str]:
    """RH, EMC, and depression or wet bulb: in the order of their workings."""
    state, unit = air.state, air.unit
    if state is None:
        third = "depression" if air.which is Second.WET_BULB else "wet bulb"
        return f"RH {figures.EMPTY}", f"EMC {figures.EMPTY}", f"{third} {figures.EMPTY}"
    sign = f"°{unit.value}"
    wet = f"wet bulb {figures.number(in_unit(float(state.wet_bulb_c), unit), 1)} {sign}"
    apart = f"depression {figures.number(difference_in_unit(float(state.depression_c), unit), 1)} {sign}"
    return (
        f"RH {figures.number(float(state.rh_pct), 0)} %",
        f"EMC {figures.number(air.emc_pct, 1)} %",
        apart if air.which is Second.WET_BULB else wet,
    )
