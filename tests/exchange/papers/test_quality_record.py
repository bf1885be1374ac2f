"""The quality record read back: order, figures, every dot, what is said where nothing is known."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from kilnlog.exchange.errors import UnknownOwner
from kilnlog.exchange.papers import lot_words
from kilnlog.exchange.papers.contents import Contents, LotPart
from kilnlog.exchange.papers.options import PaperOptions, PaperSize
from kilnlog.exchange.papers.page import FOOT, INK, LOOK
from kilnlog.exchange.papers.quality_record import quality_record
from kilnlog.exchange.papers.readings_figure import readings_rows, scale_of
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import (
    is_colour,
    pages_text,
    reader_of,
    shapes,
    stands_in_order,
    text_of,
)

SEALED = PaperOptions(short_form=samples.SHORT_FORM)


def with_lot(lot: LotPart, contents: Contents | None = None) -> Contents:
    base = samples.charge() if contents is None else contents
    return {**base, "lots": [lot]}


@pytest.mark.parametrize("size", list(PaperSize))
def test_an_ordinary_lot_takes_one_page_of_either_size(size: PaperSize) -> None:
    paper = quality_record(samples.charge(), PaperOptions(size, short_form=samples.SHORT_FORM), lot="A")
    page = reader_of(paper.pdf).pages[0]
    assert paper.pages == len(reader_of(paper.pdf).pages) == 1
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size.value, abs=0.01)
    assert "page 1 of 1" in text_of(paper.pdf)


def test_text_is_read_in_the_order_of_the_page() -> None:
    text = text_of(quality_record(samples.charge(), SEALED, owner=samples.ROWAN).pdf)
    assert stands_in_order(
        text,
        "Quality record",
        "Charge 2026-12, lot A, for Rowan Joinery",
        "Quillbeck Mill",
        "What 4/4 black cherry",
        "How much 380 bf green, 354 bf net",
        "Kiln Orchard kiln, dehumidifier, 28 days",
        "Dried 16 October to 12 November 2026",
        "Ordered 6 to 8 %, average 7 %",
        "Measured 12 November 2026, wood at 61 °F",
        "Final moisture",
        "23 of 24",
        "pieces inside 6 to 8 %",
        "mean",
        "standard deviation",
        "lowest and highest",
        "Piece 24 of pack 2 (8.3 %) lies outside the limits",
        "With 95 % confidence at least 90 % of all pieces lie between 6.1 and 8.2 %",
        "How it dried",
        "board 4 7.4",
        "board 3 7.0",
        "board 2 6.9",
        "board 1 6.7",
        "Stress left out because: no oven free",
        "Defects slight end checks on 4 pieces: under 2 in; sticker stain on 1 piece",
        "Heat Every probe in the wood read 133 °F or above for 38 min",
        "This is the operator's own record.",
        "Instruments steps and last checks: meter M2 0.1 %, 2 October 2026; scale bench 1 g, 14 October 2026",
        "Keeping Indoors",
        "Measured on 12 November 2026 (drying shed, Quillbeck); not a guarantee of later moisture.",
        "Sealed 13 November 2026, 09:12 by M. Quill.",
        "Short form 7QD4-M2XH-9KTB",
    )


def test_figures_are_those_that_numpy_finds() -> None:
    read = np.array(samples.PACK_1 + samples.PACK_2)
    text = text_of(quality_record(samples.charge(), SEALED, lot="A").pdf)
    inside = int(((read >= 6) & (read <= 8)).sum())
    assert stands_in_order(
        text,
        f"{inside} of {len(read)}",
        f"{read.mean():.1f} %",
        f"{read.std(ddof=1):.2f}",
        f"{read.min():.1f} – {read.max():.1f} %",
        f"mean {np.mean(samples.PACK_1):.1f}, n 12",
        f"mean {np.mean(samples.PACK_2):.1f}, n 12",
    )


def test_every_reading_is_a_dot_at_its_place_and_those_outside_are_hollow_diamonds() -> None:
    paper = quality_record(samples.charge(), SEALED, lot="A")
    drawn = list(shapes(paper.pdf, 0))
    dots = [points[0] for kind, how, colour, points in drawn if kind == "disc" and is_colour(colour, INK)]
    diamonds = [points for _, how, colour, points in drawn if how == "stroke" and is_colour(colour, LOOK)]
    values = sorted(value for value in samples.PACK_1 + samples.PACK_2 if value <= 8)
    assert len(dots) == len(values) == 23
    assert len(diamonds) == 1
    across = np.array(sorted(x for x, _ in dots))
    slope, start = np.polyfit(values, across, 1)
    assert np.abs(across - (slope * np.array(values) + start)).max() < 0.01  # on one scale, to 1/100 pt
    middle = (min(x for x, _ in diamonds[0]) + max(x for x, _ in diamonds[0])) / 2
    assert middle == pytest.approx(slope * 8.3 + start, abs=0.01)
    assert len(set(dots)) == 23  # none hides another


def test_limits_stand_where_the_scale_says() -> None:
    drawn = list(shapes(quality_record(samples.charge(), SEALED, lot="A").pdf, 0))
    dots = sorted(
        points[0][0] for kind, _, colour, points in drawn if kind == "disc" and is_colour(colour, INK)
    )
    slope, start = np.polyfit(sorted(v for v in samples.PACK_1 + samples.PACK_2 if v <= 8), dots, 1)
    upright = {
        round(points[0][0], 1)
        for kind, how, colour, points in drawn
        if how == "stroke" and is_colour(colour, INK) and len(points) == 2 and points[0][0] == points[1][0]
    }
    assert upright == {round(slope * 6 + start, 1), round(slope * 8 + start, 1)}


def test_three_series_stand_side_by_side_and_are_never_one() -> None:
    text = text_of(quality_record(samples.charge(), SEALED, lot="B").pdf)
    assert stands_in_order(
        text,
        "18 of 20",
        "mean of the 19 under 30 %",
        "over 30",
        "oven-dried",
        "boards",
        "Oven-dried pieces: 2 of 2 pieces inside 7 to 9 %; mean 7.9",
        "Last weighing: 2 of 2 sample boards inside 7 to 9 %; mean 8.0",
        "Piece w18 of pack W (over 30 %) and piece w19 of pack W (9.6 %) lie outside",
        "Average asked for: 7.5 to 8.5 %; it is not known: 1 piece read over 30 %.",
        "93.5 % of the pieces",
        "Meter minus oven on the same piece: −0.4 %",
        "prong test, 2 pieces, 1 of 2 passed, 1 free and 1 casehardened",
        "shell 7.4, core 8.3 %, 0.9 apart",
        "Defects looked for, none found",
    )


def test_what_nobody_looked_at_is_said_and_nothing_is_invented() -> None:
    paper = quality_record(samples.empty(), PaperOptions(made_at="2026-11-30T09:00:00-05:00"))
    text = text_of(paper.pdf)
    assert paper.pages == 1
    assert stands_in_order(
        text,
        "Moisture so far",
        "Charge 2026-12, lot A; not loaded yet",
        "Ordered no limits named",
        "Measured not measured",
        "Moisture Not measured.",
        "No sample board of this lot was weighed.",
        "Stress not tested",
        "Defects not recorded",
        "Tally not tallied",
        "Heat no probe record kept",
        "Instruments none named",
        "Not sealed: the charge is open, as known on 30 November 2026, 09:00",
    )
    assert "Short form" not in text
    assert "None" not in text
    assert "nan" not in text


def test_a_record_that_fails_its_seal_says_so() -> None:
    text = text_of(quality_record(samples.charge(), PaperOptions(not_verified=True), lot="A").pdf)
    assert "NOT VERIFIED: the record no longer fits its seal." in text


def test_a_later_version_names_itself() -> None:
    contents = samples.charge()
    assert contents["seal"] is not None
    contents["seal"]["version"] = 2
    assert "Sealed version 2 13 November" in text_of(quality_record(contents, SEALED, lot="A").pdf)


def test_no_limits_means_no_verdict() -> None:
    asked = samples.NO_LIMITS
    readings = [samples.reading(value, "1") for value in (6.0, 7.0, 9.0)]
    lot = samples.lot("A", samples.ROWAN, limits=asked, final=[samples.series(readings, asked)])
    paper = quality_record(with_lot(lot), SEALED)
    text = text_of(paper.pdf)
    assert "pieces read, no limits named" in text
    assert "outside" not in text
    assert not [1 for _, how, colour, _ in shapes(paper.pdf, 0) if is_colour(colour, LOOK)]


@pytest.mark.parametrize(
    ("mc_pct", "is_inside"),
    [(8.0, True), (8.04, True), (8.06, False), (6.0, True), (5.96, True), (5.94, False), (-0.6, False)],
)
def test_a_piece_is_outside_as_it_is_read(mc_pct: float, is_inside: bool) -> None:
    """What equals a limit lies inside; compared as shown, to a tenth (EN 13183-1 rounds so; from memory)."""
    asked = samples.limits()
    lot = samples.lot("A", None, limits=asked, final=[samples.series([samples.reading(mc_pct)], asked)])
    text = text_of(quality_record(with_lot(lot), SEALED).pdf)
    assert ("1 of 1 pieces inside" in text) is is_inside
    assert ("lies outside the limits" in text) is not is_inside


def test_one_sided_limits() -> None:
    asked = samples.limits(None, 19, average_low_pct=None, average_high_pct=None, named="max 19")
    readings = [samples.reading(value) for value in (12.0, 17.5, 19.0, 21.5)]
    lot = samples.lot("A", None, limits=asked, final=[samples.series(readings, asked)])
    text = text_of(quality_record(with_lot(lot), SEALED).pdf)
    assert stands_in_order(text, "3 of 4", "pieces at 19 % or less", "A piece (21.5 %) lies outside")


def test_200_readings_flow_on_and_none_is_lost() -> None:
    asked = samples.limits()
    readings = [
        samples.reading(5.5 + (number * 37 % 200) / 61, f"pack {number % 9}", f"P{number:03d}")
        for number in range(200)
    ]
    lot = samples.lot("A", samples.ROWAN, limits=asked, final=[samples.series(readings, asked)])
    paper = quality_record(with_lot(lot), SEALED)
    texts = pages_text(paper.pdf)
    whole = text_of(paper.pdf)
    assert paper.pages == len(texts) > 1
    for number in range(200):
        assert whole.count(f"P{number:03d}") == 1  # once, in the table of pieces
    for number, text in enumerate(texts, 1):
        assert f"page {number} of {paper.pages}" in text
        assert samples.SHORT_FORM in text
        assert "not a guarantee of later moisture" in text
        if number > 1:
            assert "Quality record, charge 2026-12, lot A, for Rowan Joinery, continued" in " ".join(
                text.split()
            )
    outside = sum(round(one["mc_pct"] or 0, 1) > 8 or round(one["mc_pct"] or 0, 1) < 6 for one in readings)
    drawn = [shape for page in range(paper.pages) for shape in shapes(paper.pdf, page)]
    dots = [1 for kind, _, colour, _ in drawn if kind == "disc" and is_colour(colour, INK)]
    assert len(dots) == 200 - outside
    marks = [1 for _, how, colour, _ in drawn if how == "stroke" and is_colour(colour, LOOK)]
    assert len(marks) == outside > 8
    assert "pack pack" not in whole
    assert f"{outside} pieces lie outside the limits, " in whole


def test_many_heaps_of_the_same_reading_get_smaller_dots_and_all_stay() -> None:
    asked = samples.limits()
    readings = [samples.reading(7.0, "1", str(number)) for number in range(60)]
    lot = samples.lot("A", None, limits=asked, final=[samples.series(readings, asked)])
    paper = quality_record(with_lot(lot), SEALED)
    dots = {
        points[0]
        for page in range(paper.pages)
        for kind, _, colour, points in shapes(paper.pdf, page)
        if kind == "disc" and is_colour(colour, INK)
    }
    assert len(dots) == 60


def test_a_page_for_each_lot_of_an_owner() -> None:
    contents = samples.charge()
    contents["lots"].append(samples.lot("C", "  rowan   JOINERY "))
    paper = quality_record(contents, SEALED, owner=samples.ROWAN)
    texts = [" ".join(text.split()) for text in pages_text(paper.pdf)]
    assert paper.pages == 2
    assert "lot A, for Rowan Joinery" in texts[0]
    assert "lot C, for rowan JOINERY" in texts[1]
    assert "page 2 of 2" in texts[1]
    assert "Final moisture was not measured; nothing here is a guarantee" in texts[1]


def test_an_owner_without_a_lot_is_refused() -> None:
    with pytest.raises(UnknownOwner) as refused:
        quality_record(samples.charge(), SEALED, owner="Nobody")
    assert refused.value.values["known_owners"] == (samples.ROWAN, samples.FINCH)


def test_a_lot_that_left_early_ends_with_the_day_it_left() -> None:
    lot = {**samples.cherry(), "out_at": "2026-11-02T11:00:00-05:00"}
    text = text_of(quality_record(with_lot(lot), SEALED).pdf)  # type: ignore[arg-type]  # a LotPart still
    assert "Dried 16 October to 2 November 2026" in text
    assert "27 days" not in text


def test_days_are_written_month_first_where_that_is_usual() -> None:
    options = PaperOptions.of_locale("en_US.UTF-8", short_form=samples.SHORT_FORM)
    text = text_of(quality_record(samples.charge(), options, lot="A").pdf)
    assert options.size is PaperSize.LETTER
    assert "October 16 to November 12, 2026" in text
    assert "Sealed November 13, 2026, 09:12" in text


@pytest.mark.parametrize(
    ("locale", "size"),
    [("en_US", PaperSize.LETTER), ("fr-CA", PaperSize.LETTER), ("de_AT", PaperSize.A4), ("C", PaperSize.A4)],
)
def test_the_sheet_is_the_one_usual_in_the_land(locale: str, size: PaperSize) -> None:
    assert PaperOptions.of_locale(locale).size is size


def test_air_alone_says_nothing_of_the_wood() -> None:
    contents = samples.charge()
    assert contents["heat"] is not None
    contents["heat"] |= {"air_only": True, "reached": False, "breaks": ["a hole of 14 min at 10:20"]}
    text = text_of(quality_record(contents, SEALED, lot="A").pdf)
    assert stands_in_order(
        text,
        "less than asked",
        "No probe sat in the wood: this says nothing of the wood itself.",
        "A hole of 14 min",
    )
    for word in ("certified", "compliant", "HT"):
        assert word not in text


def test_a_sentence_of_a_remark_is_printed() -> None:
    lot = samples.walnut()
    lot["stress_remarks"] = [{"said": "a difference of moisture can look like stress", "source": None}]
    lot["final"][0]["remarks"] = ["one piece was read twice"]
    text = text_of(quality_record(with_lot(lot), SEALED).pdf)
    assert "A difference of moisture can look like stress." in text
    assert "One piece was read twice." in text


def test_a_remark_longer_than_a_page_runs_on() -> None:
    words = [f"word{number:04d}" for number in range(1500)]
    lot = {**samples.cherry(), "storage": " ".join(words)}
    lot["final"][0]["readings"][0]["note"] = " ".join(f"note{number:04d}" for number in range(900))
    options = PaperOptions(short_form=samples.SHORT_FORM, piece_by_piece=True)
    paper = quality_record(with_lot(lot), options)  # type: ignore[arg-type]  # a LotPart still
    text = text_of(paper.pdf)
    assert paper.pages > 3
    assert stands_in_order(text, *words)
    assert all(f"note{number:04d}" in text for number in range(900))
    heights: list[float] = []

    def note(text: str, _cm: object, at: list[float], _font: object, _size: float) -> None:
        if "word" in text or "note" in text:
            heights.append(at[5])

    for page in reader_of(paper.pdf).pages:
        page.extract_text(visitor_text=note)
    assert len(heights) > 100
    assert min(heights) > FOOT - 8  # above the foot of its page, not below its edge


def test_sample_boards_alone_are_no_finished_pieces() -> None:
    asked = samples.limits()
    boards = [samples.reading(value, None, str(number)) for number, value in enumerate((6.9, 7.2, 8.4), 1)]
    told = samples.series(boards, asked, "sample boards", how="sample boards")
    text = text_of(quality_record(with_lot(samples.lot("A", None, limits=asked, final=[told])), SEALED).pdf)
    assert stands_in_order(
        text,
        "last weighing of 3 sample boards",
        "2 of 3 sample boards inside 6 to 8 %",
        "No finished piece was read: these are the last weighings of the sample boards.",
        "Sample board 3 (8.4 %) lies outside the limits",
    )
    assert "piece" not in text.replace("finished piece", "")


def test_a_charge_without_lots_says_so() -> None:
    contents = {**samples.empty(), "lots": []}
    paper = quality_record(contents, PaperOptions())  # type: ignore[arg-type]  # Contents still
    assert paper.pages == 1
    assert "No lot of this charge was written down." in text_of(paper.pdf)


def test_values_of_diamonds_stand_away_from_the_limits_and_never_over_one_another() -> None:
    asked = samples.limits()
    values = (5.1, 5.5, 5.6, 5.7, 6.5, 7.0, 8.1, 8.2, 8.9)
    readings = [samples.reading(value, "1", str(number)) for number, value in enumerate(values)]
    lot = samples.lot("A", None, limits=asked, final=[samples.series(readings, asked)])
    paper = quality_record(with_lot(lot), SEALED)
    (row,) = readings_rows(lot["final"][0], asked, scale_of(lot["final"], asked), is_main=True)
    assert row.height(480) < 60
    places: dict[str, float] = {}

    def note(text: str, _cm: object, at: list[float], _font: object, size: float) -> None:
        if text.strip() in {"5.1", "8.9"}:
            places[text.strip()] = at[4]

    reader_of(paper.pdf).pages[0].extract_text(visitor_text=note)
    marks = sorted(
        (min(x for x, _ in points), max(x for x, _ in points))
        for _, how, colour, points in shapes(paper.pdf, 0)
        if how == "stroke" and is_colour(colour, LOOK)
    )
    assert len(marks) == 7
    assert places["5.1"] < marks[0][0]
    assert places["8.9"] > marks[-1][1]


def heat_told(**more: Any) -> str:
    contents = samples.charge()
    assert contents["heat"] is not None
    contents["heat"].update(more)  # type: ignore[typeddict-item]  # fields there are
    return lot_words.heat(contents, contents["lots"][0], PaperOptions()).replace("\u00a0", " ")


def test_heat_is_said_of_the_probes_that_were_counted_and_of_no_others() -> None:
    """Where any probe sat in the wood those in the air are not counted: "every probe" would be untrue."""
    assert heat_told().startswith("Every probe in the wood read 133 °F or above for 38 min")
    of_air = heat_told(air_only=True, reached=False, probes=["K2, in the air"])
    assert of_air.startswith("Every probe in the air read 133 °F")
    assert "says nothing of the wood" in of_air
    never = heat_told(longest=None, reached=False, runs=[])
    assert never.startswith("At no moment did every probe in the wood read 133 °F or above (asked for:")
    nobody = heat_told(longest=None, reached=False, runs=[], probes=[])
    assert nobody.startswith("No probe was read (asked for:")


def test_one_reading_alone_is_told_as_no_time() -> None:
    at = samples.UNLOADED.isoformat()
    once = heat_told(longest={"begins": at, "ends": at, "minutes": 0.0}, reached=False)
    assert "at one moment alone" in once
    assert "0 min without a break" not in once


def test_a_weight_mistyped_a_thousandfold_makes_no_page_of_a_million_ticks() -> None:
    of_slip = samples.series([samples.reading(1.0), samples.reading(1e6)], samples.NO_LIMITS, "oven-dry")
    lot = samples.lot("A", samples.ROWAN, final=[of_slip], limits=samples.NO_LIMITS)
    assert len(quality_record(with_lot(lot), SEALED).pdf) < 100_000
