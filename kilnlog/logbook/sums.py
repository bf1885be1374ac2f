"""Weights as they stand in a written-out sum: all in one unit, computed ones with a digit more than shown."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.figures import BoardFigures, Point
from kilnlog.logbook import figures
from kilnlog.logbook.units import weight_unit_of
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.weight import GRAMS_PER_UNIT, Weight, WeightUnit

#: Sums cannot be done in two units at once: pounds and ounces are written as pounds.
_SUM_UNIT = {WeightUnit.LB_OZ: WeightUnit.LB}
#: Decimals of a computed weight as shown; a sum carries one more.
_DECIMALS = {WeightUnit.G: 0, WeightUnit.KG: 3, WeightUnit.LB: 2, WeightUnit.OZ: 1}


@dataclass(frozen=True)
class Sums:
    """How one board's weights are written."""

    unit: WeightUnit
    division_g: float

    @classmethod
    def of(cls, record: ChargeRecord, board: BoardFigures) -> Sums:
        """In the unit the charge is weighed in."""
        unit = weight_unit_of(record)
        return cls(_SUM_UNIT.get(unit, unit), board.scale_division_g or 1.0)

    def typed(self, weight: Weight) -> str:
        """A typed weight, with the decimals its text has, or one more where it was typed in another unit."""
        if weight.unit is self.unit:
            return self._written(weight.g, figures.decimals_of(float(weight.step_g) / self._per_unit))
        return self._written(weight.g, _DECIMALS[self.unit] + 2)

    def shown(self, grams: float) -> str:
        """A computed weight as shown."""
        return self._written(grams, _DECIMALS[self.unit])

    def computed(self, grams: float) -> str:
        """A computed weight inside a sum."""
        return self._written(grams, _DECIMALS[self.unit] + 1)

    def weighed(self, grams: float) -> str:
        """A weight of the board's own scale."""
        return self._written(grams, figures.decimals_of(self.division_g / self._per_unit))

    def net(self, point: Point) -> str:
        """The weight of a point, less the end coats that were on the board."""
        coats_g = point.weight_g - point.net_weight_g
        if coats_g <= 1e-6:
            return self.weighed(point.weight_g)
        return f"({self.weighed(point.weight_g)} − {self.computed(coats_g)} end coat)"

    def division(self) -> str:
        """One step of the board's scale."""
        return f"{figures.trimmed(self.division_g / self._per_unit, 4)} {self.unit.value}"

    @property
    def _per_unit(self) -> float:
        return float(GRAMS_PER_UNIT[self.unit])

    def _written(self, grams: float, decimals: int) -> str:
        return f"{figures.number(grams / self._per_unit, decimals)} {self.unit.value}"
