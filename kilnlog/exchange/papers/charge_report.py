"""The charge report, for the mill: everything that is known of a charge, of all its lots."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.exchange.papers import lot_words
from kilnlog.exchange.papers.air_figure import AirFigure, CurveAndAir
from kilnlog.exchange.papers.blocks import Column, Elastic, Fact, Gap, Headed, Pair, Ruled, Words
from kilnlog.exchange.papers.charge_tables import (
    add_boards,
    add_decisions,
    add_events,
    add_findings,
    add_heat,
    add_instruments,
    add_steps,
)
from kilnlog.exchange.papers.contents import Contents, EventPart, LotPart
from kilnlog.exchange.papers.curve_figure import UNIT, CurveFigure
from kilnlog.exchange.papers.final_words import count_words, series_by_weight
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.limit_words import ordered
from kilnlog.exchange.papers.lot_page import add_final_moisture, dried_words, particulars
from kilnlog.exchange.papers.lot_tables import add_defects, add_stress, add_tally
from kilnlog.exchange.papers.options import PaperOptions, Printed
from kilnlog.exchange.papers.page import BODY, INK, About, Paper, printed
from kilnlog.exchange.papers.piece_table import add_piece_tables
from kilnlog.exchange.papers.seal_words import foot_of, is_sealed, made_at, moisture_heading
from kilnlog.exchange.papers.time_axis import TimeAxis
from kilnlog.exchange.papers.title_block import TitleBlock
from kilnlog.exchange.papers.words import NOTHING, count, moment, sentence, short, short_pct

TITLE = "Charge report"

_LOTS = (
    Column("Lot", 0.6),
    Column("Owner", 2.2),
    Column("What", 2),
    Column("How much", 2.2),
    Column("Ordered", 2.2),
    Column("Read", 1.6),
)


def charge_report(
    contents: Contents, options: PaperOptions, *, later_notes: Sequence[EventPart] = ()
) -> Printed:
    """Particulars, lots, boards, curve and air, steps, events, findings and decisions, then lot by lot.

    It tells of all owners: for the mill alone.

    Args:
        contents: Of the charge.
        options: Size, dates, seal.
        later_notes: What was written after the seal; they stand apart, the seal does not cover them.
    """

    def draw(paper: Paper) -> None:
        paper.foot = foot_of("The mill's own report: it tells of every owner.", contents, options)
        _charge_pages(contents, options, later_notes).draw(paper)
        for lot in contents["lots"]:
            paper.next_page()
            _lot_pages(contents, lot, options).draw(paper)

    about = About(
        title=f"{TITLE}, charge {contents['charge']['charge']}",
        author=contents["mill"].get("name", ""),
        subject="Everything recorded of a charge",
        at=made_at(contents, options),
    )
    return printed(about, options, draw)


def _charge_pages(contents: Contents, options: PaperOptions, later_notes: Sequence[EventPart]) -> Flow:
    charge, mill = contents["charge"], contents["mill"]
    flow = Flow(f"{TITLE}, charge {charge['charge']}, continued")
    subject = f"Charge {charge['charge']}, {count(len(contents['lots']), 'lot')}"
    flow.add(TitleBlock(TITLE, subject, mill.get("name", ""), mill.get("place", "")))
    flow.add(*_particulars(contents, options), Ruled())
    flow.add(Headed("Lots"))
    flow.table(_LOTS, [_lot_row(lot) for lot in contents["lots"]])
    flow.add(Gap(10))
    _add_curve_and_air(flow, contents, options)
    add_boards(flow, contents["boards"])
    add_steps(flow, contents["steps"], options)
    add_findings(flow, contents["findings"], options)
    add_decisions(flow, contents["decisions"], options)
    add_events(flow, contents["events"], options)
    add_heat(flow, contents, options)
    _add_answers(flow, contents)
    add_instruments(flow, contents["instruments"], options)
    _add_seal(flow, contents, options)
    if later_notes:
        flow.add(Gap(10), Headed("Written after the seal", "not covered by it"))
        for note in later_notes:
            text = ": ".join(part for part in (note["what"], note["note"]) if part)
            flow.add(Fact(moment(note["at"], options), text, 140))
    return flow


def _particulars(contents: Contents, options: PaperOptions) -> list[Pair | Fact]:
    charge = contents["charge"]
    heated = ", ".join(part for part in (charge["kiln"], charge["heat"]) if part) or "not named"
    lasted = "" if charge["days"] is None else f", {short(charge['days'], 1)} days"
    is_done = is_sealed(contents)
    dried = dried_words(charge["loaded_at"], charge["unloaded_at"], options, sealed=is_done) + lasted
    return [
        Pair(Fact("Kiln", heated, 61), Fact("Dried", dried, 61)),
        Pair(
            Fact("Air kept by", charge["air_control"] or "not named", 61),
            Fact("Schedule", charge["schedule"] or "none", 61),
        ),
        Pair(
            Fact("Target", short_pct(charge["target_mc_pct"]), 61),
            Fact("Control", charge["control_rule"], 61),
        ),
        *([Fact("Notes", charge["notes"], 61)] if charge["notes"] else []),
    ]


def _lot_row(lot: LotPart) -> list[str]:
    series = series_by_weight(lot)
    read = NOTHING
    if series:
        number, said = count_words(series[0], lot["limits"])
        read = f"{number} inside" if " of " in number else f"{number} {said}"
    return [
        lot["lot"],
        lot["owner"] or NOTHING,
        lot_words.what(lot),
        lot_words.how_much(lot),
        ordered(lot["limits"]),
        read,
    ]


def _add_curve_and_air(flow: Flow, contents: Contents, options: PaperOptions) -> None:
    """One time axis for both, so that the air stands under what it did."""
    air = contents["air"]
    has_air = air is not None and bool(air["hours"])
    moments = [at for board in contents["boards"] for at, _ in board["points"]]
    moments += [at for at, _ in contents["control"]]
    moments += [hour[0] for hour in air["hours"]] if air is not None else []
    axis = TimeAxis.over(moments, contents["charge"]["zone"])
    if axis is None:
        flow.add(Headed("How it dried"), Words("No sample board was weighed.", BODY, INK))
        return
    emc = air["emc"] if air is not None else []
    flow.add(Headed("How it dried", UNIT))
    curves = CurveFigure(
        contents["boards"], None, contents["control"], emc, axis, options, names_days=not has_air
    )
    least = max(190.0, curves.least_height())
    if air is None or not has_air:
        flow.add(Elastic(curves, least, least + 40))
    else:
        under = AirFigure(air, axis, options)
        flow.add(Elastic(CurveAndAir(curves, under), least + 110, least + 170))
    flow.add(Gap(6))


def _add_answers(flow: Flow, contents: Contents) -> None:
    """What was left out for the whole charge; of heat its own heading tells."""
    answers = [
        answer for answer in contents["answers"] if answer["step"] != "heat" or contents["heat"] is not None
    ]
    if answers:
        flow.add(Gap(10), Headed("Answered for the whole charge"))
        for answer in answers:
            said = lot_words.answer_words([answer], answer["step"], "")
            flow.add(Fact(answer["step"], said, 90))


def _add_seal(flow: Flow, contents: Contents, options: PaperOptions) -> None:
    flow.add(Gap(10), Headed("Seal"))
    seal, ledger = contents["seal"], contents["ledger"]
    if not is_sealed(contents) or seal is None or ledger is None:
        flow.add(Words("Not sealed: the charge is open, and what stands here may still change.", BODY, INK))
        return
    by = f", by {seal['sealed_by']}" if seal["sealed_by"] else ""
    flow.add(Fact("Sealed", f"{moment(seal['sealed_at'], options)}{by}, version {seal['version']}", 76))
    if seal["lot"]:
        flow.add(Fact("Covers", f"lot {seal['lot']} alone, which left early", 76))
    for label, text in (
        ("Reopened", seal["reopened_because"]),
        ("In place of", seal["replaces"]),
        ("Closed with", seal["closing_reason"]),
        ("Short form", options.short_form),
        ("Program", seal["program"]),
        ("Logbook", ledger["logbook"]),
        ("Ledger", f"line {ledger['number']}, {ledger['head']}"),
    ):
        if text:
            flow.add(Fact(label, text, 76))


def _lot_pages(contents: Contents, lot: LotPart, options: PaperOptions) -> Flow:
    whose = f", for {lot['owner']}" if lot["owner"] else ""
    subject = f"Charge {contents['charge']['charge']}, lot {lot['lot']}{whose}"
    flow = Flow(f"{TITLE}, {subject[0].lower()}{subject[1:]}, continued")
    flow.add(TitleBlock(f"Lot {lot['lot']}", subject, "", ""))
    answered = lot_words.with_answers(lot, contents["answers"])
    flow.add(*particulars(contents, lot, options))
    if treated := lot_words.treatments(lot, options):
        flow.add(Fact("Treatment", treated, 51))
    flow.add(Ruled())
    add_final_moisture(flow, answered, moisture_heading(contents, lot))
    flow.add(Ruled())
    add_stress(flow, answered, options)
    add_defects(flow, answered)
    add_tally(flow, answered)
    if lot["storage"]:
        flow.add(Gap(8), Headed("Keeping"), Words(lot["storage"], BODY, INK))
    if "heat_until_out" in lot or any(answer["step"] == "heat" for answer in lot["answers"]):
        flow.add(Gap(8), Headed("Heat"), Words(sentence(lot_words.heat(contents, lot, options)), BODY, INK))
    add_piece_tables(flow, lot, options)
    return flow
