"""Equalizing and conditioning as papers tell of them: when, and nothing that was written beside."""

from __future__ import annotations

from kilnlog.exchange.papers.contents import TreatmentPart
from kilnlog.logbook.paper_told import Told
from kilnlog.records.moment import Moment
from kilnlog.records.words import EventKind, EventState


def treatment_parts(told: Told, out_at: Moment | None = None) -> list[TreatmentPart]:
    """Each time from its beginning to its end, in order; ``out_at``: a lot that left had no more of it."""
    parts: list[TreatmentPart] = []
    begun: dict[EventKind, TreatmentPart] = {}
    for seen in told.facts.events:
        kind = seen.fact.kind
        if kind not in (EventKind.EQUALIZING, EventKind.CONDITIONING):
            continue
        is_end = seen.fact.state is EventState.END
        if out_at is not None and seen.at >= out_at:
            if is_end and kind in begun:
                begun.pop(kind)["ends"] = out_at.iso()
            continue
        if is_end and kind in begun:
            begun.pop(kind)["ends"] = seen.at.iso()
            continue
        at = seen.at.iso()
        part: TreatmentPart = {
            "kind": kind.value,
            "begins": None if is_end else at,
            "ends": at if is_end else None,
        }
        parts.append(part)
        if not is_end:
            begun[kind] = part
    return parts
