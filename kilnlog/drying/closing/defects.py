"""Defects of a lot by kind and severity: pieces, volume, share of the lot, and what print says of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kilnlog.records.defect import Defect
from kilnlog.records.measures import board_feet, cubic_metres
from kilnlog.records.words import DefectKind, Severity, VolumeUnit
from kilnlog.reference.defects import DefectLore, defect_lore


@dataclass(frozen=True, slots=True)
class LotSize:
    """What a lot is a share of; None what is not known."""

    pieces: int | None
    volume: float | None  # [unit]
    unit: VolumeUnit


@dataclass(frozen=True, slots=True)
class DefectFigure:
    """One kind of defect at one severity.

    Attributes:
        lines: The facts it was added up from.
        pieces: How many pieces; None where a line does not tell.
        volume: How much [unit]; None where a line does not tell.
        unit: Of the volume: the lot's.
        pieces_share_pct: Of the lot's pieces [%].
        volume_share_pct: Of the lot's volume [%].
        lore: Its cause and what to do in the next charge, as published; None for another kind.
    """

    kind: DefectKind
    severity: Severity | None
    lines: tuple[Defect, ...]
    pieces: int | None
    volume: float | None
    unit: VolumeUnit
    pieces_share_pct: float | None
    volume_share_pct: float | None
    lore: DefectLore | None


@dataclass(frozen=True, slots=True)
class DefectFigures:
    """The defects of one lot.

    Attributes:
        groups: By kind, the most severe first.
        volume: Degraded in all [unit], a piece with two defects twice; None where a line does not tell.
        volume_share_pct: Of the lot's volume [%].
    """

    groups: tuple[DefectFigure, ...]
    volume: float | None
    unit: VolumeUnit
    volume_share_pct: float | None


def defects_of(lines: Iterable[Defect], lot: LotSize) -> DefectFigures:
    """Add up the defects of one lot.

    What another kind of defect is, its note says: two of them are two groups.
    """
    grouped: dict[tuple[DefectKind, Severity | None, str | None], list[Defect]] = {}
    for line in lines:
        note = line.note if line.kind is DefectKind.OTHER else None
        grouped.setdefault((line.kind, line.severity, note), []).append(line)
    order = list(DefectKind)
    by_severity: list[Severity | None] = [*reversed(Severity), None]
    ordered = sorted(
        grouped.items(), key=lambda item: (order.index(item[0][0]), by_severity.index(item[0][1]))
    )
    lore = defect_lore()
    groups = tuple(
        _group(kind, severity, found, lot, lore.get(kind)) for (kind, severity, _), found in ordered
    )
    volume = _sum([group.volume for group in groups])
    return DefectFigures(groups, volume, lot.unit, _share(volume, lot.volume))


def _group(
    kind: DefectKind,
    severity: Severity | None,
    lines: Sequence[Defect],
    lot: LotSize,
    lore: DefectLore | None,
) -> DefectFigure:
    pieces = [line.pieces for line in lines]
    known = [count for count in pieces if count is not None]
    count = sum(known) if len(known) == len(pieces) else None
    volume = _sum([_volume(line, lot.unit) for line in lines])
    return DefectFigure(
        kind=kind,
        severity=severity,
        lines=tuple(lines),
        pieces=count,
        volume=volume,
        unit=lot.unit,
        pieces_share_pct=_share(count, lot.pieces),
        volume_share_pct=_share(volume, lot.volume),
        lore=lore,
    )


def _volume(line: Defect, unit: VolumeUnit) -> float | None:
    if line.volume is None or line.volume_unit is None:
        return None
    convert = board_feet if unit is VolumeUnit.BOARD_FEET else cubic_metres
    return convert(line.volume, line.volume_unit)


def _sum(volumes: Sequence[float | None]) -> float | None:
    """Of all; None where one is not known, or there is none."""
    known = [volume for volume in volumes if volume is not None]
    return sum(known) if known and len(known) == len(volumes) else None


def _share(part: float | None, whole: float | None) -> float | None:
    return None if part is None or not whole else 100 * part / whole
