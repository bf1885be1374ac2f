"""The oven-dry weight of a board written out: from its sections, as typed, or after a cut or a break."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from kilnlog.drying.figures import BasisKind, BoardFigures
from kilnlog.logbook import figures
from kilnlog.logbook.sums import Sums
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.recut import Recut
from kilnlog.records.version import Entry, History, current_entries
from kilnlog.records.weight import WeightUnit

Cut = TypeVar("Cut", Recut, Breakage)


def section_lines(record: ChargeRecord, board: BoardFigures) -> Iterator[str]:
    """Each section's sum, and their mean."""
    sums = Sums(WeightUnit.G, 0.1)  # sections go on the small balance, whatever the boards are weighed in
    typed = {line.entity: line.current for line in record.section}
    counted = []
    for section in board.sections:
        entry = typed[section.entity]
        if section.mc_pct is None or section.oven_dry_weight_g is None or entry is None:
            continue
        dry = entry.fact.oven_dry_weight
        dry_text = sums.typed(dry) if dry is not None else f"{figures.trimmed(section.oven_dry_weight_g)} g"
        line = f"{section.section}: ({sums.typed(entry.fact.wet_weight)} ÷ {dry_text} − 1) × 100"
        line += f" = {figures.number(section.mc_pct, 2)} %"
        if section.rejected_because is not None:
            line += f", not counted: {section.rejected_because}"
        else:
            counted.append(section.mc_pct)
        yield line
    if len(counted) > 1:
        parts = " + ".join(figures.number(mc, 2) for mc in counted)
        yield f"({parts}) ÷ {len(counted)} = {figures.number(board.start_mc_pct, 2)} %"


def basis_lines(record: ChargeRecord, board: BoardFigures) -> Iterator[str]:
    """The sum of the oven-dry weight in force, and what stood before it."""
    yield from sum_lines(record, board)
    if len(board.bases) > 1:
        sums, before = Sums.of(record, board), board.bases[-2]
        until = board.bases[-1].at.text()
        yield f"Until {until} it was {sums.shown(before.oven_dry_weight_g)} ({before.kind.value})."
        if before.corrected_oven_dry_weight_g is not None:
            yield f"The recut corrects that to {sums.shown(before.corrected_oven_dry_weight_g)}."


def sum_lines(record: ChargeRecord, board: BoardFigures) -> Iterator[str]:
    """The sum of the oven-dry weight in force."""
    basis = board.basis
    if basis is None:
        return
    sums = Sums.of(record, board)
    result = sums.shown(basis.oven_dry_weight_g)
    if basis.kind is BasisKind.TYPED:
        yield f"{result}, as typed; it has no sections to be worked out from"
    elif basis.kind is BasisKind.SECTIONS:
        start = sums.typed(board.fact.start_weight)
        yield f"{start} when cut × 100 ÷ (100 + {figures.number(board.start_mc_pct, 2)}) = {result}"
    elif basis.kind is BasisKind.RECUT:
        yield from _recut_lines(record, board, sums, basis.at, result)
    else:
        yield _scaled_line(record, board, sums, basis.at, result)


def _recut_lines(
    record: ChargeRecord, board: BoardFigures, sums: Sums, at: Moment, result: str
) -> Iterator[str]:
    recut = _cut_at(record.recut, board, at)
    dry = recut.fact.section_oven_dry
    if dry is None:
        return
    small = Sums(WeightUnit.G, 0.1)
    mc = (recut.fact.section_wet.g / dry.g - 1) * 100
    yield (
        f"its section: ({small.typed(recut.fact.section_wet)} ÷ {small.typed(dry)} − 1) × 100"
        f" = {figures.number(mc, 2)} %"
    )
    left = _less_coats(sums, sums.typed(recut.fact.weight_after), _coats_g(record, board, at))
    yield f"{left} left by the recut × 100 ÷ (100 + {figures.number(mc, 2)}) = {result}"


def _scaled_line(record: ChargeRecord, board: BoardFigures, sums: Sums, at: Moment, result: str) -> str:
    """After a break, or a recut whose section is still in the oven: the earlier weight, scaled."""
    by_recut = board.bases[-1].kind is BasisKind.PROVISIONAL
    cut: Entry[Recut] | Entry[Breakage]
    cut = _last_cut(record, board, at) if by_recut else _cut_at(record.breakage, board, at)
    coats_g = _coats_g(record, board, at)
    after = _less_coats(sums, sums.typed(cut.fact.weight_after), coats_g)
    before = _less_coats(sums, sums.typed(cut.fact.weight_before), coats_g)
    line = f"{sums.computed(board.bases[-2].oven_dry_weight_g)} × {after} ÷ {before} = {result}"
    return f"{line}, until its section is dry" if by_recut else line


def _last_cut(record: ChargeRecord, board: BoardFigures, at: Moment) -> Entry[Recut] | Entry[Breakage]:
    """The recut or break of that moment: a break after an undried recut stays provisional too."""
    cuts: list[Entry[Recut] | Entry[Breakage]] = [
        *current_entries(record.recut),
        *current_entries(record.breakage),
    ]
    return next(cut for cut in cuts if cut.fact.board == board.entity and cut.at == at)


def _cut_at(lines: tuple[History[Cut], ...], board: BoardFigures, at: Moment) -> Entry[Cut]:
    return next(cut for cut in current_entries(lines) if cut.fact.board == board.entity and cut.at == at)


def _coats_g(record: ChargeRecord, board: BoardFigures, at: Moment) -> float:
    """What the end coats weighed that were on the board just before ``at`` [g]."""
    coat = board.fact.coating_weight
    recuts = (
        recut.fact.coating_weight
        for recut in current_entries(record.recut)
        if recut.fact.board == board.entity and recut.at < at
    )
    return sum(one.g for one in (coat, *recuts) if one is not None)


def _less_coats(sums: Sums, written: str, coats_g: float) -> str:
    return f"({written} − {sums.computed(coats_g)} end coat)" if coats_g else written
