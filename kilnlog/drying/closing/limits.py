"""What the pieces of a lot were asked to be: by a named publication, by the order's words, or as typed."""

from __future__ import annotations

import re

from kilnlog.drying.closing.figures import Limits, LimitsRemark
from kilnlog.drying.closing.order_words import UnreadableLimits, WordsRead, limits_from_words
from kilnlog.records.lot import Lot
from kilnlog.reference.final_moisture import NamedLimits, named_limits
from kilnlog.reference.reading import plain_name

#: Whose word limits are that were typed with the lot, and nobody said from where.
OWN_LIMITS = "limits typed for this lot"

_EDITION = re.compile(r":\s*(?:19|20)\d\d\b")
_COUNTRY = r"(?:(?:bs|din|ss|nf|uni|ds|ns|sfs|önorm)\s+)?"
_TARGET = r"(?:\s*(?:at|for|target)?\s*(?P<target>\d{1,2}(?:\.\d)?)\s*(?:%|pct|percent)?\s*(?:mc)?)?"


def limits_named(text: str, target_mc_pct: float | None) -> NamedLimits | None:
    """The published limits that a text names: ``EN 14298, 8 %``, or ``EN 14298`` with the lot's own target.

    None where it names no publication that was read.

    Raises:
        UnreadableLimits: ``no-target``, ``no-such-target``: it does, and its figures for that are not known.
    """
    wanted = plain_name(_EDITION.sub("", text).replace(",", " "))
    for standard in dict.fromkeys(row.standard for row in named_limits()):
        found = re.fullmatch(_COUNTRY + re.escape(plain_name(standard.replace(",", " "))) + _TARGET, wanted)
        if found is None:
            continue
        rows = {row.target_mc_pct: row for row in named_limits() if row.standard == standard}
        if None in rows:
            return rows[None]
        target = target_mc_pct if found["target"] is None else float(found["target"])
        known = tuple(f"{known:g}" for known in rows if known is not None)
        if target is None:
            raise UnreadableLimits(typed=text.strip(), why="no-target", standard=standard, known=known)
        if target not in rows:
            raise UnreadableLimits(
                typed=text.strip(), why="no-such-target", standard=standard, target=f"{target:g}", known=known
            )
        return rows[target]
    return None


def limits_of(lot: Lot, charge_target_mc_pct: float | None) -> Limits:
    """The limits of a lot, from its own figures and from what it says they are from.

    Figures typed with the lot govern single pieces. What ``limits_from`` names fills in the rest where it
    does not contradict them, and where it does, that is remarked. Words that tell no limits are no fault
    where figures were typed (``order 4711``); where none were, they are refused: ``Limits.refused`` says why.
    The target is the lot's own, else that of its words or its standard, else the charge's.
    """
    words = (lot.limits_from or "").strip()
    own = (lot.mc_low_pct, lot.mc_high_pct)
    target = lot.target_mc_pct if lot.target_mc_pct is not None else charge_target_mc_pct
    refused: UnreadableLimits | None = None
    read: NamedLimits | WordsRead | None = None
    try:
        if words:
            read = limits_named(words, target) or limits_from_words(words)
    except UnreadableLimits as error:
        refused = error
    if read is None:
        is_typed = own != (None, None)
        return Limits(
            target_mc_pct=target,
            low_pct=lot.mc_low_pct,
            high_pct=lot.mc_high_pct,
            average_low_pct=None,
            average_high_pct=None,
            share_pct=None,
            named=words or (OWN_LIMITS if is_typed else ""),
            standing=None,
            remark=None,
            refused=None if is_typed else refused,
        )
    return _joined(lot, read, words, charge_target_mc_pct)


def _joined(
    lot: Lot, read: NamedLimits | WordsRead, words: str, charge_target_mc_pct: float | None
) -> Limits:
    """What was typed with the lot, and the rest from what it names."""
    own, theirs = (lot.mc_low_pct, lot.mc_high_pct), (read.low_pct, read.high_pct)
    low, high = (other if typed is None else typed for typed, other in zip(own, theirs, strict=True))
    differs = any(
        None not in (typed, other) and typed != other for typed, other in zip(own, theirs, strict=True)
    )
    differs = differs or (low is not None and high is not None and not low < high)
    if differs:
        low, high = own
    published = read if isinstance(read, NamedLimits) else None
    of_print = None if differs else published
    targets = (lot.target_mc_pct, read.target_mc_pct, charge_target_mc_pct)
    target = next((known for known in targets if known is not None), None)
    remarks = []
    if differs:
        remarks.append(LimitsRemark.TYPED_DIFFER)
    if read.target_mc_pct is not None and target != read.target_mc_pct:
        remarks.append(LimitsRemark.TARGET_DIFFERS)
    return Limits(
        target_mc_pct=target,
        low_pct=low,
        high_pct=high,
        average_low_pct=None if differs else read.average_low_pct,
        average_high_pct=None if differs else read.average_high_pct,
        # A share is stated for the limits beside it: not for one that the operator added.
        share_pct=of_print.share_pct if of_print is not None and (low, high) == theirs else None,
        named=words if published is None else published.named,
        standing=None if of_print is None else of_print.standing,
        remark=None if of_print is None else of_print.remark,
        source=None if of_print is None else of_print.source,
        remarks=tuple(remarks),
    )
