"""The arithmetic of one board as rows of live formulas, beside what the program makes of the same numbers.

Columns are those of the checking sheet. Nothing is taken from the program but the weights as typed and which
reading of a section in the oven counts; its other figures stand in the column beside, to be compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kilnlog.drying.facts_at import BoardFacts, Seen
from kilnlog.drying.figures import BoardFigures, Point, PointKind
from kilnlog.records.breakage import Breakage
from kilnlog.records.moment import Moment
from kilnlog.records.recut import Recut

#: Columns of the sheet.
WEIGHT, COATS, NET, DRY, MC, PROGRAM, DIFFERENCE = "E", "F", "G", "H", "I", "J", "K"


@dataclass
class CheckingRow:
    """One row. Weights in grams; formulas without the leading sign, ``{row}`` standing for the row."""

    what: str
    at: Moment | None = None
    weight_g: float | None = None
    coats_g: float | None = None
    dry_g: float | None = None
    dry: str | None = None  # formula
    mc: str | None = None  # formula
    program: float | None = None
    compares: str | None = None  # MC or DRY

    @property
    def net(self) -> str | None:
        """The weight without end coats."""
        return None if self.weight_g is None else f"{WEIGHT}{{row}}-{COATS}{{row}}"


@dataclass
class _Piece:
    """A board between two cuts: where its oven-dry weight stands on the sheet, and what its coats weigh."""

    coats_g: float
    first: int | None = None  # the row of its first estimate
    governs: int | None = None  # the row of what governs
    begins: int | None = None  # the row of the weight after the cut before it
    ends: int | None = None  # the row of the weight before the cut after it
    ends_with_mc: int | None = None  # the row of the recut's section that ended it, once dry
    point: Point | None = None  # one of its weights, for comparing


def checking_rows(
    figures: BoardFigures, facts: BoardFacts, at: Moment, first_row: int
) -> Iterator[CheckingRow]:
    """The rows of one board as of ``at``, the first standing in row ``first_row`` of the sheet."""
    return iter(_Board(figures, facts, at, first_row).rows())


class _Board:
    def __init__(self, figures: BoardFigures, facts: BoardFacts, at: Moment, first_row: int) -> None:
        self._figures = figures
        self._facts = facts
        self._at = at
        self._first_row = first_row
        self._rows: list[CheckingRow] = []
        self._bases = iter(figures.bases)

    def rows(self) -> list[CheckingRow]:
        pieces = [self._start()]
        for cut in self._cuts():
            pieces.append(self._cut(pieces[-1], cut))
        self._share_points(pieces)
        self._correct_backwards(pieces)
        self._points(pieces)
        return self._rows

    def _add(self, row: CheckingRow) -> int:
        self._rows.append(row)
        return self._first_row + len(self._rows) - 1

    def _start(self) -> _Piece:
        board = self._figures.fact
        counting = []
        for section in self._figures.sections:
            is_counting = section.rejected_because is None and section.mc_pct is not None
            section_row = self._add(
                CheckingRow(
                    f"section {section.section}" + ("" if section.rejected_because is None else ", rejected"),
                    weight_g=section.wet_weight_g,
                    dry_g=section.oven_dry_weight_g,
                    mc=_mc_formula(WEIGHT) if section.mc_pct is not None else None,
                    program=section.mc_pct,
                    compares=MC,
                )
            )
            if is_counting:
                counting.append(f"{MC}{section_row}")
        start_g, typed = board.start_weight.g, board.oven_dry_weight
        piece = _Piece(0.0 if board.coating_weight is None else board.coating_weight.g)
        if typed is not None:
            row = CheckingRow("oven-dry weight as typed", self._figures.cut_at, start_g, dry_g=typed.g)
            row.mc, row.program, row.compares = _mc_formula(NET), self._figures.start_mc_pct, MC
            piece.first = self._add(row)
            next(self._bases, None)
        elif counting:
            mean = CheckingRow("MC when cut: mean of its sections", self._figures.cut_at)
            mean.mc, mean.program, mean.compares = (
                f"AVERAGE({','.join(counting)})",
                self._figures.start_mc_pct,
                MC,
            )
            mean_row = self._add(mean)
            row = CheckingRow("oven-dry weight from sections", self._figures.cut_at, start_g)
            row.dry = f"100*{NET}{{row}}/(100+{MC}{mean_row})"
            piece.first = self._add_basis(row)
        return piece

    def _add_basis(self, row: CheckingRow) -> int:
        basis = next(self._bases, None)
        row.program, row.compares = None if basis is None else basis.oven_dry_weight_g, DRY
        return self._add(row)

    def _cuts(self) -> Sequence[Seen[Recut | Breakage]]:
        cuts: list[Seen[Recut | Breakage]] = [*self._facts.recuts, *self._facts.breaks]
        return sorted(cuts, key=lambda cut: cut.at.utc)

    def _cut(self, piece: _Piece, cut: Seen[Recut | Breakage]) -> _Piece:
        """The rows of a recut or a break; returns the piece it leaves."""
        fact = cut.fact
        name = "recut" if isinstance(fact, Recut) else "break"
        piece.ends = self._add(
            CheckingRow(f"{name}: weight before", cut.at, fact.weight_before.g, piece.coats_g)
        )
        after = CheckingRow(f"{name}: weight after", cut.at, fact.weight_after.g, piece.coats_g)
        left = _Piece(piece.coats_g)
        if isinstance(fact, Recut):
            left.coats_g += 0.0 if fact.coating_weight is None else fact.coating_weight.g
            dry = fact.section_oven_dry
            if dry is not None and (fact.dried_at or cut.at) <= self._at:
                section = CheckingRow("recut: section", cut.at, fact.section_wet.g, dry_g=dry.g)
                section.mc, section.compares = _mc_formula(WEIGHT), MC
                section.program = self._mc_at(cut.entity)
                piece.ends_with_mc = self._add(section)
                after.what = "recut: oven-dry weight of what is left"
                after.dry = f"100*{NET}{{row}}/(100+{MC}{piece.ends_with_mc})"
                left.begins = left.first = self._add_basis(after)
                return left
        if piece.first is not None:
            after.what = f"{name}: oven-dry weight carried on"
            after.dry = f"{DRY}{piece.first}*{NET}{{row}}/{NET}{piece.ends}"
            left.begins = left.first = self._add_basis(after)
        else:
            left.begins = self._add(after)
        return left

    def _mc_at(self, entity: str) -> float | None:
        return next((point.mc_pct for point in self._figures.points if point.entity == entity), None)

    def _share_points(self, pieces: Sequence[_Piece]) -> None:
        for point, piece in self._points_with(pieces):
            piece.point = piece.point or point

    def _points_with(self, pieces: Sequence[_Piece]) -> Iterator[tuple[Point, _Piece]]:
        """Every weight of the board with the piece it was the weight of."""
        number = 0
        for point in self._figures.points:
            yield point, pieces[number]
            if point.kind in (PointKind.RECUT, PointKind.BREAK):
                number += 1

    def _correct_backwards(self, pieces: Sequence[_Piece]) -> None:
        """What governs each piece: a later recut's section where there is one, else the first estimate."""
        pieces[-1].governs = pieces[-1].first
        for piece, after in zip(reversed(pieces[:-1]), reversed(pieces[1:]), strict=True):
            is_corrected = after.governs is not None and after.governs != after.first
            if piece.ends_with_mc is not None:
                formula = f"100*{NET}{piece.ends}/(100+{MC}{piece.ends_with_mc})"
            elif is_corrected:
                formula = f"{DRY}{after.governs}*{NET}{piece.ends}/{NET}{after.begins}"
            else:
                piece.governs = piece.first
                continue
            row = CheckingRow("oven-dry weight, corrected by a later recut", dry=formula, compares=DRY)
            row.program = None if piece.point is None else piece.point.oven_dry_weight_g
            piece.governs = self._add(row)

    def _points(self, pieces: Sequence[_Piece]) -> None:
        for point, piece in self._points_with(pieces):
            is_start = point.kind is PointKind.START
            self._add(
                CheckingRow(
                    _POINT_NAMES[point.kind],
                    point.at,
                    point.weight_g,
                    None if is_start else piece.coats_g,  # the start weight was taken before coating
                    dry=None if piece.governs is None else f"{DRY}{piece.governs}",
                    mc=None if piece.governs is None else _mc_formula(NET),
                    program=point.mc_pct,
                    compares=MC,
                )
            )


_POINT_NAMES = {
    PointKind.START: "weight when cut",
    PointKind.WEIGHING: "weighing",
    PointKind.RECUT: "whole board before the recut",
    PointKind.BREAK: "whole board before the break",
}


def _mc_formula(weight: str) -> str:
    return f"({weight}{{row}}/{DRY}{{row}}-1)*100"
