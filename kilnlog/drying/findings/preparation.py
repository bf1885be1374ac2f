"""Checks of how the sample boards were chosen, cut, sectioned and coated."""

from __future__ import annotations

from collections.abc import Iterator

from kilnlog.drying.figures import BoardFigures, BoardState, ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.findings.case import (
    CHARGE,
    COMMON_PRACTICE,
    Case,
    on_board,
    subject_of_lot,
)
from kilnlog.drying.sections import accepted
from kilnlog.records.moment import Moment
from kilnlog.records.words import TemperatureUnit


def _standing(board: BoardFigures) -> bool:
    """Whether a board still stands for its lot: in use, or soon to be."""
    return board.state in (BoardState.IN_USE, BoardState.DRYING_OVEN)


def _is_begun(case: Case) -> bool:
    """Whether boards are to be expected: some are cut, or the charge is in the kiln."""
    return bool(case.assessment.boards) or case.assessment.state is ChargeState.DRYING


def _begun_at(case: Case) -> Moment | None:
    """When boards were first to be expected."""
    cut = [board.cut_at for board in case.assessment.boards]
    return case.assessment.loaded_at or (min(cut) if cut else None)


def _last_loss_of_a_board(case: Case) -> Moment | None:
    """When the boards last became fewer; while none has been lost, when the charge began."""
    lost = [board.withdrawn_at for board in case.assessment.boards if board.withdrawn_at is not None]
    lost += [
        lot.fact.out_at
        for lot in case.assessment.lots
        if lot.is_out and lot.boards and lot.fact.out_at is not None
    ]
    return max(lost) if lost else _begun_at(case)


def few_boards(case: Case) -> Iterator[Finding]:
    """Fewer boards stand for the charge than even a small kiln needs."""
    fewest = int(case.reference.limit("fewest_boards"))
    count = sum(_standing(board) for board in case.assessment.boards)
    everything_left = bool(case.assessment.lots) and all(lot.is_out for lot in case.assessment.lots)
    if _is_begun(case) and count < fewest and not everything_left:
        yield Finding(
            code="few-boards",
            severity=Severity.LOOK,
            subject=CHARGE,
            values={"boards": count, "fewest_boards": fewest},
            source=case.source("fewest_boards"),
            since=_last_loss_of_a_board(case),
        )


def lot_without_board(case: Case) -> Iterator[Finding]:
    """A lot in the kiln that no board stands for."""
    if not _is_begun(case):
        return
    for lot in case.assessment.lots:
        own = [board for board in case.assessment.boards if board.lot_entity == lot.entity]
        withdrawn = [board.withdrawn_at for board in own if board.withdrawn_at is not None]
        if not any(_standing(board) for board in own) and not lot.is_out:
            yield Finding(
                code="lot-without-board",
                severity=Severity.LOOK,
                subject=subject_of_lot(lot.lot),
                values={"lot": lot.lot, "withdrawn_boards": lot.boards or None},
                source=COMMON_PRACTICE,
                since=max(withdrawn) if withdrawn else _begun_at(case),
                lot=lot.entity,
            )


def single_section(case: Case) -> Iterator[Finding]:
    """A basis that rests on one section, with no other still in the oven."""
    for board, _ in case.boards():
        counting = accepted(board.sections)
        waiting = [
            section
            for section in board.sections
            if section.mc_pct is None and section.rejected_because is None
        ]
        if len(counting) == 1 and not waiting and board.fact.oven_dry_weight is None and _standing(board):
            yield on_board(
                board,
                "single-section",
                Severity.NOTE,
                {"section": counting[0].section, "mc_pct": counting[0].mc_pct},
                source="Wengert, Principles and Practices of Drying Lumber, p. 35: two sections a board",
                since=board.cut_at,
            )


def start_mc_odd(case: Case) -> Iterator[Finding]:
    """A start MC no green or dried stock has: a weight of its sections is wrong."""
    low_pct, high_pct = case.reference.limit("cut_mc_low_pct"), case.reference.limit("cut_mc_high_pct")
    for board, worked in case.boards():
        if board.start_mc_pct is None or low_pct <= board.start_mc_pct <= high_pct or not _standing(board):
            continue
        dried = [section.fact.dried_at or section.at for section in worked.facts.sections]
        yield on_board(
            board,
            "start-mc-odd",
            Severity.LOOK,
            {"start_mc_pct": board.start_mc_pct, "lowest_mc_pct": low_pct, "highest_mc_pct": high_pct},
            source=case.source("cut_mc_high_pct"),
            since=min(max(dried, default=board.cut_at), case.assessment.at),
        )


def sections_disagree(case: Case) -> Iterator[Finding]:
    """Sections of one board further apart than wood usually is."""
    limit_pct = case.reference.limit("sections_apart_mc_pct")
    for board, worked in case.boards():
        counting = sorted(accepted(board.sections), key=lambda section: section.mc_pct or 0.0)
        if len(counting) < 2 or not _standing(board):
            continue
        low, high = counting[0], counting[-1]
        if low.mc_pct is None or high.mc_pct is None or high.mc_pct - low.mc_pct <= limit_pct:
            continue
        dried = [section.fact.dried_at or section.at for section in worked.facts.sections]
        yield on_board(
            board,
            "sections-disagree",
            Severity.LOOK,
            {
                "low_section": low.section,
                "low_mc_pct": low.mc_pct,
                "high_section": high.section,
                "high_mc_pct": high.mc_pct,
                "apart_pct": high.mc_pct - low.mc_pct,
                "limit_pct": limit_pct,
            },
            source=case.source("sections_apart_mc_pct"),
            since=min(max(dried), case.assessment.at),
        )


def section_not_constant(case: Case) -> Iterator[Finding]:
    """An oven-dry weight was typed though the oven weighings had not come to rest."""
    for board, worked in case.boards():
        for section, seen in zip(board.sections, worked.facts.sections, strict=True):
            typed = section.oven_dry_weight_g is not None and not section.from_oven_weighings
            if not typed or section.constant_by_rule is not False or section.rejected_because is not None:
                continue
            yield on_board(
                board,
                "section-not-constant",
                Severity.LOOK,
                {
                    "section": section.section,
                    "oven_dry_weight_g": section.oven_dry_weight_g,
                    "rule": case.rule.name,
                    "interval_h": case.rule.interval_h,
                },
                source=case.rule.source,
                since=seen.fact.dried_at or seen.at,
            )


def oven_temperature_odd(case: Case) -> Iterator[Finding]:
    """An oven that was too cool to dry a section or hot enough to burn it."""
    low_c, high_c = case.reference.limit("oven_low_c"), case.reference.limit("oven_high_c")
    for board, worked in case.boards():
        for seen in worked.facts.sections:
            section = seen.fact
            if section.oven_temperature is None or section.temperature_unit is None:
                continue
            oven_c = section.oven_temperature
            if section.temperature_unit is TemperatureUnit.FAHRENHEIT:
                oven_c = (oven_c - 32) / 1.8
            # Typed to the whole degree, so a limit in the other unit is met within half of one.
            if section.rejected_because is None and not low_c - 0.5 <= oven_c <= high_c + 0.5:
                yield on_board(
                    board,
                    "oven-temperature-odd",
                    Severity.LOOK,
                    {
                        "section": section.section,
                        "oven_temperature": section.oven_temperature,
                        "temperature_unit": section.temperature_unit.value,
                        "oven_c": oven_c,
                        "low_c": low_c,
                        "high_c": high_c,
                    },
                    source=case.source("oven_low_c"),
                    since=seen.at,
                )


def board_not_coated(case: Case) -> Iterator[Finding]:
    """A board whose ends were left open dries through them, and stands for no lumber."""
    for board, _ in case.boards():
        if board.fact.coated is False and board.fact.coating_weight is None and _standing(board):
            yield on_board(
                board,
                "board-not-coated",
                Severity.LOOK,
                {},
                source="University of Kentucky Extension FOR-128 (2017), p. 76: both ends at once, thick",
                since=board.cut_at,
            )


def weighed_late(case: Case) -> Iterator[Finding]:
    """A board that lost water between the saw and the scale."""
    most = case.reference.limit("most_minutes_to_weighing")
    for board, _ in case.boards():
        minutes = board.fact.minutes_to_weighing
        if minutes is not None and minutes > most and _standing(board):
            yield on_board(
                board,
                "weighed-late",
                Severity.LOOK,
                {"to_weighing_minutes": minutes, "most_minutes": most},
                source=case.source("most_minutes_to_weighing"),
                since=board.cut_at,
            )


def recut_end_not_weighed(case: Case) -> Iterator[Finding]:
    """A recut whose new end coat was not weighed: left open, or a weight that later passes for water."""
    for board, worked in case.boards():
        for seen in worked.facts.recuts:
            if seen.fact.coating_weight is None and _standing(board):
                yield on_board(
                    board,
                    "recut-end-not-weighed",
                    Severity.LOOK,
                    {"recut_at": seen.at},
                    source=COMMON_PRACTICE,
                    since=seen.at,
                )
