"""Defects as they are typed, line by line, and as they are told: share of the lot, cause, what to do."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kilnlog.drying.closing.defects import DefectFigure, DefectFigures, LotSize
from kilnlog.drying.closing.tally import TallyFigures
from kilnlog.logbook import figures
from kilnlog.logbook.tally_lines import volume_typed, volume_words
from kilnlog.logbook.typed_line import TypedLine, plain
from kilnlog.records.defect import Defect
from kilnlog.records.errors import MissingValue
from kilnlog.records.lot import Lot
from kilnlog.records.words import DefectKind, Severity, VolumeUnit
from kilnlog.reference.defects import Said
from kilnlog.reference.rows import Standing

KIND, SEVERITY, PIECES, VOLUME, NOTE = "kind", "severity", "pieces", "volume", "note"


def defect(charge: str, lot: str, texts: Mapping[str, str], decimal_mark: str, unit: VolumeUnit) -> Defect:
    """The fact a typed line makes; a volume without its unit is in ``unit``, the lot's.

    Raises:
        KilnlogError: with the value ``column`` of the field it is about.
    """
    line = TypedLine(texts, decimal_mark)
    kind = line.needed_word(KIND, DefectKind)
    note = line.text(NOTE)
    if kind is DefectKind.OTHER and note is None:
        raise MissingValue(column=NOTE)
    volume, volume_unit = volume_typed(line, VOLUME, unit)
    return Defect(
        charge,
        lot,
        kind,
        line.word(SEVERITY, Severity),
        line.count(PIECES, least=1),
        volume,
        volume_unit,
        note,
    )


def texts_of(fact: Defect, decimal_mark: str) -> dict[str, str]:
    """A defect as it would be typed."""
    unit = f" {fact.volume_unit.value}" if fact.volume_unit is not None else ""
    return {
        KIND: fact.kind.value,
        SEVERITY: fact.severity.value if fact.severity is not None else "",
        PIECES: plain(fact.pieces, decimal_mark),
        VOLUME: f"{plain(fact.volume, decimal_mark)}{unit}" if fact.volume is not None else "",
        NOTE: fact.note or "",
    }


def cells(fact: Defect) -> tuple[str, ...]:
    """Kind, severity, pieces, volume, note."""
    return (
        fact.kind.value,
        fact.severity.value if fact.severity is not None else figures.EMPTY,
        figures.number(fact.pieces),
        _as_typed(fact),
        fact.note or "",
    )


def said(fact: Defect) -> str:
    """For the foot: ``Cup, moderate, 4 pieces``."""
    parts = (
        fact.kind.value.capitalize(),
        fact.severity.value if fact.severity is not None else "",
        figures.count(fact.pieces, "piece") if fact.pieces is not None else "",
        _as_typed(fact) if fact.volume is not None else "",
    )
    return ", ".join(part for part in parts if part)


def _as_typed(fact: Defect) -> str:
    if fact.volume is None or fact.volume_unit is None:
        return figures.EMPTY
    return f"{figures.trimmed(fact.volume)} {fact.volume_unit.value.replace('m3', 'm³')}"


def doubts(fact: Defect, size: LotSize) -> tuple[str, ...]:
    """What is odd about it, in sentences."""
    told = []
    if fact.pieces is not None and size.pieces is not None and fact.pieces > size.pieces:
        told.append(
            f"The lot has {figures.count(size.pieces, 'piece')}, fewer than {figures.number(fact.pieces)}."
        )
    if (
        fact.volume is not None
        and size.volume is not None
        and fact.volume_unit is size.unit
        and fact.volume > size.volume
    ):
        whole = figures.volume(size.volume, size.unit)
        told.append(f"The lot holds {whole}, less than {_as_typed(fact)}.")
    return tuple(told)


def lot_size(lot: Lot, tally: TallyFigures | None) -> LotSize:
    """What a lot's defects are a share of: the net tally, else what was written at loading."""
    unit = lot.volume_unit or VolumeUnit.BOARD_FEET
    if tally is None:
        return LotSize(None, lot.volume, unit)
    pieces = tally.net_pieces if tally.net_pieces is not None else tally.green_pieces
    return LotSize(pieces, tally.net if tally.net is not None else lot.volume, unit)


def group_title(group: DefectFigure) -> str:
    """``Cup, moderate: 4 pieces, 3.2 % of the lot's pieces; 12.5 bf, 2.0 % of its volume``."""
    name = group.kind.value.capitalize()
    if group.kind is DefectKind.OTHER:
        name = group.lines[0].note or name
    if group.severity is not None:
        name += f", {group.severity.value}"
    parts = []
    if group.pieces is not None:
        share = (
            f", {figures.number(group.pieces_share_pct, 1)} % of the lot’s pieces"
            if group.pieces_share_pct is not None
            else ""
        )
        parts.append(f"{figures.count(group.pieces, 'piece')}{share}")
    if group.volume is not None:
        share = (
            f", {figures.number(group.volume_share_pct, 1)} % of its volume"
            if group.volume_share_pct is not None
            else ""
        )
        parts.append(f"{volume_words(group.volume, group.unit)}{share}")
    return f"{name}: {'; '.join(parts)}" if parts else name


def lore_sentences(group: DefectFigure) -> tuple[str, ...]:
    """Why it comes and what to do next time, each with where it is from; none of a kind nobody wrote of."""
    if group.lore is None:
        return ()
    return (f"Why: {sourced(group.lore.cause)}", f"Next time: {sourced(group.lore.next_time)}")


def sourced(said: Said) -> str:
    """A statement with its source; one from memory says so."""
    memory = said.standing is not Standing.VERIFIED and "from memory" not in said.source
    return f"{said.text} ({said.source}{'; ' + said.standing.value if memory else ''})"


def working_lines(found: DefectFigures, size: LotSize) -> Iterable[str]:
    """How the shares came about."""
    for group in found.groups:
        name = group.kind.value.capitalize()
        if group.pieces is not None and group.pieces_share_pct is not None:
            share = figures.number(group.pieces_share_pct, 2)
            yield f"{name}: {figures.number(group.pieces)} ÷ {figures.number(size.pieces)} pieces = {share} %"
        if group.volume is not None and group.volume_share_pct is not None:
            share = figures.number(group.volume_share_pct, 2)
            whole = figures.volume(size.volume, size.unit)
            yield f"{name}: {figures.trimmed(group.volume)} ÷ {whole} = {share} %"


def total_words(found: DefectFigures) -> tuple[str | None, str | None]:
    """What was degraded in all: the volume, and its share [%]; None where a line does not tell."""
    volume = volume_words(found.volume, found.unit) if found.volume is not None else None
    share = figures.number(found.volume_share_pct, 1) if found.volume_share_pct is not None else None
    return volume, share


NOT_TOLD = "Where a line gives no volume, none is added up, and a piece with two defects counts twice."
