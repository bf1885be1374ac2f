"""One charge in, one assessment out: all that follows from a charge's record at a moment."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from kilnlog.drying.bases import chain_of
from kilnlog.drying.boards import WorkedBoard, board_figures
from kilnlog.drying.constant_weight import SETTING, ConstantWeightRule, rule_in_force
from kilnlog.drying.control import control_of, driest_of, mean_of, wettest_of
from kilnlog.drying.end_of_run import phase_at
from kilnlog.drying.facts_at import FactsAt, facts_at
from kilnlog.drying.figures import Assessment, BoardFigures, ChargeState, ChargeVenting, Phase
from kilnlog.drying.findings import Case, all_findings
from kilnlog.drying.kiln_now import kiln_of, temperature_unit
from kilnlog.drying.lots import lot_figures, usable_mc
from kilnlog.drying.net_line import net_line
from kilnlog.drying.outside_air import SETTING as OUTSIDE_AIR
from kilnlog.drying.outside_air import outside_in_force
from kilnlog.drying.points import points_of, scale_division_g
from kilnlog.drying.rounds import gather, latest_weighing, round_figures
from kilnlog.drying.schedule import schedule_figures
from kilnlog.drying.sections import accepted_mc_pct, section_figures
from kilnlog.drying.standing import lots_of
from kilnlog.drying.uncertainty import budget_of
from kilnlog.drying.water import charge_water
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.kiln import Kiln
from kilnlog.records.moment import Moment
from kilnlog.reference.tables import Reference

if TYPE_CHECKING:
    from kilnlog.drying.air.digest import AirDigest
    from kilnlog.drying.air_now import AirNow


def assess(
    charge: ChargeRecord, reference: Reference, at: Moment, air: AirDigest | None = None
) -> Assessment:
    """Work out everything about one charge.

    Args:
        charge: Its whole record.
        reference: The published tables.
        at: Only what had been observed by then counts; of that, everything now known, so that a recut
            corrects the points and the rounds before it.
        air: What the loggers showed by then. Readings by hand stand in the record and count without it.
    """
    facts = facts_at(charge, at)
    rule = rule_in_force(facts.setting(SETTING))
    boards = _worked(facts, rule, reference)
    lots = lots_of(facts)
    rounds = gather([board.points for board in boards], reference.limit("round_gap_h"))
    latest = latest_weighing(rounds)
    governing = lots.governing(at)
    figures = tuple(board_figures(board, facts, lots, governing, latest) for board in boards)
    usable = usable_mc(figures)
    control = control_of(facts.charge.control_rule, usable_mc([board for board in figures if board.governs]))
    figures = tuple(replace(board, feeds_control=board.board in control.boards) for board in figures)
    state = state_of(facts)
    loaded_at = loaded_by(facts)
    if state not in (ChargeState.CLOSED, ChargeState.TAKEN_BACK):
        figures = tuple(_with_expectation(charge, board, at, loaded_at) for board in figures)
    phase, phase_since = phase_at(facts, at) if state is ChargeState.DRYING else (Phase.DRYING, None)
    by_schedule = state is ChargeState.DRYING and phase in (Phase.DRYING, Phase.EQUALIZED)
    all_weighed = by_schedule and not any(board.carried for board in figures if board.feeds_control)
    lot_lines = tuple(lot_figures(figures, facts, reference))
    now = _air(facts, air, reference)
    kiln = kiln_of(facts)
    assessment = Assessment(
        charge=facts.charge,
        entity=charge.entity,
        at=at,
        state=state,
        kiln=None if kiln is None else kiln.kiln,
        loaded_at=loaded_at,
        days=_days(facts, loaded_at),
        target_mc_pct=facts.charge.target_mc_pct,
        boards=figures,
        lots=lot_lines,
        rounds=tuple(
            round_figures(
                rounds,
                [board.facts for board in boards],
                [board.chain.last.dry_g is not None for board in boards],
                lots,
                facts,
            )
        ),
        control=control,
        wettest=wettest_of(usable),
        driest=driest_of(usable),
        mean_mc_pct=mean_of(usable),
        schedule=schedule_figures(facts, control.mc_pct, all_weighed=all_weighed, loaded_at=loaded_at),
        findings=(),
        water=charge_water(lot_lines, figures, reference),
        air=None if now is None else now.figures,
        temperature_unit=temperature_unit(kiln, facts),
        air_leaving=None if now is None else now.leaving_figures,
        phase=phase,
        phase_since=phase_since,
    )
    assessment = replace(assessment, venting=_venting(assessment, facts, kiln, now, reference))
    case = Case(assessment, facts, boards, latest, rule, reference, now, kiln)
    return replace(assessment, findings=all_findings(case))


def _air(facts: FactsAt, air: AirDigest | None, reference: Reference) -> AirNow | None:
    if air is None and not facts.record.air_reading:
        return None
    # It loads numpy, which takes longer than all the rest: see there.
    from kilnlog.drying.air_now import air_now  # noqa: PLC0415  # as above

    return air_now(facts, air, reference)


def _venting(
    assessment: Assessment, facts: FactsAt, kiln: Kiln | None, now: AirNow | None, reference: Reference
) -> ChargeVenting | None:
    if now is None or not now.is_fresh or assessment.state is not ChargeState.DRYING:
        return None
    from kilnlog.drying.vented import charge_venting  # noqa: PLC0415  # as for the air

    if assessment.air is None or assessment.water is None:
        return None
    outside = outside_in_force(facts.setting(OUTSIDE_AIR), reference)
    return charge_venting(assessment.air, assessment.water.leaving_kg_per_day, outside, kiln)


def _worked(facts: FactsAt, rule: ConstantWeightRule, reference: Reference) -> tuple[WorkedBoard, ...]:
    """Every board with its sections, bases and points, in walking order."""
    sections = [section_figures(board, facts.at, rule) for board in facts.boards]
    budget = budget_of([accepted_mc_pct(of_board) for of_board in sections], reference)
    worked = []
    for board, of_board in zip(facts.boards, sections, strict=True):
        chain = chain_of(board, of_board, budget, facts.at)
        division_g = scale_division_g(board)
        points = points_of(board, chain, budget, division_g)
        worked.append(WorkedBoard(board, of_board, chain, points, division_g))
    return tuple(worked)


def _with_expectation(
    charge: ChargeRecord, board: BoardFigures, at: Moment, loaded_at: Moment | None
) -> BoardFigures:
    """The board with what it should weigh at ``at``, by the same line that a weight is doubted by."""
    line = net_line(charge, board, at, loaded_at)
    expected = line.expected() if board.usable else None
    if expected is None:
        return board
    return replace(
        board, expected_low_g=expected.low_g + line.coat_g, expected_high_g=expected.high_g + line.coat_g
    )


def state_of(facts: FactsAt) -> ChargeState:
    """Where a charge stands."""
    charge, at = facts.charge, facts.at
    if facts.record.charge[0].is_void:
        return ChargeState.TAKEN_BACK
    if facts.record.closing_at(at) is not None:
        return ChargeState.CLOSED
    if _by(charge.unloaded_at, at) is not None:
        return ChargeState.UNLOADED
    return ChargeState.PLANNED if _by(charge.loaded_at, at) is None else ChargeState.DRYING


def loaded_by(facts: FactsAt) -> Moment | None:
    """When the charge was loaded; None while that is still to come."""
    return _by(facts.charge.loaded_at, facts.at)


def _by(moment: Moment | None, at: Moment) -> Moment | None:
    """The moment, unless it is still to come."""
    return moment if moment is not None and moment <= at else None


def _days(facts: FactsAt, loaded_at: Moment | None) -> float | None:
    if loaded_at is None:
        return None
    closing = facts.record.closing_at(facts.at)
    until = _by(facts.charge.unloaded_at, facts.at) or (facts.at if closing is None else closing.at)
    return until.hours_since(loaded_at) / 24
