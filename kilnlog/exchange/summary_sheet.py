"""The first sheet: what a customer reads. Figures stand as values, so that any previewer shows them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kilnlog.drying.figures import BoardFigures, Extreme, LotFigures
from kilnlog.exchange.readable import ReadableCharge
from kilnlog.exchange.sheet import Look, Sheet
from kilnlog.exchange.sheet_names import SUMMARY
from kilnlog.records.moment import Moment
from kilnlog.records.weight import GRAMS_PER_UNIT, WeightUnit

MC = "0.0"  # shown to a tenth of a point
RATE = "0.00"
_DAYS = "0.0"

_WIDTHS = (22, 18, 18, 18, 12, 12, 12, 18, 18, 11, 11, 11, 11, 11, 12, 12)

#: Decimals that keep a gram's tenth in each unit.
_WEIGHT_FORMATS: Mapping[WeightUnit, str] = {
    WeightUnit.G: "0.0",
    WeightUnit.KG: "0.0000",
    WeightUnit.LB: "0.000",
    WeightUnit.OZ: "0.00",
}

#: Where the texts of a finding begin and end, both included.
_FINDING_COLUMNS = ((0, 0), (1, 1), (2, 6), (7, 10), (11, 15))

_LOT_HEADINGS = (
    "Lot",
    "Owner",
    "Species",
    "Thickness",
    "Volume",
    "  Unit",
    "Target MC %",
    "  Limits MC %",
    "Left the charge",
    "MC now, wettest %",
    "MC now, mean %",
    "MC now, driest %",
)

_BOARD_HEADINGS = (
    "Board",
    "Lot",
    "State",
    "Cut",
    "MC when cut %",
    "Oven-dry weight",
    "  Unit",
    "Oven-dry weight from",
    "Last weighed",
    "Weight",
    "MC now %",
    "± (k = 2)",
    "Loss per day %",
    "Target MC %",
    "Weight at target",
    "Water to lose",
)


def write_summary(
    book: Any, charges: Sequence[ReadableCharge], *, made_by: str, made_at: Moment, footer: str
) -> None:
    """Write the summary of these charges, one after another."""
    sheet = Sheet(book, SUMMARY, _WIDTHS, heading_row=1, footer=footer)
    only = charges[0].assessment.charge.charge if len(charges) == 1 else None
    sheet.texts((f"Drying record of charge {only}" if only else "Drying record",), Look.TITLE)
    sheet.texts((f"Written by {made_by}, {made_at.local:%Y-%m-%d %H:%M} ({made_at.zone})",), Look.QUIET)
    sheet.texts(
        ("MC is moisture content in % of the oven-dry weight. Times are local to each charge.",), Look.QUIET
    )
    for charge in charges:
        sheet.blank()
        _write_charge(sheet, charge)


def _write_charge(sheet: Sheet, charge: ReadableCharge) -> None:
    shown = charge.assessment
    sheet.texts((f"Charge {shown.charge.charge}",), Look.SUBTITLE)
    _line(sheet, "Kiln", sheet.text(1, shown.kiln))
    _line(sheet, "State", sheet.text(1, shown.state.value))
    _line(sheet, "Loaded", sheet.moment(1, shown.loaded_at))
    _line(sheet, "Unloaded", sheet.moment(1, shown.charge.unloaded_at))
    _line(sheet, "Closed", sheet.moment(1, charge.closed_at))
    _line(sheet, "Days in the kiln", sheet.number(1, shown.days, _DAYS, Look.LEFT))
    _line(sheet, "Target MC %", sheet.number(1, shown.target_mc_pct, MC, Look.LEFT))
    _line(sheet, "Figures as of", sheet.moment(1, shown.at))
    if charge.is_whole:
        _write_whole(sheet, charge)
    if charge.lot_figures:
        sheet.blank()
        sheet.headings(_LOT_HEADINGS, numbers=(4, 6, 9, 10, 11), lines=2)
        for lot in charge.lot_figures:
            sheet.append(_lot(sheet, lot))
    if charge.boards:
        sheet.blank()
        sheet.headings(_BOARD_HEADINGS, numbers=(4, 5, *range(9, 16)), lines=2)
        for board in charge.boards:
            sheet.append(_board(sheet, board))
    _write_findings(sheet, charge)


def _write_whole(sheet: Sheet, charge: ReadableCharge) -> None:
    """Figures over the whole charge."""
    shown = charge.assessment
    rule, boards = shown.control.rule.value, ", ".join(shown.control.boards)
    control = f"{rule}: boards {boards}" if boards else rule
    _line(sheet, "Controlling MC %", sheet.number(1, shown.control.mc_pct, MC, Look.LEFT), control)
    for label, extreme in (("Wettest board, MC %", shown.wettest), ("Driest board, MC %", shown.driest)):
        if extreme is not None:
            _line(sheet, label, sheet.number(1, extreme.mc_pct, MC, Look.LEFT), f"board {extreme.board}")
    _line(sheet, "Mean MC %", sheet.number(1, shown.mean_mc_pct, MC, Look.LEFT))
    if shown.schedule is not None:
        step = f"{shown.schedule.schedule}, step {shown.schedule.step} of {shown.schedule.of}"
        _line(sheet, "Schedule", sheet.text(1, step))
    _line(sheet, "Notes", sheet.text(1, shown.charge.notes))


def _line(sheet: Sheet, label: str, cell: Any, note: str | None = None) -> None:
    """One line of a label and what it names; none where there is nothing to say."""
    if cell is not None:
        sheet.append((sheet.text(0, label, Look.LABEL), cell, sheet.text(2, note)))


def _extreme(sheet: Sheet, column: int, extreme: Extreme | None) -> Any:
    return None if extreme is None else sheet.number(column, extreme.mc_pct, MC)


def _lot(sheet: Sheet, lot: LotFigures) -> tuple[Any, ...]:
    fact = lot.fact
    limits = None
    if fact.mc_low_pct is not None or fact.mc_high_pct is not None:
        low = "" if fact.mc_low_pct is None else f"{fact.mc_low_pct:g}"
        high = "" if fact.mc_high_pct is None else f"{fact.mc_high_pct:g}"
        limits = f"{low} to {high}".strip() + (f" ({fact.limits_from})" if fact.limits_from else "")
    return (
        sheet.text(0, lot.lot),
        sheet.text(1, fact.owner),
        sheet.text(2, fact.species),
        sheet.text(3, fact.thickness),
        sheet.number(4, fact.volume, "General"),
        sheet.text(5, fact.volume_unit and fact.volume_unit.value, Look.INDENTED),
        sheet.number(6, lot.target_mc_pct, MC),
        sheet.text(7, limits, Look.INDENTED),
        sheet.moment(8, fact.out_at),
        _extreme(sheet, 9, lot.wettest),
        sheet.number(10, lot.mean_mc_pct, MC),
        _extreme(sheet, 11, lot.driest),
    )


def _board(sheet: Sheet, board: BoardFigures) -> tuple[Any, ...]:
    typed_in = board.fact.start_weight.unit
    unit = WeightUnit.LB if typed_in is WeightUnit.LB_OZ else typed_in
    per_unit, weights = float(GRAMS_PER_UNIT[unit]), _WEIGHT_FORMATS[unit]

    def weight(column: int, weight_g: float | None) -> Any:
        return sheet.number(column, None if weight_g is None else weight_g / per_unit, weights)

    return (
        sheet.text(0, board.board),
        sheet.text(1, board.lot),
        sheet.text(2, board.state.value),
        sheet.moment(3, board.cut_at),
        sheet.number(4, board.start_mc_pct, MC),
        weight(5, board.oven_dry_weight_g),
        sheet.text(6, unit.value, Look.INDENTED),
        sheet.text(7, None if board.basis is None else board.basis.kind.value),
        sheet.moment(8, board.weight_at),
        weight(9, board.weight_g),
        sheet.number(10, board.mc_pct, MC),
        sheet.number(11, board.mc_uncertainty_pct, MC),
        sheet.number(12, board.rate_pct_per_day, RATE),
        sheet.number(13, board.target_mc_pct, MC),
        weight(14, board.weight_at_target_g),
        weight(15, board.water_to_lose_g),
    )


def _write_findings(sheet: Sheet, charge: ReadableCharge) -> None:
    if not charge.shown_findings:
        return
    sheet.blank()
    sheet.spread(
        dict(zip(_FINDING_COLUMNS, ("Findings", "About", "What", "Why", "Do"), strict=True)), Look.HEADING
    )
    for finding in charge.shown_findings:
        why = finding.why if finding.source is None else f"{finding.why} ({finding.source})"
        told = (finding.severity, finding.subject, finding.what, why, finding.do)
        sheet.spread(dict(zip(_FINDING_COLUMNS, told, strict=True)), Look.WRAPPED)
