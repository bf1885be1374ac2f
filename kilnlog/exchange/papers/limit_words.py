"""What the pieces of a lot were asked to be, and which of them are not."""

from __future__ import annotations

import re

from kilnlog.drying.closing.statistics import side_of
from kilnlog.exchange.papers.contents import LimitsPart, ReadingPart
from kilnlog.exchange.papers.words import TIE, sentence, short, short_pct

#: What a reader is told of figures that were not read in the published text.
STANDING = {
    "memory": "known from memory, not from the published text",
    "computed": "worked out from published ones",
    "assumed": "common practice at best",
}


def has_limits(limits: LimitsPart) -> bool:
    """Whether a piece can be inside or outside."""
    return limits["low_pct"] is not None or limits["high_pct"] is not None


def range_words(low: float | None, high: float | None) -> str:
    """``6 to 8 %``, ``19 % or less``, ``6 % or more``; "" for neither."""
    if low is not None and high is not None:
        return f"{short(low)} to {short(high)}{TIE}%"
    if high is not None:
        return f"{short_pct(high)} or less"
    return "" if low is None else f"{short_pct(low)} or more"


def average_words(limits: LimitsPart) -> str:
    """What the mean was asked to be; "" for nothing."""
    low, high = limits["average_low_pct"], limits["average_high_pct"]
    if low is not None and low == high:
        return short_pct(low)
    return range_words(low, high)


def ordered(limits: LimitsPart) -> str:
    """What was ordered: the order's own words, with the figures where the words do not carry them."""
    parts = [range_words(limits["low_pct"], limits["high_pct"])]
    average = average_words(limits)
    if average:
        parts.append(f"average {average}")
    elif limits["target_mc_pct"] is not None:
        parts.append(f"target {short_pct(limits['target_mc_pct'])}")
    told = ", ".join(part for part in parts if part)
    named = limits["named"].strip()
    if not named or _bare(named) == _bare(told):
        return told or "no limits named"
    if not told:
        return named
    is_told = all(_bare(part) in _bare(named) for part in parts if part) or _tells_target(named, limits)
    return named if is_told else f"{told} ({named})"


def _tells_target(named: str, limits: LimitsPart) -> bool:
    """Whether the order's words hold the range and beside it the figure aimed at, whatever they call it."""
    if average_words(limits) or limits["target_mc_pct"] is None:
        return False
    words, reach = _bare(named), _bare(range_words(limits["low_pct"], limits["high_pct"]))
    rest = words.replace(reach, " ", 1) if reach else words
    return reach in words and short(limits["target_mc_pct"]) in re.findall(r"\d+(?:\.\d+)?", rest)


def _bare(text: str) -> str:
    return "".join(text.replace("–", "to").replace("-", "to").split()).replace("%", "").casefold()


def is_outside(reading: ReadingPart, limits: LimitsPart) -> bool:
    """Whether the piece lies outside, read to the tenth that papers show; over the range is outside."""
    if reading["over"]:
        return has_limits(limits)
    mc_pct = reading["mc_pct"]
    return mc_pct is not None and side_of(mc_pct, limits["low_pct"], limits["high_pct"]) != 0


def limits_remarks(limits: LimitsPart) -> list[str]:
    """What else is to be said of the limits: whose they are, and how sure the figures."""
    remarks = []
    if limits["share_pct"] is not None:
        remarks.append(
            f"The limits are kept where {short_pct(limits['share_pct'])} of the pieces lie inside them."
        )
    standing = STANDING.get(limits["standing"] or "")
    if standing:
        remarks.append(f"The figures of the limits are {standing}.")
    if limits["remark"]:
        remarks.append(sentence(limits["remark"]))
    return remarks
