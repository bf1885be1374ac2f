"""A drying defect seen as a lot was unloaded, in pieces or volume."""

from dataclasses import dataclass

from kilnlog.records.errors import MissingValue
from kilnlog.records.references import ChargeRef, LotRef
from kilnlog.records.words import DefectKind, Severity, VolumeUnit


@dataclass(frozen=True, slots=True)
class Defect:
    """One kind of defect at one severity in one lot.

    Raises ``MissingValue`` where a volume has no unit or a defect of another kind is not described.
    """

    charge: ChargeRef
    lot: LotRef
    kind: DefectKind
    severity: Severity | None = None
    pieces: int | None = None
    volume: float | None = None  # degraded by it [volume_unit]
    volume_unit: VolumeUnit | None = None
    note: str | None = None

    def __post_init__(self) -> None:
        if self.volume is not None and self.volume_unit is None:
            raise MissingValue(column="volume_unit")
        if self.kind is DefectKind.OTHER and not self.note:
            raise MissingValue(column="note")
