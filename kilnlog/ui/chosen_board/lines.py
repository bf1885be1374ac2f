"""A board's sections, bases and weights as ruled lines."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.logbook import figures
from kilnlog.logbook.board_ledger import LedgerLine
from kilnlog.logbook.board_sections import SectionLine
from kilnlog.logbook.board_sheet import BasisLine, BoardSheet
from kilnlog.records.moment import Moment
from kilnlog.ui.look.lines import Cell, Column, Line
from kilnlog.ui.look.painting import Mark
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.weighing_round.keeper import Typed, TypedState

SECTION_COLUMNS = (
    Column("Section", figures=False),
    Column("Wet, g"),
    Column("Oven-dry, g"),
    Column("MC, %"),
    Column("Dried", fills=True),
)


@dataclass(frozen=True, slots=True)
class RowKey:
    """The fact a line stands for."""

    table: str
    entity: str


def ledger_columns(sheet: BoardSheet) -> tuple[Column, ...]:
    """The columns of the weighings."""
    return (
        Column("When", figures=False),
        Column(sheet.weight_of),
        Column("MC, %"),
        Column("% a day"),
        Column("", fills=True),
    )


def basis_columns(sheet: BoardSheet) -> tuple[Column, ...]:
    """The columns of the bases."""
    corrected = any(line.corrected for line in sheet.bases)
    return (
        Column("Oven-dry weight", figures=False),
        Column("", figures=False, fills=True),
        Column(f"At first, {sheet.unit.value}" if corrected else f"{sheet.unit.value}"),
        *((Column(f"Corrected, {sheet.unit.value}"),) if corrected else ()),
    )


def section_line(line: SectionLine) -> Line:
    """A section; a rejected one is struck through, with its reason."""
    worked_out = "pencil" if line.oven_dry_worked_out else "ink"
    return Line(
        (
            Cell(line.section, "ink2" if line.rejected else "ink", Role.BODY),
            Cell(line.wet, "ink", Role.FIGURE_TYPED, line.rejected),
            Cell(line.oven_dry, worked_out, Role.FIGURE_TYPED, line.rejected),
            Cell(line.mc, "pencil", Role.FIGURE, line.rejected),
            Cell(line.dried, "ink2", Role.SAID if line.rejected or line.in_oven else Role.TINY),
        ),
        RowKey(line.table, line.entity),
        Mark.STRUCK_RING if line.rejected else None,
        said="rejected" if line.rejected else "",
    )


def basis_line(line: BasisLine, corrected: bool) -> Line:
    """A basis; the one in force in full pencil, those before it in their time."""
    cells = (
        Cell(line.said, "ink" if line.in_force else "ink2", Role.BODY),
        Cell(line.since, "ink2", Role.TINY),
        Cell(line.weight, "pencil", Role.FIGURE),
        *((Cell(line.corrected, "pencil", Role.FIGURE),) if corrected else ()),
    )
    return Line(cells, said="in force" if line.in_force else "")


def typed_line(typed: Typed, at: Moment, now: Moment) -> Line:
    """A weight typed in the round and not kept."""
    refused = typed.state is TypedState.REFUSED
    colour = "act" if refused else "look"
    text = figures.grouped_text(typed.text)
    return Line(
        (
            Cell(figures.day_and_time(at, now), "ink", Role.BODY),
            Cell(text, "ink2", Role.FIGURE_TYPED),
            Cell(figures.EMPTY, "ink2", Role.FIGURE),
            Cell(figures.EMPTY, "ink2", Role.FIGURE),
            Cell("not kept" if refused else "not kept yet", colour, Role.SAID),
        ),
        None,
        Mark.ACT if refused else Mark.LOOK,
        "act_bg" if refused else "look_bg",
        said="not kept",
    )


def ledger_line(line: LedgerLine, *, ruled: bool) -> Line:
    """A weight that counts, or a version of it that no longer does."""
    remarks = ", ".join(line.remarks)
    if line.superseded:
        return Line(
            (
                Cell(line.when, "ink2", Role.BODY),
                Cell(line.weight, "ink2", Role.FIGURE_TYPED, struck=True),
                Cell(),
                Cell(),
                Cell(remarks, "ink2", Role.SAID),
            ),
            mark=Mark.STRUCK_RING if line.withdrawn_line else None,
            ruled=ruled,
            said="taken back" if line.withdrawn_line else "superseded",
        )
    return Line(
        (
            Cell(line.when, "ink", Role.BODY),
            Cell(line.weight, "ink", Role.FIGURE_TYPED),
            Cell(line.mc, "pencil", Role.FIGURE),
            Cell(line.rate, "pencil", Role.FIGURE),
            Cell(remarks, "ink2", Role.SAID),
        ),
        RowKey(line.table, line.entity),
        Mark.LATE if line.late else None,
        ruled=ruled,
    )


def ledger_lines(lines: tuple[LedgerLine, ...]) -> list[Line]:
    """All of them; no rule between a weight and the versions under it."""
    following = [*lines[1:], None]
    return [
        ledger_line(line, ruled=after is None or not after.superseded or after.withdrawn_line)
        for line, after in zip(lines, following, strict=True)
    ]
