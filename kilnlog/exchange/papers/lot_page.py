"""A lot as a page shows it: final moisture with its dots, the curve, and what else is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kilnlog.exchange.papers import lot_words, record_words
from kilnlog.exchange.papers.blocks import Elastic, Fact, Gap, Headed, Pair, Ruled, Words
from kilnlog.exchange.papers.contents import BoardPart, Contents, LimitsPart, LotPart, SeriesPart
from kilnlog.exchange.papers.curve_figure import UNIT, CurveFigure
from kilnlog.exchange.papers.final_words import (
    SAMPLE_BOARDS,
    average_sentence,
    boards_alone_sentence,
    count_line,
    count_words,
    extrapolated_sentence,
    interval_sentence,
    measured,
    outside_sentence,
    pairs_sentence,
    read_how,
    read_of,
    sample_sentence,
    series_by_weight,
    series_name,
    spread_words,
)
from kilnlog.exchange.papers.flow import Flow
from kilnlog.exchange.papers.fonts import text_width
from kilnlog.exchange.papers.limit_words import limits_remarks, ordered
from kilnlog.exchange.papers.options import PaperOptions, PaperSize
from kilnlog.exchange.papers.page import BODY, INK, LEFT, RIGHT, SAID
from kilnlog.exchange.papers.readings_figure import ReadingsAxis, readings_rows, scale_of
from kilnlog.exchange.papers.seal_words import is_sealed, moisture_heading
from kilnlog.exchange.papers.time_axis import TimeAxis
from kilnlog.exchange.papers.title_block import BigFigures
from kilnlog.exchange.papers.words import count, days, sentence


def particulars(contents: Contents, lot: LotPart, options: PaperOptions) -> list[Pair]:
    """What, how much, where, when, ordered, measured."""
    charge = contents["charge"]
    kiln = [charge["kiln"] or "not named"]
    kiln += [part for part in (charge["heat"],) if part]
    kiln += (
        [count(charge["day_count"], "day")]
        if charge["day_count"] is not None and lot["out_at"] is None
        else []
    )
    until = lot["out_at"] or charge["unloaded_at"]
    dried = dried_words(charge["loaded_at"], until, options, sealed=is_sealed(contents))
    return [
        Pair(Fact("What", lot_words.what(lot), 51), Fact("How much", lot_words.how_much(lot), 51)),
        Pair(Fact("Kiln", ", ".join(kiln), 51), Fact("Dried", dried, 51)),
        Pair(Fact("Ordered", ordered(lot["limits"]), 51), Fact("Measured", measured(lot, options), 51)),
    ]


def dried_words(loaded_at: str | None, until: str | None, options: PaperOptions, *, sealed: bool) -> str:
    """From loading to unloading, or that it is still in the kiln; what is sealed is no longer drying."""
    if loaded_at is None:
        return "not recorded"
    if until is None:
        still = "unloading not recorded" if sealed else "still in the kiln"
        return f"from {days(loaded_at, None, options)}, {still}"
    return days(loaded_at, until, options)


def add_final_moisture(
    flow: Flow, lot: LotPart, heading: str, *, is_brief: bool = False, is_tight: bool = False
) -> None:
    """The main series large, the others after it; never averaged together.

    Args:
        flow: Where to lay it.
        lot: With what was said of the headings of the whole charge.
        heading: What stands over it.
        is_brief: For the quality record; else everything that is to be known of the figures.
        is_tight: With lower rows of dots.
    """
    limits = lot["limits"]
    series = series_by_weight(lot)
    if not series:
        flow.add(Headed(heading))
        said = lot_words.answer_words(
            lot["answers"], "final moisture", lot_words.UNANSWERED["final moisture"]
        )
        flow.add(Words(f"{said[0].upper()}{said[1:]}.", BODY, INK))
        return
    scale = scale_of(series, limits)
    main = series[0]
    if main["kind"] == SAMPLE_BOARDS:
        flow.add(Headed(heading, read_how(main)))
    else:
        flow.add(Headed(heading, read_of(main), how=main["how"] or main["kind"]))
    flow.add(BigFigures((count_words(main, limits), *spread_words(main["whole"]))))
    flow.add(Gap(0 if is_tight else 3))
    for one in series:
        flow.add(*readings_rows(one, limits, scale, one is main, is_tight=is_tight))
    flow.add(ReadingsAxis(scale), Gap(1 if is_tight else 4))
    for other in series[1:]:
        flow.add(Words(_other_series(other, limits, is_brief=is_brief), BODY, INK))
    told = record_words.final_sentences(lot, series) if is_brief else _sentences(lot, series)
    for text in [" ".join(told)] if is_tight and told else told:
        flow.add(Words(text))


def _other_series(series: SeriesPart, limits: LimitsPart, *, is_brief: bool) -> str:
    """A series in one line; how it was read is told once, and of sample boards known to every reader."""
    if not is_brief:
        return f"{series_name(series)}: {count_line(series, limits)} ({read_how(series)})."
    if series["kind"] == SAMPLE_BOARDS:
        return f"Last weighing: {count_line(series, limits)}."
    how = "" if series["how"] in ("", series["kind"]) else f" ({series['how']})"
    return f"{series_name(series)}: {count_line(series, limits)}{how}."


def _sentences(lot: LotPart, series: Sequence[SeriesPart]) -> list[str]:
    """What the figures leave to be said, one paragraph for each subject."""
    limits, main = lot["limits"], series[0]
    about_pieces = [boards_alone_sentence(series), outside_sentence(main, limits)]
    about_pieces += [average_sentence(main["whole"], limits)]
    about_pieces += limits_remarks(limits)
    about_rest = [interval_sentence(interval) for interval in main["intervals"]]
    about_reading = [sample_sentence(lot, main["whole"]["n"]), pairs_sentence(lot)]
    about_reading += [extrapolated_sentence(one) for one in series]
    about_reading += [sentence(text) for text in (*main["remarks"], *main["withheld"])]
    about_reading += [
        f"{series_name(one)}: {sentence(text[0].lower() + text[1:])[0].lower()}{sentence(text)[1:]}"
        for one in series[1:]
        for text in (*one["remarks"], *one["withheld"])
        if text not in (*main["remarks"], *main["withheld"])
    ]
    about_other = [
        f"{series_name(one)}: {text[0].lower()}{text[1:]}"
        for one in series[1:]
        if (text := outside_sentence(one, limits))
    ]
    paragraphs = (about_pieces, about_other, about_rest, about_reading)
    return [" ".join(part for part in paragraph if part) for paragraph in paragraphs if any(paragraph)]


def add_curve(
    flow: Flow, contents: Contents, boards: Sequence[BoardPart], lot: LotPart | None, options: PaperOptions
) -> None:
    """How the boards dried, or that none was weighed."""
    moments = [at for board in boards for at, _ in board["points"]]
    axis = TimeAxis.over(moments, contents["charge"]["zone"])
    if axis is None:
        flow.add(Headed("How it dried"), Words("No sample board of this lot was weighed.", BODY, INK))
        return
    flow.add(Headed("How it dried", UNIT))
    curves = CurveFigure(boards, None if lot is None else lot["limits"], (), (), axis, options)
    least = curves.least_height()
    flow.add(Elastic(curves, least, max(least, 255)))


def facts(contents: Contents, lot: LotPart, options: PaperOptions) -> list[Fact]:
    """What else is known, each under its label, also where nobody looked."""
    treated = lot_words.treatments(lot, options)
    known = [Fact("Treatment", treated)] if treated else []
    known += [
        Fact("Stress", record_words.stress(lot)),
        Fact("Defects", lot_words.defects(lot)),
        Fact("Tally", record_words.tally_words(lot)),
        Fact("Heat", record_words.heat(contents, lot, options)),
        Fact("Instruments", record_words.instruments(contents, lot, options)),
    ]
    if lot["storage"]:
        known.append(Fact("Keeping", lot["storage"]))
    return known


def add_lot(
    flow: Flow, contents: Contents, lot: LotPart, options: PaperOptions, *, is_tight: bool = False
) -> None:
    """What the quality record tells of one lot, in reading order; ``is_tight``: with less room between."""
    ruled = Ruled(3, 3) if is_tight else Ruled()
    boards = [board for board in contents["boards"] if board["lot"] == lot["lot"]]
    answered = lot_words.with_answers(lot, contents["answers"])
    flow.add(*_closer(particulars(contents, lot, options), is_tight), ruled)
    add_final_moisture(flow, answered, moisture_heading(contents, lot), is_brief=True, is_tight=is_tight)
    flow.add(ruled)
    add_curve(flow, contents, boards, lot, options)
    flow.add(ruled)
    flow.add(*_closer(facts(contents, answered, options), is_tight))


def _closer(blocks: Sequence[Fact | Pair], is_tight: bool) -> Sequence[Fact | Pair]:
    """The facts nearer to one another, where the page needs it."""
    if not is_tight:
        return blocks
    return [
        Pair(replace(block.one, after=1), replace(block.other, after=1))
        if isinstance(block, Pair)
        else replace(block, after=1)
        for block in blocks
    ]


def measured_words(contents: Contents, lot: LotPart, options: PaperOptions) -> str:
    """What every page of measurements ends with: when and where, and that this is no promise."""
    when = measured(lot, options).split(", wood")[0]
    if when == "not measured":
        heading = moisture_heading(contents, lot)
        return f"{heading} was not measured; nothing here is a guarantee of later moisture."
    place = contents["mill"].get("place") or contents["mill"].get("name") or ""
    at = f" ({place})" if place else ""
    told = f"Measured on {when}{at}; not a guarantee of later moisture."
    if text_width(told, SAID.face, SAID.size) > PaperSize.A4.value[0] - LEFT - RIGHT:
        return f"Measured on {when} at the place named above; not a guarantee of later moisture."
    return told
