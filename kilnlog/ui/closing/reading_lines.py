"""The readings of a lot as lines of a table: meters', oven-dried pieces', sample boards'."""

from __future__ import annotations

from collections.abc import Iterable

from kilnlog.drying.closing.figures import Limits, ReadingFigures
from kilnlog.drying.closing.statistics import side_of
from kilnlog.logbook import figures
from kilnlog.logbook.final_readings import CORRECTION, DRY, PACK, PIECE, READING, WET, WOOD, signed
from kilnlog.ui.closing.entry_table import EntryColumn
from kilnlog.ui.closing.line_keeper import Draft
from kilnlog.ui.look.lines import Cell, Line
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.look.sizes import Role

METER_COLUMNS = (
    EntryColumn("Pack", 54, PACK, figures=False, carried=True),
    EntryColumn("Piece", 62, PIECE, figures=False, carried=True),
    EntryColumn("Read, %", 86, READING, name="Read, percent"),
    EntryColumn("Wood", 86, WOOD, carried=True, name="Wood's temperature"),
    EntryColumn("Temp. corr.", 94, CORRECTION, carried=True, name="Temperature correction"),
    EntryColumn("Species corr.", 99),
    EntryColumn("MC, %", 64),
    EntryColumn("", 60, figures=True, fills=True),
)
OVEN_COLUMNS = (
    EntryColumn("Pack", 58, PACK, figures=False, carried=True),
    EntryColumn("Piece", 80, PIECE, figures=False, carried=True),
    EntryColumn("Wet", 130, WET),
    EntryColumn("Oven-dry", 130, DRY),
    EntryColumn("MC, %", 90),
    EntryColumn("", 60, figures=True, fills=True),
)
BOARD_COLUMNS = (
    EntryColumn("Board", 80, figures=False),
    EntryColumn("MC, %", 90),
    EntryColumn("", 60, figures=True, fills=True),
)
BEING_KEPT = "being kept…"


def meter_lines(readings: Iterable[ReadingFigures], limits: Limits) -> list[Line]:
    """What a meter showed beside its corrections, and what they make of it."""
    return [
        Line(
            (
                Cell(one.pack or ""),
                Cell(one.piece or ""),
                _typed(_read(one.reading_pct)),
                _typed(figures.trimmed(one.wood_temperature) if one.wood_temperature is not None else ""),
                _computed(signed(one.temperature_correction_pct)),
                _typed(signed(one.species_correction_pct)),
                _computed("over 30" if one.over else figures.mc(one.mc_pct)),
                _remark(one, limits),
            ),
            one.entity,
            Mark.NOTE if _is_outside(one, limits) else None,
        )
        for one in readings
    ]


def oven_lines(readings: Iterable[ReadingFigures], limits: Limits) -> list[Line]:
    """Weights as typed."""
    return [
        Line(
            (
                Cell(one.pack or ""),
                Cell(one.piece or ""),
                _typed(figures.as_typed(one.wet_weight) if one.wet_weight is not None else ""),
                _typed(figures.as_typed(one.oven_dry_weight) if one.oven_dry_weight is not None else ""),
                _computed(figures.mc(one.mc_pct)),
                _remark(one, limits),
            ),
            one.entity,
            Mark.NOTE if _is_outside(one, limits) else None,
        )
        for one in readings
    ]


def board_lines(readings: Iterable[ReadingFigures], limits: Limits) -> list[Line]:
    """Sample boards: only to be seen here."""
    return [
        Line(
            (
                Cell(one.piece or ""),
                _computed(figures.mc(one.mc_pct)),
                _remark(one, limits),
            )
        )
        for one in readings
    ]


def draft_lines(drafts: Iterable[Draft], columns: tuple[EntryColumn, ...]) -> list[Line]:
    """Lines the file does not hold yet; a refused one can be opened, and is typed anew."""
    lines = []
    for draft in drafts:
        cells = [Cell(draft.texts.get(column.key, ""), "ink2") for column in columns[:-1]]
        last = Cell(
            f"not kept: {draft.refused}" if draft.refused else BEING_KEPT, "act" if draft.refused else "ink2"
        )
        mark = Mark.ACT if draft.refused else None
        lines.append(
            Line((*cells, last), draft if draft.refused else None, mark, "act_bg" if draft.refused else None)
        )
    return lines


def _typed(text: str) -> Cell:
    return Cell(text, "ink", Role.FIGURE_TYPED)


def _computed(text: str) -> Cell:
    return Cell(text, "pencil", Role.FIGURE)


def _read(reading_pct: float | None) -> str:
    """As a meter shows it: a decimal at least."""
    shown = figures.trimmed(reading_pct)
    return f"{shown}.0" if shown.isdigit() else shown


def _is_outside(one: ReadingFigures, limits: Limits) -> bool:
    if one.over or one.mc_pct is None:
        return one.over
    return side_of(one.mc_pct, limits.low_pct, limits.high_pct) != 0


def _remark(one: ReadingFigures, limits: Limits) -> Cell:
    """The side it is outside on first; small where there is more to say, so that it finds room."""
    parts = []
    if one.over or (one.mc_pct is not None and _is_outside(one, limits)):
        above = one.over or (
            one.mc_pct is not None and side_of(one.mc_pct, limits.low_pct, limits.high_pct) > 0
        )
        parts.append("above" if above else "below")
    parts += [part for part in ("extrapolated" if one.extrapolated else "", one.note or "") if part]
    return Cell(", ".join(parts), "ink2", Role.TINY if len(parts) > 1 else Role.BODY)
