"""Tables of the whole charge: boards, steps, findings and answers, decisions, events, heat, instruments."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.exchange.papers import lot_words
from kilnlog.exchange.papers.blocks import Column, Gap, Headed, Words
from kilnlog.exchange.papers.contents import (
    BoardPart,
    Contents,
    EventPart,
    FindingPart,
    InstrumentPart,
    StepPart,
)
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import BODY, INK, SMALL
from kilnlog.exchange.papers.words import NOTHING, TIE, figure, minutes, sentence, short_moment

_BOARDS = (
    Column("Board", 0.8),
    Column("Lot", 0.6),
    Column("State", 1.1),
    Column("When cut", 1.1, is_figure=True),
    Column("Oven-dry, g", 1.1, is_figure=True),
    Column("At target, g", 1.1, is_figure=True),
    Column("Start, %", 0.9, is_figure=True),
    Column("Last, %", 1.2, is_figure=True),
    Column("On the curve", 1.0, is_figure=True),
)
_STEPS = (Column("Step", 0.5), Column("Taken", 1.8), Column("Set to", 3), Column("Reason", 3))
_EVENTS = (Column("When", 1.8), Column("What", 2.6), Column("Note", 4))
_RUNS = (Column("Begins", 2), Column("Ends", 2), Column("Lasts", 1, is_figure=True))
_INSTRUMENTS = (
    Column("Instrument", 2),
    Column("Kind", 1.2),
    Column("Steps", 1),
    Column("Checked", 1.8),
    Column("Found", 3),
)


def add_boards(flow: Flow, boards: Sequence[BoardPart]) -> None:
    """Every sample board with its weights."""
    flow.add(Gap(8), Headed("Sample boards"))
    if not boards:
        flow.add(Words("No sample board was cut.", BODY, INK))
        return
    rows = []
    for board in boards:
        sure = board["mc_uncertainty_pct"]
        last = figure(board["mc_pct"]) + (
            "" if sure is None or board["mc_pct"] is None else f" ± {figure(sure)}"
        )
        rows.append(
            [
                board["board"],
                board["lot"] or NOTHING,
                board["state"],
                board["start_weight"] or NOTHING,
                figure(board["oven_dry_weight_g"]),
                figure(board["weight_at_target_g"]),
                figure(board["start_mc_pct"]),
                last,
                f"{len(board['points'])}{TIE}points",
            ]
        )
    flow.table(_BOARDS, rows)


def add_steps(flow: Flow, steps: Sequence[StepPart], options: PaperOptions) -> None:
    """The steps taken."""
    flow.add(Gap(10), Headed("Steps of the schedule"))
    if not steps:
        flow.add(Words("No step was written down.", BODY, INK))
        return
    flow.table(
        _STEPS,
        [
            [str(step["step"]), short_moment(step["taken_at"], options), step["set_to"], step["reason"] or ""]
            for step in steps
        ],
    )


def add_findings(flow: Flow, findings: Sequence[FindingPart], options: PaperOptions) -> None:
    """Each finding: what, why, what to do; and what was answered."""
    flow.add(Gap(10), Headed("Findings and answers"))
    if not findings:
        flow.add(Words("None stood at the end.", BODY, INK))
    for finding in findings:
        since = f", since {short_moment(finding['since'], options)}" if finding["since"] else ""
        subject = finding["subject"][:1].upper() + finding["subject"][1:]
        flow.add(Words(f"{subject}{since} ({finding['severity']}): {finding['what']}", BODY, INK, 0))
        source = f" ({finding['source']})" if finding["source"] else ""
        flow.add(Words(f"{finding['why']} {finding['do']}{source}", SMALL, after=1))
        answer = finding["answer"] or "not answered"
        flow.add(Words(f"Answer: {answer}", after=6))


def add_decisions(flow: Flow, decisions: Sequence[EventPart], options: PaperOptions) -> None:
    """What the operator decided."""
    if decisions:
        flow.add(Gap(8), Headed("Decisions"))
        flow.table(_EVENTS, _event_rows(decisions, options))


def add_events(flow: Flow, events: Sequence[EventPart], options: PaperOptions) -> None:
    """What happened at the kiln."""
    flow.add(Gap(10), Headed("Events"))
    if not events:
        flow.add(Words("None was written down.", BODY, INK))
        return
    flow.table(_EVENTS, _event_rows(events, options))


def _event_rows(events: Sequence[EventPart], options: PaperOptions) -> list[list[str]]:
    return [[short_moment(event["at"], options), event["what"], event["note"] or ""] for event in events]


def add_heat(flow: Flow, contents: Contents, options: PaperOptions) -> None:
    """The heat interval and every run at or above the threshold."""
    flow.add(Gap(10), Headed("Heat", "the operator's own record"))
    flow.add(Words(sentence(lot_words.heat(contents, None, options)), BODY, INK))
    heat = contents["heat"]
    if heat is not None and heat["runs"]:
        rows = [
            [
                short_moment(run["begins"], options),
                short_moment(run["ends"], options),
                minutes(run["minutes"]),
            ]
            for run in heat["runs"]
        ]
        flow.table(_RUNS, rows)


def add_instruments(flow: Flow, instruments: Sequence[InstrumentPart], options: PaperOptions) -> None:
    """What was measured with."""
    flow.add(Gap(10), Headed("Instruments"))
    if not instruments:
        flow.add(Words("None was named.", BODY, INK))
        return
    flow.table(
        _INSTRUMENTS,
        [
            [
                part["instrument"],
                part["kind"],
                part["division"] or NOTHING,
                short_moment(part["checked_at"], options),
                part["check_result"] or "",
            ]
            for part in instruments
        ],
    )
