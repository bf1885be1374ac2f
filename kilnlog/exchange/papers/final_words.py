"""Sentences on the final moisture: series, intervals, pieces outside, meter against oven."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from kilnlog.drying.closing.statistics import side_of
from kilnlog.exchange.papers.contents import IntervalPart, LimitsPart, LotPart, PackPart, SeriesPart
from kilnlog.exchange.papers.limit_words import STANDING, average_words, has_limits, is_outside, range_words
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.words import (
    NOTHING,
    TIE,
    count,
    days,
    figure,
    listed,
    moment_of,
    pack_words,
    pct,
    sentence,
    short,
    short_pct,
    temperature,
)

#: The kind of the series taken from the sample boards' last weighing.
SAMPLE_BOARDS = "sample boards"

#: So many pieces outside are named one by one; a table tells of more.
MOST_NAMED = 8


def series_by_weight(lot: LotPart) -> list[SeriesPart]:
    """The series with pieces, those read on the finished pieces before the sample boards."""
    read = [series for series in lot["final"] if series["whole"]["n"]]
    return sorted(read, key=lambda series: series["kind"] == SAMPLE_BOARDS)


def count_words(series: SeriesPart, limits: LimitsPart) -> tuple[str, str]:
    """The count that comes first, and what it counts."""
    whole, what = series["whole"], _what(series)
    if whole["inside"] is None or not has_limits(limits):
        return str(whole["n"]), f"{what if whole['n'] == 1 else what + 's'} read, no limits named"
    inside = range_words(limits["low_pct"], limits["high_pct"])
    said = f"{what}s inside {inside}" if limits["low_pct"] is not None else f"{what}s at {inside}"
    return f"{whole['inside']} of {whole['n']}", said


def spread_words(whole: PackPart) -> list[tuple[str, str]]:
    """Mean, standard deviation and range, each with its name."""
    within = whole["n"] - whole["over"]
    of = f" of the {within} under 30{TIE}%" if whole["over"] else ""
    low, high = whole["lowest_pct"], whole["highest_pct"]
    if whole["over"] and low is not None:
        reach, name = f"{figure(low)} – over 30{TIE}%", "lowest and highest"
    elif low is None or high is None:
        reach, name = NOTHING, "lowest and highest"
    else:
        reach, name = f"{figure(low)} – {figure(high)}{TIE}%", "lowest and highest"
    return [
        (pct(whole["mean_pct"]), f"mean{of}"),
        (figure(whole["sd_pct"], 2), "standard deviation"),
        (reach, name),
    ]


def _what(series: SeriesPart) -> str:
    return "sample board" if series["kind"] == SAMPLE_BOARDS else "piece"


def boards_alone_sentence(series: Sequence[SeriesPart]) -> str:
    """That no finished piece was read, where the sample boards alone tell of the moisture; else ""."""
    if any(one["kind"] != SAMPLE_BOARDS for one in series):
        return ""
    return "No finished piece was read: these are the last weighings of the sample boards."


def count_line(series: SeriesPart, limits: LimitsPart) -> str:
    """A series in one line, the count first."""
    number, said = count_words(series, limits)
    (mean, mean_name), (sd, _), (reach, _) = spread_words(series["whole"])
    return f"{number} {said}; {mean_name} {mean}, standard deviation {sd}, {reach}"


def interval_sentence(interval: IntervalPart) -> str:
    """A tolerance interval, with the share and the confidence it claims and what it leans on."""
    low, high, factor = interval["low_pct"], interval["high_pct"], interval["factor"]
    where = f"between {figure(low)} and {pct(high)}"
    if low is None or high is None:
        where = f"below {pct(high)}" if high is not None else f"above {pct(low)}"
    claim = (
        f"With {short_pct(interval['confidence_pct'])} confidence at least "
        f"{short_pct(interval['share_pct'])} of all pieces lie {where}"
    )
    if interval["kind"] == "normal":
        sign = "±" if low is not None and high is not None else "+" if low is None else "−"
        by = "" if factor is None else f" (mean {sign} {figure(factor, 2)}{TIE}SD)"
        return f"{claim}, given a normal spread{by}."
    return f"{claim}, as the lowest and the highest read, however moisture is spread."


def outside_sentence(series: SeriesPart, limits: LimitsPart) -> str:
    """Which pieces lie outside; "" where none does."""
    outside = [reading for reading in series["readings"] if is_outside(reading, limits)]
    if not outside:
        return ""
    if len(outside) > MOST_NAMED:
        number_of = Counter(reading["pack"] for reading in outside)
        in_order = dict.fromkeys(reading["pack"] for reading in series["readings"])
        packs = {pack: number_of[pack] for pack in in_order if number_of[pack]}
        if len(packs) == 1:
            return f"{len(outside)} {_what(series)}s lie outside the limits; each is counted above."
        by_pack = listed(
            f"{number} of {pack_words(pack) if pack else 'no named pack'}" for pack, number in packs.items()
        )
        return f"{len(outside)} {_what(series)}s lie outside the limits, {by_pack}; each is counted above."
    named, of_kind = [], _what(series)
    for reading in outside:
        what = f"{of_kind} {reading['piece']}" if reading["piece"] else f"a {of_kind}"
        where = f" of {pack_words(reading['pack'])}" if reading["pack"] else ""
        read = f"over 30{TIE}%" if reading["over"] else pct(reading["mc_pct"])
        named.append(f"{what}{where} ({read})")
    is_one = len(outside) == 1
    return (
        f"{sentence(listed(named))[:-1]} {'lies' if is_one else 'lie'} outside the limits; "
        f"{'it is' if is_one else 'each is'} counted above."
    )


def average_sentence(whole: PackPart, limits: LimitsPart) -> str:
    """The mean against what was asked of it; "" where nothing was.

    Pieces over the range are in no mean, which they would raise: with any, it answers nothing.
    """
    low, high, mean = limits["average_low_pct"], limits["average_high_pct"], whole["mean_pct"]
    asked = average_words(limits)
    if not asked or mean is None:
        return ""
    if whole["over"]:
        over = count(whole["over"], "piece")
        return f"Average asked for: {asked}; it is not known: {over} read over 30{TIE}%."
    if low is not None and low == high:
        return f"Average asked for: {asked}; mean read: {pct(mean)}."
    is_in = side_of(mean, low, high) == 0
    return f"Average asked for: {asked}; the mean read, {pct(mean)}, is {'inside' if is_in else 'outside'}."


def beyond_published(series: SeriesPart) -> str:
    """That corrections were carried beyond where they were published; "" where none was."""
    number = sum(reading["extrapolated"] for reading in series["readings"])
    if not number:
        return ""
    return f"The correction of {count(number, 'reading')} was carried beyond the range it was published for."


def extrapolated_sentence(series: SeriesPart) -> str:
    """The same where a table of the pieces follows, which marks them."""
    said = beyond_published(series)
    return said and f"{said[:-1]}; marked * in the table of pieces."


def pairs_sentence(lot: LotPart) -> str:
    """Meter against oven on the same pieces; "" where no piece has both."""
    pairs = lot["pairs"]
    if not pairs:
        return ""
    apart = [pair["difference_pct"] for pair in pairs]
    signed = [f"{'+' if round(value, 1) > 0 else ''}{figure(value)}" for value in apart]
    told = ", ".join(signed)
    if len(apart) > MOST_NAMED:
        told = f"{signed[apart.index(min(apart))]} to {signed[apart.index(max(apart))]}"
    which = "the same piece" if len(pairs) == 1 else f"the same {len(pairs)} pieces"
    return f"Meter minus oven on {which}: {told}{TIE}% of moisture."


def sample_sentence(lot: LotPart, read: int) -> str:
    """How many pieces a published plan asks for; "" where none does."""
    plan = lot["asked_for"]
    if plan is None:
        return ""
    allowed = plan["accepted_outside"]
    allows = "" if allowed is None else f", at most {allowed} of them outside"
    standing = STANDING.get(plan["standing"], plan["standing"])
    how_sure = f" (figures {standing})" if standing and plan["standing"] != "verified" else ""
    asks = f"{plan['named']}{how_sure} asks for {plan['pieces']} of {count(plan['of_lot_of'], 'piece')}"
    return f"{asks}{allows}; {read} {'was' if read == 1 else 'were'} read."


def measured(lot: LotPart, options: PaperOptions) -> str:
    """On which days, and at what temperature of the wood."""
    series_read = series_by_weight(lot)
    finished = [series for series in series_read if series["kind"] != SAMPLE_BOARDS] or series_read
    readings = [reading for series in finished for reading in series["readings"]]
    if not readings:
        return "not measured"
    at = sorted((reading["read_at"] for reading in readings), key=moment_of)
    said = days(at[0], at[-1], options)
    warm = {
        (reading["wood_temperature"], reading["temperature_unit"])
        for reading in readings
        if reading["wood_temperature"] is not None
    }
    units = {unit for _, unit in warm}
    if len(units) == 1:
        figures = sorted(value for value, _ in warm if value is not None)
        unit = units.pop()
        span = (
            temperature(figures[0], unit)
            if len(figures) == 1
            else f"{short(figures[0], 1)} to {temperature(figures[-1], unit)}"
        )
        said += f", wood at {span}"
    return said


def series_name(series: SeriesPart) -> str:
    """What a series is called at the head of a sentence."""
    named = {SAMPLE_BOARDS: "Sample boards", "oven-dry": "Oven-dried pieces"}
    return named.get(series["kind"], f"By {series['kind']}")


def read_how(series: SeriesPart) -> str:
    """The kind of a series, how it was read, and how many pieces of how many packs."""
    if series["kind"] == SAMPLE_BOARDS:
        return f"last weighing of {read_of(series)}"
    return f"{series['how'] or series['kind']}; {read_of(series)}"


def read_of(series: SeriesPart) -> str:
    """How many pieces of how many packs."""
    packs = len({pack["pack"] for pack in series["packs"] if pack["pack"] is not None})
    number = count(series["whole"]["n"], _what(series))
    return f"{number} from {count(packs, 'pack')}" if packs else number
