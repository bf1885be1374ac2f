"""The text of a seal: what the papers of a charge, or of a lot, are drawn from, in its one canonical form.

The form is that of ``kilnlog.store.canonical``: JSON, names sorted, no blanks, every letter as itself.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, cast

from kilnlog import __version__
from kilnlog.exchange.papers.contents import FORM, Contents
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.short_form import short_form
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry
from kilnlog.reference.tables import Reference

PROGRAM = f"kilnlog {__version__}"


def sealed_text(
    book: Logbook,
    record: ChargeRecord,
    reference: Reference,
    at: Moment,
    *,
    lot: str | None = None,
    reason: str | None = None,
) -> str:
    """Everything that papers show of a charge as of a moment, with the ledger's head before the seal.

    Args:
        book: The logbook, inside the transaction that will write the seal.
        record: The charge.
        reference: The published tables.
        at: The moment of closing.
        lot: The entity of a lot that leaves by itself; None seals the whole charge.
        reason: Why it is closed.
    """
    # What papers tell brings numpy and much besides: a window that seals nothing starts without it.
    from kilnlog.logbook.paper_contents import contents_of  # noqa: PLC0415  # as above
    from kilnlog.logbook.paper_told import told_at  # noqa: PLC0415  # as above

    told = told_at(book, record, reference, at, None if lot is None else frozenset({lot}))
    head = book.file.ledger_head()
    contents = contents_of(told)
    earlier = record.closings_of(lot)
    seals = [entry for entry in earlier.entries if not entry.fact.reopened] if earlier is not None else []
    reopened = earlier.newest if earlier is not None and earlier.newest.fact.reopened else None
    contents["ledger"] = {"logbook": book.file.uid, "number": head.number, "head": head.hash_hex}
    contents["seal"] = {
        "sealed_at": at.iso(),
        "sealed_by": book.who,
        "version": len(seals) + 1,
        "reopened_because": reopened.version.reason if reopened is not None else None,
        "closing_reason": reason,
        "program": PROGRAM,
        "lot": next((part["lot"] for part in contents["lots"]), None) if lot is not None else None,
        "replaces": _last_short_form(seals),
    }
    return canonical(contents)


def _last_short_form(seals: Sequence[Entry[Closing]]) -> str | None:
    """Of the last seal that holds a text; None where there was none."""
    texts = [entry.fact.sealed_text for entry in seals if entry.fact.sealed_text is not None]
    return short_form(texts[-1]) if texts else None


def canonical(contents: Mapping[str, Any]) -> str:
    """The one way to write it."""
    return json.dumps(contents, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def sealed_contents(closing: Closing) -> Contents | None:
    """What papers are drawn from; None where the seal is of an earlier form, or the closing has none."""
    figures = sealed_object(closing)
    return cast(Contents, figures) if figures.get("form") == FORM else None


def sealed_figures(closing: Closing) -> Mapping[str, Any]:
    """What a seal of any form holds, with ``days``, ``kiln`` and ``status``; empty where there is none."""
    figures = sealed_object(closing)
    return figures | figures.get("charge", {}) if figures.get("form") == FORM else figures


def sealed_object(closing: Closing) -> dict[str, Any]:
    """The text as it stands; empty where it is no JSON object, as one altered may be."""
    try:
        figures = json.loads(closing.sealed_text or "{}", parse_constant=_no_number)
    except ValueError:
        return {}
    return figures if isinstance(figures, dict) else {}


def _no_number(text: str) -> float:
    raise ValueError(text)
