"""In which order a logger writes its dates: what the dates themselves decide, and nothing beyond it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import pairwise

from kilnlog.exchange.logger.format import DateOrder
from kilnlog.exchange.logger.stamps import day_numbers, day_of

_LEAST = 0.95  # of the dates must exist in an order that is possible: a file has broken rows


def date_order(texts: Sequence[str]) -> tuple[DateOrder, bool]:
    """The order of these dates, in the order of the rows; and whether it is certain.

    Certain is what the figures allow in one way only: a year of four digits in front, a number above 12, or
    days that follow each other, midnight for midnight, in one order and leap by months in the other.
    """
    numbers = [found for text in texts if (found := day_numbers(text)) is not None]
    if not numbers or sum(first > 31 for first, _, _ in numbers) > len(numbers) / 2:
        return DateOrder.YEAR_FIRST, True  # months are written out, or the year stands in front
    read = {order: [day_of(text, order) for text in texts] for order in DateOrder}
    possible = [order for order, days in read.items() if _share(days) >= _LEAST]
    usual = [order for order in possible if order is not DateOrder.YEAR_FIRST]
    if len(usual) == 2 and read[usual[0]] == read[usual[1]]:
        return usual[0], True  # 03/03 is the same day either way
    following = [order for order in possible if _follow(read[order])]
    if len(following) == 1:
        return following[0], True
    if len(usual) == 1:
        return usual[0], True
    return (usual or possible or [DateOrder.DAY_FIRST])[0], False


def _share(days: Sequence[date | None]) -> float:
    return sum(day is not None for day in days) / len(days)


def _follow(days: Sequence[date | None]) -> bool:
    """Whether the date changes at all, and nearly always to the day after (before, newest first)."""
    known = [day for day in days if day is not None]
    steps = [(later - earlier).days for earlier, later in pairwise(known)]
    changes = [step for step in steps if step]
    return bool(changes) and sum(abs(step) == 1 for step in changes) > len(changes) / 2
