"""Tables of one lot for the mill: stress tests, defects with what print says of their cause, the tally."""

from __future__ import annotations

from kilnlog.exchange.papers import lot_words
from kilnlog.exchange.papers.blocks import Column, Gap, Headed, Words
from kilnlog.exchange.papers.contents import LotPart
from kilnlog.exchange.papers.contents_tally import TallyPart
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import BODY, INK
from kilnlog.exchange.papers.words import (
    NOTHING,
    TIE,
    pct,
    sentence,
    short,
    short_moment,
    unit_words,
    volume,
)

_STRESS = (
    Column("Test", 1.4),
    Column("Piece", 0.8),
    Column("When", 1.6),
    Column("Found", 1.5),
    Column("Read", 2.2),
    Column("Limit", 0.8),
    Column("Passed", 0.8),
    Column("Note", 1.6),
)
_DEFECTS = (
    Column("Defect", 1.4),
    Column("Severity", 0.9),
    Column("Pieces", 0.6, is_figure=True),
    Column("Volume", 0.9, is_figure=True),
    Column("Of the lot", 0.8, is_figure=True),
    Column("Note", 1.4),
    Column("What print says of it", 3.6),
)
_TALLY = (
    Column("When", 0.7),
    Column("Class", 1.4),
    Column("Thickness", 1.0),
    Column("Width", 0.9, is_figure=True),
    Column("Length", 0.9, is_figure=True),
    Column("Pieces", 0.7, is_figure=True),
    Column("Volume", 1.1, is_figure=True),
    Column("", 0.9),
    Column("Note", 1.8),
)
_PASSED = {True: "yes", False: "no", None: NOTHING}


def add_stress(flow: Flow, lot: LotPart, options: PaperOptions) -> None:
    """Each test, or that none was made."""
    flow.add(Headed("Stress"))
    if not lot["stress"]:
        flow.add(Words(sentence(lot_words.stress(lot)), BODY, INK))
        return
    rows = []
    for test in lot["stress"]:
        unit = unit_words(test["unit"] or "")
        limit = NOTHING if test["limit"] is None else f"{short(test['limit'])}{TIE}{unit}".rstrip()
        rows.append(
            [
                test["kind"],
                test["piece"] or NOTHING,
                short_moment(test["tested_at"], options),
                test["found"] or NOTHING,
                lot_words.stress_read(test) or NOTHING,
                limit,
                _PASSED[test["passed"]],
                test["note"] or "",
            ]
        )
    flow.table(_STRESS, rows)
    for remark in lot["stress_remarks"]:
        flow.add(Gap(2), Words(lot_words.remark_words(remark)))


def add_defects(flow: Flow, lot: LotPart) -> None:
    """Each defect with its cause and what to do next time."""
    flow.add(Gap(10), Headed("Defects"))
    if not lot["defects"]:
        flow.add(Words(sentence(lot_words.defects(lot)), BODY, INK))
        return
    rows = []
    for defect in lot["defects"]:
        told = [sentence(text) for text in (defect["cause"], defect["next_time"]) if text]
        told += [f"({defect['cause_source']})"] if told and defect["cause_source"] else []
        rows.append(
            [
                defect["kind"],
                defect["severity"] or NOTHING,
                NOTHING if defect["pieces"] is None else str(defect["pieces"]),
                volume(defect["volume"], defect["volume_unit"]),
                pct(defect["share_pct"]),
                defect["note"] or "",
                " ".join(told),
            ]
        )
    flow.table(_DEFECTS, rows)


def add_tally(flow: Flow, lot: LotPart) -> None:
    """Line by line, then what it comes to."""
    flow.add(Gap(10), Headed("Tally"))
    tally = lot["tally"]
    if tally is not None and tally["lines"]:
        flow.table(_TALLY, [_tally_row(line) for line in tally["lines"]])
        flow.add(Gap(2))
    flow.add(Words(sentence(lot_words.tally_words(lot)), BODY, INK))


def _tally_row(line: TallyPart) -> list[str]:
    return [
        line["when"],
        line["grade"] or NOTHING,
        line["thickness"] or NOTHING,
        _size(line["width"], line["width_unit"]),
        _size(line["length"], line["length_unit"]),
        NOTHING if line["pieces"] is None else str(line["pieces"]),
        volume(line["volume"], line["volume_unit"]),
        "as typed" if line["is_typed"] else "",
        line["note"] or "",
    ]


def _size(value: float | None, unit: str | None) -> str:
    return NOTHING if value is None else f"{short(value)}{TIE}{unit or ''}".strip()
