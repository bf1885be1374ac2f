"""Lots as papers tell of them: what was asked, what was found at the end, each lot by itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from kilnlog.drying.closing.defects import DefectFigure, LotSize, defects_of
from kilnlog.drying.closing.figures import SeriesKind
from kilnlog.drying.closing.final_moisture import final_moisture
from kilnlog.drying.closing.shrinkage import expected_shrinkage
from kilnlog.drying.closing.stress import StressRemark, judged_test, stress_of
from kilnlog.drying.closing.tally import TallyFigure, TallyFigures, tally_of
from kilnlog.drying.facts_at import in_order
from kilnlog.drying.figures import LotFigures
from kilnlog.exchange.papers.contents import (
    AnswerPart,
    DefectPart,
    LotPart,
    RemarkPart,
    SeriesPart,
    StressPart,
)
from kilnlog.exchange.papers.contents_tally import TallyPart, TallyTotals
from kilnlog.logbook import final_words
from kilnlog.logbook.paper_heat import heat_part
from kilnlog.logbook.paper_moisture import asked_part, limits_part, pair_parts, series_parts
from kilnlog.logbook.paper_told import Told
from kilnlog.logbook.paper_treatments import treatment_parts
from kilnlog.logbook.tally_setting import SETTING, rounding_from
from kilnlog.records.version import History, current_entries
from kilnlog.records.words import VolumeUnit


class _OfLot(Protocol):
    @property
    def lot(self) -> str | None: ...


F = TypeVar("F", bound=_OfLot)


def lot_parts(told: Told) -> list[LotPart]:
    """The lots told of, in the order they were written."""
    return [_part(told, lot) for lot in told.assessment.lots if told.tells_of(lot.entity)]


def _part(told: Told, lot: LotFigures) -> LotPart:
    record, fact = told.record, lot.fact
    final = final_moisture(record, lot.entity, told.assessment.boards, told.reference, told.at)
    tally = _tally(told, lot)
    series = series_parts(told, final)
    ended_pct = _ended_pct(series)
    tests = stress_of(_of_lot(record.stress_test, told, lot.entity))
    out_at = fact.out_at if lot.is_out else None
    part: LotPart = {
        "lot": lot.lot,
        "owner": fact.owner,
        "species": fact.species,
        "thickness": fact.thickness,
        "volume": fact.volume,
        "volume_unit": fact.volume_unit.value if fact.volume_unit is not None else None,
        "out_at": None if out_at is None else out_at.iso(),
        "limits": limits_part(final.limits),
        "final": series,
        "pairs": pair_parts(final),
        "asked_for": asked_part(final),
        "treatments": treatment_parts(told, out_at),
        "stress": _stress(told, lot.entity),
        "stress_remarks": [_remark(remark) for remark in tests.remarks],
        "defects": _defects(told, lot, tally),
        "tally": None if tally is None else _totals(told, lot, tally, ended_pct),
        "answers": _answers(told, lot.entity),
        "storage": final_words.storage(ended_pct),
    }
    if out_at is not None:
        part["heat_until_out"] = heat_part(told, out_at)
    return part


def _ended_pct(series: Sequence[SeriesPart]) -> float | None:
    """What the lot came to, by finished pieces where any were read, else by its boards [% MC].

    None where no series tells: a mean without the pieces over the range is lower than the lot's.
    """
    boards = SeriesKind.SAMPLE_BOARDS.value
    finished = [part["whole"] for part in series if part["kind"] != boards]
    told = finished or [part["whole"] for part in series]
    return next((whole["mean_pct"] for whole in told if not whole["over"]), None)


def _of_lot(lines: Iterable[History[F]], told: Told, lot: str) -> list[F]:
    return [seen.fact for seen in in_order(lines, told.at) if seen.fact.lot == lot]


def _stress(told: Told, lot: str) -> list[StressPart]:
    parts: list[StressPart] = []
    for seen in in_order(told.record.stress_test, told.at):
        test = seen.fact
        if test.lot != lot:
            continue
        judged = judged_test(test)
        parts.append(
            {
                "kind": test.kind.value,
                "piece": test.piece,
                "found": test.found.value if test.found is not None else None,
                "value": test.value,
                "core_value": test.core_value,
                "difference_pct": judged.difference_pct,
                "unit": test.unit,
                "limit": test.limit,
                "passed": judged.passed,
                "tested_at": seen.at.iso(),
                "note": test.note,
            }
        )
    return parts


def _remark(remark: StressRemark) -> RemarkPart:
    return {"said": final_words.stress_said(remark), "source": final_words.stress_source(remark)}


def _unit(lot: LotFigures) -> VolumeUnit:
    return lot.fact.volume_unit or VolumeUnit.BOARD_FEET


def _tally(told: Told, lot: LotFigures) -> TallyFigures | None:
    lines = _of_lot(told.record.tally_line, told, lot.entity)
    if not lines:
        return None
    return tally_of(lines, _unit(lot), rounding_from(told.facts.setting(SETTING)))


def _defects(told: Told, lot: LotFigures, tally: TallyFigures | None) -> list[DefectPart]:
    pieces = (
        None if tally is None else tally.net_pieces if tally.net_pieces is not None else tally.green_pieces
    )
    volume = lot.fact.volume if tally is None or tally.net is None else tally.net
    found = defects_of(_of_lot(told.record.defect, told, lot.entity), LotSize(pieces, volume, _unit(lot)))
    return [_defect(group) for group in found.groups]


def _defect(group: DefectFigure) -> DefectPart:
    lore = group.lore
    share = group.pieces_share_pct if group.pieces_share_pct is not None else group.volume_share_pct
    notes = [line.note for line in group.lines if line.note]
    return {
        "kind": group.kind.value,
        "severity": group.severity.value if group.severity is not None else None,
        "pieces": group.pieces,
        "volume": group.volume,
        "volume_unit": group.unit.value if group.volume is not None else None,
        "share_pct": share,
        "note": "; ".join(notes) or None,
        "cause": lore.cause.text if lore is not None else None,
        "next_time": lore.next_time.text if lore is not None else None,
        "cause_source": f"{lore.cause.source} ({lore.cause.standing.value})" if lore is not None else None,
    }


def _totals(told: Told, lot: LotFigures, tally: TallyFigures, ended_pct: float | None) -> TallyTotals:
    expected = expected_shrinkage(lot.fact.species, ended_pct, told.reference)
    return {
        "lines": [_line(figure) for figure in tally.lines],
        "rounding": tally.rounding.value,
        "unit": tally.unit.value,
        "green": tally.green,
        "net": tally.net,
        "shrinkage_pct": tally.shrinkage_pct,
        "expected_shrinkage_pct": expected.volumetric_pct if expected is not None else None,
        "expected_from": f"{expected.source} ({expected.standing.value})" if expected is not None else None,
        "remarks": [final_words.tally_remark(remark) for remark in tally.remarks],
    }


def _line(figure: TallyFigure) -> TallyPart:
    line = figure.line
    return {
        "when": line.when.value,
        "grade": line.grade,
        "thickness": line.thickness,
        "width": line.width,
        "width_unit": line.width_unit.value if line.width_unit is not None else None,
        "length": line.length,
        "length_unit": line.length_unit.value if line.length_unit is not None else None,
        "pieces": line.pieces,
        "volume": figure.volume,
        "volume_unit": figure.unit.value,
        "is_typed": figure.is_typed,
        "note": line.note,
    }


def _answers(told: Told, lot: str) -> list[AnswerPart]:
    """What was said of the lot's headings, also where it was said after the moment told of."""
    return [
        {"step": entry.fact.step.value, "answer": entry.fact.answer.value, "note": entry.fact.note}
        for entry in current_entries(told.record.step_answer)
        if entry.fact.lot == lot
    ]
