"""The words of an order about moisture, read as limits: ``6 to 8 %, average 7``, ``8 ± 1``, ``max 19``.

Either decimal mark is read: no moisture content runs into thousands. What is not surely understood is
refused, never guessed at: a single figure, say, may be meant as a target or as the most.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from decimal import Decimal

from kilnlog.records.errors import KilnlogError


class UnreadableLimits(KilnlogError):
    """These words tell no limits. Values: typed, why; and by why the figures named below.

    why: ``words`` (not in a form that is read), ``alone`` (a figure that may be target, most or least),
    ``order`` (the lower is not below the higher; lowest_mc_pct, highest_mc_pct), ``range`` (below 0 or above
    100 %), ``twice`` (the same limit is given twice), ``average-outside`` (an average or a target outside the
    limits of its own pieces), ``no-target`` (a standard whose figures go by the target, and none is set;
    standard, known), ``no-such-target`` (or none were read for it; standard, target, known).
    """

    code = "unreadable-limits"


@dataclass(frozen=True, slots=True)
class WordsRead:
    """What an order's words ask for [% MC]; None where they say nothing of it."""

    target_mc_pct: float | None = None
    low_pct: float | None = None
    high_pct: float | None = None
    average_low_pct: float | None = None
    average_high_pct: float | None = None


#: No wood sold as dry holds more.
_MOST_PCT = 100

_NUMBER = r"[0-9]{1,3}(?:[.,][0-9]{1,3})?"
_PERCENT = r"(?:\s*(?:%|pct|percent|per\s+cent))?(?:\s*(?:mc|moisture(?:\s+content)?))?"
_LOW, _HIGH = rf"(?P<low>{_NUMBER}){_PERCENT}", rf"(?P<high>{_NUMBER}){_PERCENT}"
_ONE = rf"(?P<one>{_NUMBER}){_PERCENT}"
_MOST = r"(?:max(?:imum)?\.?|at\s+most|no(?:t)?\s+(?:more\s+than|over|above)|up\s+to|≤|<=)"
_LEAST = r"(?:min(?:imum)?\.?|at\s+least|no(?:t)?\s+(?:less\s+than|under|below)|≥|>=)"

_CLAUSE_END = re.compile(r";|,(?![0-9])|\s(?:and|with)\s+(?=(?:an?\s+)?(?:average|mean|avg|max|min|target))")
_SUBJECT = re.compile(
    r"(?:(?:an?|the)\s+)?(?P<subject>average|mean|avg\.?|target|single\s+pieces|pieces|each\s+piece|all\s+pieces)"
    r"(?:\s+(?:mc|moisture(?:\s+content)?))?(?:\s+of)?\s*[:=]?\s*",
)
_RANGES = (
    re.compile(rf"(?:from\s+)?{_LOW}\s*(?:to|through|-|–|—|−)\s*{_HIGH}"),
    re.compile(rf"between\s+{_LOW}\s+and\s+{_HIGH}"),
)
_AROUND = re.compile(rf"{_ONE}\s*(?:±|\+\s*/\s*-|\+-|plus\s+or\s+minus)\s*(?P<give>{_NUMBER}){_PERCENT}")
_UPPER = (
    re.compile(rf"{_MOST}\s*{_ONE}"),
    re.compile(rf"{_ONE}\s*(?:or\s+(?:less|below|lower)|max(?:imum)?\.?)"),
)
_LOWER = (
    re.compile(rf"{_LEAST}\s*{_ONE}"),
    re.compile(rf"{_ONE}\s*(?:or\s+(?:more|above|higher)|min(?:imum)?\.?)"),
)
_ALONE = re.compile(_ONE)


def limits_from_words(text: str) -> WordsRead:
    """Read what an order says of the moisture.

    Clauses are parted by ``;``, a new line, a comma with no digit behind it, or ``and average``. Each is a
    range (``6 to 8 %``, ``6-8``), a figure with its give (``8 ± 1``, which is a target too), the most
    (``max 19``, ``19 or less``) or the least; before it may stand ``average``, ``target`` or ``pieces``. A
    figure alone is read only behind ``average`` or ``target``: both are what is aimed at, and set no limit.

    Raises:
        UnreadableLimits: see there for why.

    >>> limits_from_words("6 to 8 %, average 7")
    WordsRead(target_mc_pct=7.0, low_pct=6.0, high_pct=8.0, average_low_pct=None, average_high_pct=None)
    """
    typed = text.strip()
    plain = " ".join("; ".join(typed.casefold().splitlines()).split())
    clauses = [clause.strip().rstrip(".") for clause in _CLAUSE_END.split(plain)]
    read = WordsRead()
    for clause in filter(None, clauses):
        for name, value in _clause(typed, clause):
            if getattr(read, name) is not None:
                raise UnreadableLimits(typed=typed, why="twice")
            read = replace(read, **{name: float(value)})
    if read == WordsRead():
        raise UnreadableLimits(typed=typed, why="words")
    _refuse_what_contradicts(typed, read)
    return read


def _clause(typed: str, clause: str) -> Iterator[tuple[str, Decimal]]:
    """The figures of a clause, each with the field it fills."""
    found = _SUBJECT.match(clause)
    subject = "" if found is None else found["subject"].rstrip(".")
    rest = clause if found is None else clause[found.end() :]
    of_average = "average_" if subject in ("average", "mean", "avg") else ""
    if subject == "target" or (of_average and _ALONE.fullmatch(rest)):
        one = _ALONE.fullmatch(rest) or _AROUND.fullmatch(rest)
        if one is None:
            raise UnreadableLimits(typed=typed, why="words")
        yield "target_mc_pct", _figure(typed, one["one"])
        if "give" not in one.groupdict():
            return
    if (around := _AROUND.fullmatch(rest)) is not None:
        middle, give = _figure(typed, around["one"]), _figure(typed, around["give"])
        if not subject:
            yield "target_mc_pct", middle
        yield f"{of_average}low_pct", middle - give
        yield f"{of_average}high_pct", middle + give
    elif (both := _first(_RANGES, rest)) is not None:
        yield f"{of_average}low_pct", _figure(typed, both["low"])
        yield f"{of_average}high_pct", _figure(typed, both["high"])
    elif (most := _first(_UPPER, rest)) is not None:
        yield f"{of_average}high_pct", _figure(typed, most["one"])
    elif (least := _first(_LOWER, rest)) is not None:
        yield f"{of_average}low_pct", _figure(typed, least["one"])
    elif _ALONE.fullmatch(rest):
        raise UnreadableLimits(typed=typed, why="alone")
    else:
        raise UnreadableLimits(typed=typed, why="words")


def _first(forms: tuple[re.Pattern[str], ...], text: str) -> re.Match[str] | None:
    return next((found for form in forms if (found := form.fullmatch(text))), None)


def _figure(typed: str, text: str) -> Decimal:
    figure = Decimal(text.replace(",", "."))
    if figure > _MOST_PCT:
        raise UnreadableLimits(typed=typed, why="range")
    return figure


def _refuse_what_contradicts(typed: str, read: WordsRead) -> None:
    given = [getattr(read, field.name) for field in fields(read)]
    if any(value is not None and not 0 <= value <= _MOST_PCT for value in given):
        raise UnreadableLimits(typed=typed, why="range")
    pieces, average = (read.low_pct, read.high_pct), (read.average_low_pct, read.average_high_pct)
    for low, high in (pieces, average):
        if low is not None and high is not None and not low < high:
            raise UnreadableLimits(typed=typed, why="order", lowest_mc_pct=low, highest_mc_pct=high)
    low, high = pieces
    for value in (read.target_mc_pct, *average):
        if value is None:
            continue
        if (low is not None and value < low) or (high is not None and value > high):
            raise UnreadableLimits(typed=typed, why="average-outside")
