"""A test of the stress that drying left in a piece."""

from dataclasses import dataclass

from kilnlog.records.errors import MissingValue
from kilnlog.records.references import ChargeRef, LotRef
from kilnlog.records.words import StressFound, StressTestKind


@dataclass(frozen=True, slots=True)
class StressTest:
    """One piece tested. ``value`` is a movement or a gap for prongs and slices, the shell's MC otherwise.

    Raises ``MissingValue`` where nothing was found or measured, or a measured value has no unit.
    """

    charge: ChargeRef
    lot: LotRef
    kind: StressTestKind
    piece: str | None = None
    found: StressFound | None = None
    value: float | None = None  # [unit]; of shell and core: the shell [%]
    core_value: float | None = None  # of shell and core alone: the core [%]
    unit: str | None = None
    limit: float | None = None  # the most that passes [unit]; of shell and core: the difference [% MC]
    hours_waited: float | None = None  # between cutting and reading
    note: str | None = None

    def __post_init__(self) -> None:
        if self.found is None and self.value is None:
            raise MissingValue(column="value")
        if self.value is not None and self.unit is None:
            raise MissingValue(column="unit")
        if self.kind is StressTestKind.SHELL_AND_CORE and (self.value is None or self.core_value is None):
            raise MissingValue(column="core_value" if self.value is not None else "value")
