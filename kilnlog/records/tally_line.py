"""A line of the tally: pieces of one size and class, or a total alone."""

from dataclasses import dataclass

from kilnlog.records.errors import MissingValue
from kilnlog.records.references import ChargeRef, LotRef
from kilnlog.records.words import LengthUnit, TallyTime, VolumeUnit


@dataclass(frozen=True, slots=True)
class TallyLine:
    """Pieces with their size, or a volume, or both: then the volume is the operator's own total.

    Raises ``MissingValue`` where there is neither, a size has no unit or a volume has none.
    """

    charge: ChargeRef
    lot: LotRef
    when: TallyTime
    grade: str | None = None  # the class, in the mill's words
    thickness: str | None = None  # as typed: 4/4, 1 1/4 in, 27 mm
    width: float | None = None  # [width_unit]
    width_unit: LengthUnit | None = None
    length: float | None = None  # [length_unit]
    length_unit: LengthUnit | None = None
    pieces: int | None = None
    volume: float | None = None  # of all its pieces [volume_unit]
    volume_unit: VolumeUnit | None = None
    note: str | None = None

    def __post_init__(self) -> None:
        pairs = (("width", "width_unit"), ("length", "length_unit"), ("volume", "volume_unit"))
        for figure, unit in pairs:
            if getattr(self, figure) is not None and getattr(self, unit) is None:
                raise MissingValue(column=unit)
        if self.volume is None:
            for column in ("pieces", "thickness", "width", "length"):
                if getattr(self, column) is None:
                    raise MissingValue(column=column)
