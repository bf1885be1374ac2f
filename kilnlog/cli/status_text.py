"""Where a charge stands, as text for people."""

from __future__ import annotations

import re
from collections.abc import Iterator
from textwrap import fill

from kilnlog.cli.text_table import text_table
from kilnlog.drying.figures import Assessment, BoardFigures, ChargeWater
from kilnlog.drying.finding import Finding
from kilnlog.logbook import figures
from kilnlog.logbook.kiln_air_words import air_line
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.logbook.working_water import venting_line
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.weight import WeightUnit

_WIDTH = 100
_UNIT = re.compile(r"(?<=\d) (?=(?:%|°[CF]|g|kg|lb|oz|h|min)\b|%)|(?<=\bp\.) (?=\d)")
_BOARD_HEADINGS = (
    "board",
    "lot",
    "state",
    "MC, %",
    "±",
    "% a day",
    "weight",
    "expected",
    "at target",
    "to lose",
)
_ROUND_HEADINGS = ("round", "control", "wettest", "driest", "mean", "weighed", "carried")


def status_text(record: ChargeRecord, assessment: Assessment) -> str:
    """Boards, control, schedule and findings at the moment of the assessment."""
    unit = weight_unit_of(record)
    parts = ["\n".join(_heading(assessment))]
    if assessment.boards:
        rows = [_board_row(board, unit) for board in assessment.boards]
        parts.append(text_table(_headings(unit), rows, frozenset(range(3, len(_BOARD_HEADINGS)))))
        parts.append("* feeds the control   c carried: not weighed in the last round")
    else:
        parts.append("No sample boards yet: cut them, and their sections, first.")
    parts += [_finding(finding, unit) for finding in assessment.findings]
    return "\n\n".join(parts)


def history_text(assessment: Assessment) -> str:
    """The control figures once per weighing round, oldest first, by all that is known now."""
    if not assessment.rounds:
        return "No board was weighed yet."
    rows = [
        (
            one.at.text(),
            figures.mc(one.control.mc_pct),
            f"{figures.mc(one.wettest.mc_pct)} ({one.wettest.board})" if one.wettest else figures.EMPTY,
            f"{figures.mc(one.driest.mc_pct)} ({one.driest.board})" if one.driest else figures.EMPTY,
            figures.mc(one.mean_mc_pct),
            str(len(one.weighed)),
            ", ".join(one.carried),
        )
        for one in assessment.rounds
    ]
    return text_table(_ROUND_HEADINGS, rows, frozenset({1, 2, 3, 4, 5}))


def _heading(assessment: Assessment) -> Iterator[str]:
    place = f", {assessment.kiln}" if assessment.kiln else ""
    number = figures.day_number(assessment.loaded_at, assessment.days)
    day = f", day {number}" if number is not None else ""
    at = f"{assessment.at.text()} {assessment.at.zone}"
    yield f"Charge {assessment.charge.charge}{place}: {assessment.state.value}{day}, at {at}"
    control = assessment.control
    target = figures.trimmed(assessment.target_mc_pct)
    if control.mc_pct is not None:
        boards = "board" if len(control.boards) == 1 else "boards"
        yield (
            f"Controlling MC {figures.mc(control.mc_pct)} % ({control.rule.value}: {boards} "
            f"{', '.join(control.boards)}), target {target} %"
        )
    if assessment.wettest and assessment.driest:
        yield (
            f"wettest {figures.mc(assessment.wettest.mc_pct)} % (board {assessment.wettest.board}), "
            f"driest {figures.mc(assessment.driest.mc_pct)} % (board {assessment.driest.board}), "
            f"mean {figures.mc(assessment.mean_mc_pct)} %"
        )
    schedule = assessment.schedule
    if schedule is not None:
        due = f"; step {schedule.due} is due" if schedule.due is not None else ""
        yield f"Schedule “{schedule.schedule}”, step {schedule.step} of {schedule.of}{due}"
    if assessment.phase.is_treatment and assessment.phase_since is not None:
        yield f"{assessment.phase.value.capitalize()} since {assessment.phase_since.text()}"
    if assessment.air is not None:
        yield air_line(assessment.air, assessment.at, assessment.temperature_unit)
    if assessment.water is not None:
        yield from _water(assessment.water)
    if assessment.venting is not None:
        yield venting_line(assessment.venting)


def _water(water: ChargeWater) -> Iterator[str]:
    """How much water the lumber holds and loses, and which lots do not tell."""
    told = (
        (water.leaving_kg_per_day, "kg a day leaving"),
        (water.left_kg, "kg gone"),
        (water.to_lose_kg, "kg to lose to the target"),
    )
    parts = [f"{figures.number(kg)} {what}" for kg, what in told if kg is not None]
    of_lots = [(lot.lot, lot.to_lose_kg) for lot in water.lots if lot.to_lose_kg is not None]
    if water.to_lose_kg is not None and len(of_lots) > 1:
        each = ", ".join(f"{figures.number(kg)} of {name}" for name, kg in of_lots)
        parts[-1] = f"{parts[-1]} ({each})"
    if parts:
        lots = "lot" if len(water.left_out) == 1 else "lots"
        without = f"; without {lots} {', '.join(water.left_out)}" if water.left_out else ""
        yield f"Water by the sample boards: {', '.join(parts)}{without}"


def _headings(unit: WeightUnit) -> tuple[str, ...]:
    told = "" if unit is WeightUnit.LB_OZ else f", {unit.value}"
    weights = ("weight", "expected", "at target", "to lose")
    return tuple(f"{name}{told}" if name in weights else name for name in _BOARD_HEADINGS)


def _board_row(board: BoardFigures, unit: WeightUnit) -> tuple[str, ...]:
    step_g = board.scale_division_g

    def weight(grams: float | None) -> str:
        return figures.weight(grams, unit, step_g)

    expected = figures.span(weight(board.expected_low_g), weight(board.expected_high_g))
    marks = ("*" if board.feeds_control else "") + ("c" if board.carried else "")
    return (
        board.board,
        board.lot or figures.EMPTY,
        f"{board.state.value} {marks}".strip(),
        figures.mc(board.mc_pct),
        figures.number(board.mc_uncertainty_pct, 1),
        figures.rate(board.rate_pct_per_day),
        weight(board.weight_g),
        expected,
        weight(board.weight_at_target_g),
        weight(board.water_to_lose_g),
    )


def _finding(finding: Finding, unit: WeightUnit) -> str:
    worded = worded_finding(finding, unit)
    answered = ", answered" if finding.answered else ""
    since = f" since {finding.since.text()}" if finding.since else ""
    source = f" ({worded.source})" if worded.source else ""
    # A figure and its unit stay on one line.
    told = _UNIT.sub("\u00a0", f"{worded.why} {worded.do}{source}")
    said = fill(told, _WIDTH, initial_indent="  ", subsequent_indent="  ").replace("\u00a0", " ")
    return f"{finding.severity.value.upper()}{since}{answered}: {worded.headline}\n{said}"
