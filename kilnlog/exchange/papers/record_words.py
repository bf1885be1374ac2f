"""Sentences of the quality record, which is to be one page: what its reader relies on, once and briefly.

What only the mill can use (why no interval is stated, sources of remarks, results of checks, where a probe
dipped outside the time that counts) stands in the charge report and in the workbook.
"""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.exchange.papers import lot_words
from kilnlog.exchange.papers.contents import (
    Contents,
    HeatPart,
    InstrumentPart,
    LimitsPart,
    LotPart,
    SeriesPart,
)
from kilnlog.exchange.papers.final_words import (
    SAMPLE_BOARDS,
    average_sentence,
    beyond_published,
    boards_alone_sentence,
    interval_sentence,
    outside_sentence,
    pairs_sentence,
    sample_sentence,
    series_name,
)
from kilnlog.exchange.papers.limit_words import limits_remarks
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.words import (
    TIE,
    dated,
    day,
    listed,
    minutes,
    moment_of,
    sentence,
    unit_words,
)

_PLACES = (", in the core of a piece", ", in the air")


def final_sentences(lot: LotPart, series: Sequence[SeriesPart]) -> list[str]:
    """What the figures leave to be said, a paragraph of the pieces and one of how they were read."""
    limits, main = lot["limits"], series[0]
    about_pieces = [boards_alone_sentence(series), outside_sentence(main, limits)]
    about_pieces += [_outside_of_other(one, limits) for one in series[1:]]
    about_pieces += [average_sentence(main["whole"], limits), *limits_remarks(limits)]
    about_pieces += [interval_sentence(interval) for interval in main["intervals"]]
    about_reading = [too_few_sentence(lot, series), pairs_sentence(lot)]
    for one in series:
        said = [sentence(text) for text in one["remarks"]]
        said = [text for text in said if one is main or text not in map(sentence, main["remarks"])]
        named = "" if one is main else f"{series_name(one)}: "
        about_reading += [beyond_published(one), *(f"{named}{text}" for text in said)]
    paragraphs = (about_pieces, about_reading)
    return [" ".join(part for part in paragraph if part) for paragraph in paragraphs if any(paragraph)]


def _outside_of_other(series: SeriesPart, limits: LimitsPart) -> str:
    """Which of another series lie outside; a sample board says itself that it is none of the main one."""
    said = outside_sentence(series, limits)
    is_plain = not said or series["kind"] == SAMPLE_BOARDS
    return said if is_plain else f"{series_name(series)}: {said[0].lower()}{said[1:]}"


def too_few_sentence(lot: LotPart, series: Sequence[SeriesPart]) -> str:
    """What a published plan asks for, where fewer pieces were read or more lie outside; else "".

    A piece read by meter and again in the oven is one piece: the longest series counts.
    """
    plan = lot["asked_for"]
    if plan is None:
        return ""
    finished = [one["whole"] for one in series if one["kind"] != SAMPLE_BOARDS]
    read = max((whole["n"] for whole in finished), default=0)
    outside = max(
        (whole["n"] - whole["inside"] for whole in finished if whole["inside"] is not None), default=0
    )
    accepted = plan["accepted_outside"]
    is_too_many = accepted is not None and outside > accepted
    return sample_sentence(lot, read) if read < plan["pieces"] or is_too_many else ""


def stress(lot: LotPart) -> str:
    """The stress tests by kind, with what they say of one another; what is in print is in the report."""
    own = [remark for remark in lot["stress_remarks"] if remark["source"] is None]
    return lot_words.stress({**lot, "stress_remarks": own})


def tally_words(lot: LotPart) -> str:
    """The tally with its shrinkage; by what table more was expected is in the report, unless from memory."""
    tally = lot["tally"]
    if tally is None or "memory" in (tally["expected_from"] or ""):
        return lot_words.tally_words(lot)
    return lot_words.tally_words({**lot, "tally": {**tally, "expected_from": None}})


def heat(contents: Contents, lot: LotPart, options: PaperOptions) -> str:
    """The heat interval; dips and holes only where the time asked for was not reached, for want of which."""
    has_left = "heat_until_out" in lot
    part = lot.get("heat_until_out", contents["heat"])
    if part is None or not part["reached"]:
        return lot_words.heat(contents, lot, options)
    said = [lot_words.heat_claim(part, options, has_left=has_left)]
    said += [f"Probes: {_placed(part['probes'])}{_how_often(part)}."] if part["probes"] else []
    said += lot_words.air_only(part)
    said += [] if _is_even(part) else lot_words.widest(part)
    said += [sentence(dated(remark, options)) for remark in part["remarks"]]
    if part["breaks"]:
        said.append("Dips and holes before or after it: see the charge report.")
    return " ".join([*said, *lot_words.whose_record(part)])


def _placed(probes: Sequence[str]) -> str:
    """The probes by where they sat: each place once."""
    by_place: dict[str, list[str]] = {}
    for probe in probes:
        place = next((place for place in _PLACES if probe.endswith(place)), "")
        by_place.setdefault(place, []).append(probe.removesuffix(place))
    return "; ".join(f"{listed(names)}{place}" for place, names in by_place.items())


def _how_often(part: HeatPart) -> str:
    every = part["sampling_minutes"]
    if every is None:
        return ""
    return f"; read every {minutes(every)}{' throughout that time' if _is_even(part) else ''}"


def _is_even(part: HeatPart) -> bool:
    """Whether the longest step between readings reads as the usual one, which is told."""
    every, widest = part["sampling_minutes"], part["widest_minutes"]
    return every is not None and widest is not None and minutes(every) == minutes(widest)


def instruments(contents: Contents, lot: LotPart, options: PaperOptions) -> str:
    """Each instrument with its step and the day of its last check, meters first, as they read the pieces."""
    unnamed = [f"{kind} not named" for kind in lot_words.unnamed_meters(lot)]
    in_order = sorted(
        lot_words.instruments_of(contents, lot), key=lambda part: not part["kind"].endswith("meter")
    )
    named = "; ".join(_instrument(part, options) for part in in_order)
    told = [*unnamed, *([f"steps and last checks: {named}"] if named else [])]
    return "; ".join(told) or "none named"


def _instrument(part: InstrumentPart, options: PaperOptions) -> str:
    figure, _, unit = (part["division"] or "").partition(" ")
    step = f" {figure}{TIE}{unit_words(unit)}".rstrip()
    if part["checked_at"] is None:
        return f"{lot_words.instrument_name(part)}{step}, no check recorded"
    return f"{lot_words.instrument_name(part)}{step}, {day(moment_of(part['checked_at']), options)}"
