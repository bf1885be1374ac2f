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
from kilnlog.ui.weighing_round.typed import Typed, TypedState

#: Letters that fit beside the figures; a longer remark stands under them.
LONGEST_REMARK = 12

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
        Column("Basis", figures=False),
        Column("", figures=False, fills=True),
        Column(f"Oven-dry, {sheet.unit.value}"),
        *((Column(f"Corrected, {sheet.unit.value}"),) if corrected else ()),
    )


def section_lines(sections: tuple[SectionLine, ...]) -> list[Line]:
    """The sections; a rejected one is struck through, its reason under it."""
    return [line for section in sections for line in _section_lines(section)]


def _section_lines(line: SectionLine) -> list[Line]:
    worked_out = "pencil" if line.oven_dry_worked_out else "ink"
    rejected = bool(line.rejected_because)
    shown = Line(
        (
            Cell(line.section, "ink2" if rejected else "ink", Role.BODY),
            Cell(line.wet, "ink", Role.FIGURE_TYPED, rejected),
            Cell(line.oven_dry, worked_out, Role.FIGURE_TYPED, rejected),
            Cell(line.mc, "pencil", Role.FIGURE, rejected),
            Cell(line.dried, "ink2", Role.SAID if line.in_oven else Role.TINY),
        ),
        RowKey(line.table, line.entity),
        Mark.STRUCK_RING if rejected else None,
        ruled=not rejected,
        said="rejected" if rejected else "",
    )
    return [shown, _remark(line.rejected_because, 5)] if rejected else [shown]


def _remark(text: str, columns: int, *, ruled: bool = True) -> Line:
    """A remark too long to stand in its column: on a line of its own."""
    return Line((*(Cell() for _ in range(columns - 1)), Cell(text, "ink2", Role.SAID)), ruled=ruled)


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


def ledger_lines(lines: tuple[LedgerLine, ...]) -> list[Line]:
    """All of them; no rule between a weight and what is said under it."""
    following = [*lines[1:], None]
    shown = []
    for line, after in zip(lines, following, strict=True):
        ends = after is None or not after.superseded or after.withdrawn_line
        shown += _ledger_lines(line, ruled=ends)
    return shown


def _ledger_lines(line: LedgerLine, *, ruled: bool) -> list[Line]:
    """A weight that counts, or a version of it that no longer does."""
    remark = ", ".join(line.remarks)
    if line.superseded:
        return [
            Line(
                (
                    Cell(line.when, "ink2", Role.BODY),
                    Cell(line.weight, "ink2", Role.FIGURE_TYPED, struck=True),
                    Cell(),
                    Cell(),
                    Cell(remark, "ink2", Role.SAID),
                ),
                mark=Mark.STRUCK_RING if line.withdrawn_line else None,
                ruled=ruled,
                said="taken back" if line.withdrawn_line else "superseded",
            )
        ]
    beneath = len(remark) > LONGEST_REMARK
    weight = Line(
        (
            Cell(line.when, "ink", Role.BODY),
            Cell(line.weight, "ink", Role.FIGURE_TYPED),
            Cell(line.mc, "pencil", Role.FIGURE),
            Cell(line.rate, "pencil", Role.FIGURE),
            Cell("" if beneath else remark, "ink2", Role.SAID),
        ),
        RowKey(line.table, line.entity),
        Mark.LATE if line.late else None,
        ruled=ruled and not beneath,
    )
    return [weight, _remark(remark, 5, ruled=ruled)] if beneath else [weight]
