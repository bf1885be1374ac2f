"""The page of one sample board in words and figures: sections, oven-dry weight, weighings newest first."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.figures import Assessment, BasisKind, BoardFigures, BoardState, PointKind
from kilnlog.logbook import figures
from kilnlog.logbook.board_ledger import LedgerLine, ledger
from kilnlog.logbook.board_sections import SectionLine, section_lines_of
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.working_basis import sum_lines
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.records.weight import WeightUnit

#: What a basis is called where several stand under one another.
BASIS_WORDS = {
    BasisKind.SECTIONS: "from its sections",
    BasisKind.TYPED: "as typed",
    BasisKind.RECUT: "by the recut",
    BasisKind.BREAK: "after the break",
    BasisKind.PROVISIONAL: "provisional",
}

#: What to do for a board that has nothing its moisture could be worked out from.
WITHOUT_SECTIONS = (
    "Nothing tells its moisture until a section is cut from it and dried: weigh the section at once, "
    "and write it down under Sections."
)


@dataclass(frozen=True, slots=True)
class BasisLine:
    """One oven-dry weight of a board, from a moment on."""

    since: str  # "from 14 May"
    said: str  # "by the recut"
    weight: str
    corrected: str  # of the same piece, by a later recut; empty where none corrected it
    in_force: bool


@dataclass(frozen=True)
class BoardSheet:
    """One board. Figures without their units, except where a weight takes two."""

    entity: str
    board: str
    standing: str  # "feeds the control figure", "withdrawn 7 Oct, 07:45"
    standing_why: str  # why it was withdrawn
    about: str
    mc_of: str  # "MC, yesterday"
    mc: str
    uncertainty: str  # "± 0.4 %"; empty where not known
    to_lose_of: str  # "Still to lose", "Below target by"
    to_lose: str
    at_target_of: str  # "Weight at 7 %"
    at_target: str
    unit: WeightUnit  # of the weights computed
    oven_dry: str  # with its unit
    provisional: bool
    sections: tuple[SectionLine, ...]
    sums: tuple[str, ...]
    bases: tuple[BasisLine, ...]  # oldest first; empty where there is one only
    ledger: tuple[LedgerLine, ...]
    weight_of: str  # the heading of the weights: "Weight, g"
    can_be_cut: bool  # it is in use: it can be recut, lose a piece, be withdrawn


def board_sheet(record: ChargeRecord, assessment: Assessment, entity: str, now: Moment) -> BoardSheet | None:
    """The page of that board, or None where the charge has no such board."""
    board = next((one for one in assessment.boards if one.entity == entity), None)
    if board is None:
        return None
    unit = weight_unit_of(record)
    standing, why = _standing(record, board, now)
    oven_dry = figures.weight_with_unit(board.oven_dry_weight_g, unit, _step_g(board, unit))
    bases = _bases(board, unit, now) if len(board.bases) > 1 else ()
    return BoardSheet(
        entity=entity,
        board=board.board,
        standing=standing,
        standing_why=why,
        about=_about(record, board, now),
        mc_of=_mc_of(board, now),
        mc=figures.mc(board.mc_pct),
        uncertainty=f"{figures.PLUS_MINUS} {figures.mc(board.mc_uncertainty_pct)} %"
        if board.mc_uncertainty_pct is not None
        else "",
        to_lose_of="Below target by" if _is_below(board) else "Still to lose",
        to_lose=figures.weight(
            abs(board.water_to_lose_g) if board.water_to_lose_g is not None else None,
            unit,
            _step_g(board, unit),
        ),
        at_target_of=f"Weight at {figures.trimmed(board.target_mc_pct)} %"
        if board.target_mc_pct is not None
        else "Weight at target",
        at_target=figures.weight(board.weight_at_target_g, unit, _step_g(board, unit)),
        unit=unit,
        oven_dry=oven_dry,
        provisional=board.basis is not None and board.basis.kind is BasisKind.PROVISIONAL,
        sections=section_lines_of(record, board, now),
        sums=tuple(sum_lines(record, board)),
        bases=bases,
        ledger=ledger(record, board, now),
        weight_of=f"Weight, {unit.value}",
        can_be_cut=board.state in (BoardState.IN_USE, BoardState.DRYING_OVEN),
    )


def _is_below(board: BoardFigures) -> bool:
    return board.water_to_lose_g is not None and board.water_to_lose_g < 0


def _step_g(board: BoardFigures, unit: WeightUnit) -> float | None:
    """Computed weights are shown to the scale's own step where that is finer than usual for the unit."""
    if unit is WeightUnit.G and board.scale_division_g is not None and board.scale_division_g < 1:
        return board.scale_division_g
    return None


def _standing(record: ChargeRecord, board: BoardFigures, now: Moment) -> tuple[str, str]:
    if board.state is BoardState.WITHDRAWN and board.withdrawn_at is not None:
        reasons = (
            entry.fact.reason
            for entry in current_entries(record.withdrawal)
            if entry.fact.board == board.entity
        )
        return f"withdrawn {figures.day(board.withdrawn_at, now)}", next(reasons, None) or ""
    if board.state is BoardState.OUT:
        return f"lot {board.lot} is out", ""
    if board.feeds_control:
        return "feeds the control figure", ""
    if board.state is BoardState.DRYING_OVEN:
        if not board.has_sections:
            return ("its sections are rejected" if board.sections else "no sections yet"), WITHOUT_SECTIONS
        return "its sections are in the oven", ""
    return ("not in the control figure" if board.usable else "no oven-dry weight yet"), ""


def _about(record: ChargeRecord, board: BoardFigures, now: Moment) -> str:
    lots = {entry.entity: entry.fact for entry in current_entries(record.lot)}
    lot = lots.get(board.lot_entity or "")
    parts = []
    if lot is not None:
        wood = " ".join(part for part in (lot.thickness, lot.species) if part)
        parts.append(", ".join(part for part in (wood, lot.owner or "own stock") if part))
    if board.fact.position:
        parts.append(board.fact.position)
    parts.append(f"cut {figures.day(board.cut_at, now)}")
    replaced = next(
        (one.newest.fact.board for one in record.board if one.entity == board.fact.replaces), None
    )
    if replaced is not None:
        parts.append(f"in place of {replaced}")
    return "  ·  ".join(parts)


def _mc_of(board: BoardFigures, now: Moment) -> str:
    """The label of the moisture: the round's line may still tell the weight before a cut of the same day."""
    if board.since is None:
        return "MC"
    known = next(point for point in reversed(board.points) if point.mc_pct is not None)
    cut = {PointKind.RECUT: "recut", PointKind.BREAK: "break"}.get(known.kind)
    if cut is not None:
        today = now.local.date() == board.since.local.date()
        return f"MC at the {cut}" if today else f"MC, {cut} {figures.day(board.since, now)}"
    apart = (now.local.date() - board.since.local.date()).days
    named = {0: "today", 1: "yesterday"}.get(apart) or figures.day(board.since, now)
    return f"MC, {named}"


def _bases(board: BoardFigures, unit: WeightUnit, now: Moment) -> tuple[BasisLine, ...]:
    step_g = _step_g(board, unit)
    return tuple(
        BasisLine(
            since=f"from {figures.day(basis.at, now)}",
            said=BASIS_WORDS[basis.kind],
            weight=figures.weight(basis.oven_dry_weight_g, unit, step_g),
            corrected=figures.weight(basis.corrected_oven_dry_weight_g, unit, step_g)
            if basis.corrected_oven_dry_weight_g is not None
            else "",
            in_force=basis is board.basis,
        )
        for basis in board.bases
    )
