"""The quality record of an ordinary lot is one page, and what it leaves to the charge report stands there."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest

from kilnlog.exchange.papers import readings_figure, record_words
from kilnlog.exchange.papers.charge_report import charge_report
from kilnlog.exchange.papers.contents import Contents, LotPart, RemarkPart
from kilnlog.exchange.papers.fonts import text_width
from kilnlog.exchange.papers.options import PaperOptions, PaperSize
from kilnlog.exchange.papers.page import EDGE, FOOT, INK, SMALL, TOP
from kilnlog.exchange.papers.quality_record import quality_record
from kilnlog.exchange.papers.readings_figure import mean_words
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import (
    is_colour,
    pages_text,
    reader_of,
    shapes,
    stands_in_order,
    text_of,
)

HOW = (
    "pin meter, 1/4 in deep, set to Douglas-fir scale, corrected for temperature by the Wood Handbook's rule "
    "of thumb"
)
WITHHELD = "No interval free of a spread is stated: too few pieces were read: it takes 46."
GRADIENT: RemarkPart = {
    "said": "A moisture gradient bends prongs and slices as stress does.",
    "source": "an extension paper (2017), p. 56: let it stand some hours to a day",
}
DISAGREE: RemarkPart = {"said": "Of a test, the words and the limit disagree.", "source": None}
NAMES = ("bench scale", "section balance", "pound scale", "section oven")
OPTIONS = [PaperOptions(size, short_form=samples.SHORT_FORM) for size in PaperSize]


def ordinary(boards: int = 8) -> Contents:
    """24 readings in two packs, boards, four oven-dried pieces, stress, defects, tally, heat, instruments."""
    contents = samples.charge()
    asked = samples.limits(named="the mill's own rule", average_low_pct=None, average_high_pct=None)
    main = samples.two_packs(asked) | {"how": HOW, "instrument": "M2", "withheld": [WITHHELD]}
    dried = [
        samples.reading(value, pack, None, wet_weight="56.4 g", oven_dry_weight="52.9 g")
        for value, pack in ((6.6, "1"), (6.0, "1"), (6.6, "2"), (6.2, "2"))
    ]
    last = [samples.reading(6.4 + number / 10, None, str(number + 1)) for number in range(boards)]
    picked = "No tolerance interval is stated: sample boards are picked, not drawn at random."
    lot: Any = {
        **samples.cherry(),
        "limits": asked,
        "final": [
            main,
            samples.series(dried, asked, "oven-dry", how="oven-dry"),
            samples.series(last, asked, "sample boards", how="sample boards", withheld=[picked]),
        ],
        "pairs": [{"piece": "1 2", "meter_pct": 7.4, "oven_pct": 6.6, "difference_pct": 0.8}],
        "stress": [samples.stress("prong", piece=str(one), found="free", passed=True) for one in range(3)],
        "stress_remarks": [GRADIENT, DISAGREE],
        "storage": "Indoors at 70 °F (21 °C) near 37 % relative humidity it stays near 7.2 %. In damper air, "
        "an open shed most of all, it takes up water again.",
        "answers": [],
    }
    lot["asked_for"] |= {"pieces": 20, "accepted_outside": 3, "of_lot_of": 118}
    lot["tally"]["expected_from"] = "Wood Handbook Table 4-3, read in a public copy of it (verified)"
    assert contents["heat"] is not None
    contents["heat"] |= {
        "probes": [
            "core 1, in the core of a piece",
            "core 2, in the core of a piece",
            "door side, in the air",
        ],
        "sampling_minutes": 2.0,
        "widest_minutes": 2.0,
        "breaks": [
            "core 2 below the threshold: 2 min, 2026-11-11 10:08 to 2026-11-11 10:10.",
            "core 1 without a reading: 14 min, 2026-11-11 10:50 to 2026-11-11 11:04.",
        ],
    }
    contents["instruments"] += [
        {
            "instrument": name,
            "kind": "oven" if "oven" in name else "scale",
            "division": "0.1 g",
            "checked_at": "2026-09-14T08:00:00-04:00",
            "check_result": "reads 100.0 g at 100 g",
        }
        for name in NAMES[1:]
    ]
    weighed = [
        samples.board(str(number + 1), "A", 30 + number, 6.4 + number / 10) for number in range(boards)
    ]
    return {**contents, "lots": [lot], "boards": weighed}


def first_lot(contents: Contents) -> LotPart:
    return contents["lots"][0]


@pytest.mark.parametrize("options", OPTIONS)
@pytest.mark.parametrize("boards", [1, 3, 8])
def test_everything_of_an_ordinary_lot_stands_on_one_page(boards: int, options: PaperOptions) -> None:
    contents = ordinary(boards)
    paper = quality_record(contents, options)
    text = text_of(paper.pdf)
    assert paper.pages == 1
    assert stands_in_order(
        text,
        "24 pieces from 2 packs",
        HOW,
        "23 of 24",
        f"Last weighing: {boards} of {boards} sample board",
        "Piece 24 of pack 2 (8.3 %) lies outside the limits",
        "With 95 % confidence",
        "Meter minus oven on the same piece: +0.8 %",
        "How it dried",
        "Of a test, the words and the limit disagree. Defects",
        "6.8 % less than green (shrinkage expected: 8.8 %)",
        "for 38 min without a break, 11 November 2026, 10:12 to 10:50",
        "Probes: core 1 and core 2, in the core of a piece; door side, in the air; read every 2 min "
        "throughout that time.",
        "Dips and holes before or after it: see the charge report. This is the operator's own record.",
        "meter M2 0.1 %, 2 October 2026; scale bench 1 g, 14 October 2026;",
        "pound scale 0.1 g, 14 September 2026; section oven",
    )
    discs = [1 for kind, _, hue, _ in shapes(paper.pdf, 0) if kind == "disc" and is_colour(hue, INK)]
    assert len(discs) == 23 + 4 + boards  # none is left off to save room


@pytest.mark.parametrize("options", OPTIONS)
@pytest.mark.parametrize("boards", [1, 3, 8])
def test_a_page_ends_near_its_foot(boards: int, options: PaperOptions) -> None:
    """No third of the page is left empty: the curve takes what room the words leave."""
    sheet = reader_of(quality_record(ordinary(boards), options).pdf).pages[0]
    places: list[float] = []

    def note(text: str, _cm: object, at: list[float], _font: object, _size: float) -> None:
        if "water again" in text:
            places.append(at[5])

    sheet.extract_text(visitor_text=note)
    assert len(places) == 1
    assert FOOT < places[0] < FOOT + (options.size.value[1] - TOP - FOOT) / 10


def test_what_the_record_leaves_out_is_in_the_charge_report() -> None:
    contents = ordinary()
    record = text_of(quality_record(contents, OPTIONS[0]).pdf)
    report = text_of(charge_report(contents, OPTIONS[0]).pdf)
    for told in (
        WITHHELD,
        "sample boards are picked, not drawn at random",
        "bends prongs and slices as stress does. (an extension paper (2017), p. 56: let it",
        "read in a public copy of it",
        "Core 2 below the threshold: 2 min, 11 November 2026, 10:08 to 10:10.",
        "Core 1 without a reading: 14 min, 11 November 2026, 10:50 to 11:04.",
        "reads 100.0 g at 100 g",
        "asks for 20 of 118 pieces, at most 3 of them outside; 24 were read.",
        "Piece by piece, pin meter",
    ):
        assert told in report
        assert told not in record


def test_fewer_pieces_than_a_plan_asks_for_and_more_outside_are_told() -> None:
    contents = ordinary()
    lot = first_lot(contents)
    assert lot["asked_for"] is not None
    assert record_words.too_few_sentence(lot, lot["final"]) == ""
    lot["asked_for"]["pieces"] = 32
    said = record_words.too_few_sentence(lot, lot["final"])
    assert "(figures known from memory, not from the published text) asks for 32 of 118 pieces" in said
    assert said.endswith("24 were read.")  # not the 28 that meter and oven read together
    lot["asked_for"] |= {"pieces": 20, "accepted_outside": 0}
    assert "at most 0 of them outside; 24 were read." in record_words.too_few_sentence(lot, lot["final"])
    boards_alone = record_words.too_few_sentence(lot, lot["final"][2:])
    assert boards_alone.endswith("; 0 were read.")  # sample boards are picked


def test_a_remark_that_is_no_reason_of_an_interval_stays() -> None:
    contents = ordinary()
    first_lot(contents)["final"][0]["remarks"] += ["The temperature equation is for pin meters."]
    first_lot(contents)["final"][1]["remarks"] += ["A piece was read more than once."]
    text = text_of(quality_record(contents, OPTIONS[0]).pdf)
    assert "The temperature equation is for pin meters." in text
    assert "Oven-dried pieces: A piece was read more than once." in text


def test_where_the_time_asked_for_was_not_reached_every_dip_is_told() -> None:
    contents = ordinary()
    assert contents["heat"] is not None
    contents["heat"]["reached"] = False
    text = text_of(quality_record(contents, OPTIONS[0]).pdf)
    assert "less than asked" in text
    assert "Core 2 below the threshold: 2 min, 11 November 2026, 10:08 to 10:10." in text
    assert "charge report" not in text


def test_a_longer_step_between_readings_and_a_coarse_pace_are_told() -> None:
    contents = ordinary()
    assert contents["heat"] is not None
    step = "Longest time between two readings of a probe within that time: 7 min."
    coarse = "The probes were read less often than the time asked for: a dip in between would not show."
    contents["heat"] |= {"widest_minutes": 7.0, "remarks": [coarse], "breaks": []}
    said = record_words.heat(contents, first_lot(contents), OPTIONS[0]).replace("\u00a0", " ")
    assert stands_in_order(said, "read every 2 min.", step, coarse, "the operator's own record")
    assert "throughout" not in said
    assert "charge report" not in said


def test_figures_from_memory_keep_saying_so() -> None:
    contents = ordinary()
    lot = first_lot(contents)
    assert lot["tally"] is not None
    lot["tally"]["expected_from"] = "a table (memory)"
    assert "a table (memory)" in record_words.tally_words(lot)


def test_an_instrument_that_nobody_checked_says_so() -> None:
    contents = ordinary()
    contents["instruments"][0] |= {"checked_at": None, "check_result": None}
    told = record_words.instruments(contents, first_lot(contents), OPTIONS[0]).replace("\u00a0", " ")
    assert "meter M2 0.1 %, no check recorded; scale bench 1 g, 14 October 2026" in told
    contents["instruments"] = []
    assert record_words.instruments(contents, first_lot(contents), OPTIONS[0]) == "none named"


def test_a_meter_that_nobody_named_is_told_and_scales_only_where_something_was_weighed() -> None:
    contents = ordinary()
    lot = first_lot(contents)
    lot["final"] = lot["final"][:1]
    lot["final"][0] |= {"instrument": None, "instruments": []}
    told = record_words.instruments(contents, lot, OPTIONS[0])
    assert told.startswith("pin meter not named; steps and last checks: ")
    assert "bench" in told  # the boards were weighed on it
    contents["boards"], contents["instruments"] = [], contents["instruments"][1:]
    assert record_words.instruments(contents, lot, OPTIONS[0]) == "pin meter not named"


def test_equalizing_and_conditioning_stand_in_a_line_and_nothing_where_there_was_none() -> None:
    contents = ordinary()
    assert "Treatment" not in text_of(quality_record(contents, OPTIONS[0]).pdf)
    first_lot(contents)["treatments"] = [
        {
            "kind": "equalizing",
            "begins": "2026-11-10T08:00:00-05:00",
            "ends": "2026-11-11T09:30:00-05:00",
        },
        {"kind": "conditioning", "begins": "2026-11-11T10:00:00-05:00", "ends": None},
    ]
    said = (
        "Treatment equalized for 25 h 30 min until 11 November 2026, 09:30; "
        "conditioned from 11 November 2026, 10:00, end not recorded"
    )
    for paper in (quality_record, charge_report):
        assert said in text_of(paper(contents, OPTIONS[0]).pdf)


def test_a_lot_still_in_the_kiln_gets_no_quality_record() -> None:
    contents = ordinary()
    contents["ledger"] = contents["seal"] = contents["charge"]["unloaded_at"] = None
    text = text_of(quality_record(contents, PaperOptions()).pdf)
    assert stands_in_order(text, "Moisture so far", "; not finished, still in the kiln", "Not sealed")
    assert "Quality record" not in text
    assert "Final moisture" not in text
    first_lot(contents)["out_at"] = samples.UNLOADED.isoformat()
    text = text_of(quality_record(contents, PaperOptions()).pdf)
    assert stands_in_order(text, "Quality record", "Final moisture", "Not sealed")
    assert "not finished" not in text


def test_a_later_version_names_the_seal_it_stands_in_place_of() -> None:
    contents = ordinary()
    assert contents["seal"] is not None
    assert "in place of" not in text_of(quality_record(contents, OPTIONS[0]).pdf)
    contents["seal"] |= {"version": 2, "replaces": "KSPG-7N75-K6EE"}
    text = text_of(quality_record(contents, OPTIONS[0]).pdf)
    assert stands_in_order(
        text, "Sealed version 2", "in place of KSPG-7N75-K6EE.", f"Short form {samples.SHORT_FORM}"
    )
    assert "In place of KSPG-7N75-K6EE" in text_of(charge_report(contents, OPTIONS[0]).pdf)


def test_a_mean_is_labelled_with_the_pieces_it_is_of() -> None:
    pieces = [samples.reading(value, "1") for value in (7.0, 8.0, 8.0, 9.0)]
    pieces.append(samples.reading(None, "1", reading_pct=34.0, over=True))
    pack = samples.figures(pieces, samples.limits(), "1")
    assert mean_words(pack) == "mean 8.0, 4 of 5"
    assert mean_words(samples.figures(pieces[:4], samples.limits(), "1")) == "mean 8.0, n 4"
    assert mean_words(samples.figures(pieces[4:], samples.limits(), "1")) == "no mean, n 1"
    assert text_width(mean_words(pack | {"n": 24}), SMALL.face, SMALL.size) < readings_figure.LABELS


def test_a_table_of_pieces_follows_where_asked_for_or_where_dots_do_not_tell_all() -> None:
    contents = ordinary()
    assert "Piece by piece" not in text_of(quality_record(contents, OPTIONS[0]).pdf)
    asked = PaperOptions(piece_by_piece=True)
    assert "Piece by piece, pin meter" in text_of(quality_record(contents, asked).pdf)
    for values in ([7.0] * 60, [9.0 + number / 10 for number in range(9)]):
        crowded = deepcopy(contents)
        lot = first_lot(crowded)
        lot["final"][0] = samples.series(
            [samples.reading(value, "1", str(number)) for number, value in enumerate(values)], lot["limits"]
        )
        text = text_of(quality_record(crowded, OPTIONS[0]).pdf)
        assert "Piece by piece, pin meter" in text


def test_corrections_carried_too_far_are_told_and_no_table_named_that_is_not_there() -> None:
    contents = ordinary()
    first_lot(contents)["final"][0]["readings"][0]["extrapolated"] = True
    said = "The correction of 1 reading was carried beyond the range it was published for"
    text = text_of(quality_record(contents, OPTIONS[0]).pdf)
    assert f"{said}." in text
    assert "marked *" not in text
    assert f"{said}; marked * in the table of pieces." in text_of(charge_report(contents, OPTIONS[0]).pdf)


def test_pieces_outside_are_told_of_the_series_they_were_read_in() -> None:
    contents = ordinary()
    lot = first_lot(contents)
    for number, value in ((1, 5.1), (2, 9.2)):
        one = lot["final"][number]["readings"][0] | {"mc_pct": value, "piece": "3"}
        readings = [one, *lot["final"][number]["readings"][1:]]
        kind = lot["final"][number]["kind"]
        lot["final"][number] = samples.series(readings, lot["limits"], kind, how=kind)
    assert stands_in_order(
        text_of(quality_record(contents, OPTIONS[0]).pdf),
        "Piece 24 of pack 2 (8.3 %) lies outside the limits; it is counted above.",
        "Oven-dried pieces: piece 3 of pack 1 (5.1 %) lies outside",
        "Sample board 3 (9.2 %) lies outside",
    )


def test_where_two_pages_are_needed_the_curve_fills_the_first() -> None:
    paper = quality_record(ordinary(12), PaperOptions(PaperSize.LETTER))
    pages = [" ".join(page.split()) for page in pages_text(paper.pdf)]
    assert len(pages) == 2
    assert "board 12 7.5" in pages[0]
    assert "continued Stress prong test" in pages[1]
    lowest = min(y for _, _, hue, points in shapes(paper.pdf, 0) if is_colour(hue, EDGE) for _, y in points)
    assert FOOT < lowest < FOOT + 40  # the days under the curve stand right above the foot


@pytest.mark.parametrize("options", OPTIONS)
def test_a_correction_for_cold_wood_is_headed_by_what_it_is_for(options: PaperOptions) -> None:
    text = text_of(charge_report(ordinary(), options).pdf)
    assert "For temperature" in text  # in whole words, however narrow its column
    assert "warmth" not in text
