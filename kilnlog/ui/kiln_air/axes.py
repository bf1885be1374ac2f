"""The axes of the air: temperature at the left, and where the humidity is drawn, its scale at the right."""

from __future__ import annotations

from collections.abc import Sequence

import pyqtgraph as pg

from kilnlog.ui.drying_curve.axes import MoistureAxis

_RH_STEPS = (5.0, 10.0, 20.0, 50.0)
_APART_PX = 30


class TemperatureAxis(MoistureAxis):
    """Round temperatures; the unit stands once, on the top tick."""

    def __init__(self) -> None:
        super().__init__()
        self.unit = "°F"
        self.clear_px = 0.0  # at the top, for the lane of events: no figure stands there

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One level of round values, none of them in the lane."""
        levels = super().tickValues(low, high, size)
        top = high - (high - low) * self.clear_px / size if size > 0 else high
        return [(step, [value for value in values if value <= top]) for step, values in levels]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Figures, the last with the unit."""
        written = [f"{value:.{0 if spacing >= 1 else 1}f}" for value in values]
        return [*written[:-1], f"{written[-1]} {self.unit}"] if written else []


class HumidityAxis(pg.AxisItem):
    """RH, drawn on the temperature's scale: ``set_span`` says which temperatures 0 and 100 % stand at."""

    def __init__(self) -> None:
        super().__init__("right")
        self.enableAutoSIPrefix(False)
        self._zero, self._per_pct = 0.0, 1.0

    def set_span(self, zero: float, hundred: float) -> None:
        """0 % stands at ``zero`` on the temperature's scale, 100 % at ``hundred``."""
        self._zero, self._per_pct = zero, (hundred - zero) / 100
        self.picture = None
        self.update()

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """Round humidities from 0 to 100 %."""
        if not high > low or size <= 0:
            return []
        px_per_pct = size * self._per_pct / (high - low)
        step = next((one for one in _RH_STEPS if one * px_per_pct >= _APART_PX), 100.0)
        told = [number * step for number in range(int(100 // step) + 1)]
        return [(step * self._per_pct, [self._zero + one * self._per_pct for one in told])]

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Figures, the last with what they are."""
        written = [f"{(value - self._zero) / self._per_pct:.0f}" for value in values]
        return [*written[:-1], f"{written[-1]} % RH"] if written else []
