"""The charge report holds everything of the contents; the weigh sheet and the labels what the hand needs."""

from __future__ import annotations

from kilnlog.exchange.papers.charge_report import charge_report
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.page import DRY, INK, WET
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import is_colour, pages_text, shapes, stands_in_order, text_of

SEALED = PaperOptions(short_form=samples.SHORT_FORM)


def test_everything_stands_in_it_in_order() -> None:
    contents = samples.charge()
    later = [{"at": "2026-12-01T09:00:00-05:00", "what": "customer called", "note": "one board cupped"}]
    paper = charge_report(contents, SEALED, later_notes=later)  # type: ignore[arg-type]  # EventParts
    text = text_of(paper.pdf)
    assert stands_in_order(
        text,
        "Charge report",
        "Charge 2026-12, 2 lots",
        "16 October to 12 November 2026, 27.3 days",
        "Schedule T8-B4",
        f"Notes {samples.FINCH} wants the stickers back",
        "Rowan Joinery",
        "23 of 24 inside",
        samples.FINCH,
        "18 of 20 inside",
        "How it dried",
        "EMC of air",
        "control",
        "board 6",
        "no air 31 h",
        "dry bulb, °F",
        "wet bulb, °F",
        "Sample boards",
        "1842 g 1411.2 1510.0 29.2 6.7 ± 0.3",
        "Steps of the schedule",
        "110 °F, wet bulb 102 °F",
        "control at 30 %",
        "Findings and answers",
        "Board 5 lost more in a day than its safe rate.",
        "It lost 3.9 % in 24 h; 3.5 % is safe. Lift the wet bulb by 2 °F.",
        "Answer: vents closed a little",
        "weight insisted on",
        "power cut",
        "the operator's own record",
        "38 min",
        "bench scale 1 g",
        "Seal",
        "all lots unloaded",
        samples.SHORT_FORM,
        "line 412",
        "9f" * 32,
        "Written after the seal",
        "customer called: one board cupped",
        "Lot A",
        "Final moisture",
        "Stress",
        "Defects",
        "Ends dried faster than the middle. Coat the ends sooner. (Dry Kiln Operator's Manual, chapter 8)",
        "Tally",
        "1 common",
        "6 in 8 ft 88 354 bf",
        "Piece by piece, pin meter",
        "Lot B",
        "casehardened",
        "Piece by piece, oven-dry",
        "102.4 g 95.0 g 7.8",
        "Piece by piece, sample boards",
    )
    for number, page in enumerate(pages_text(paper.pdf), 1):
        assert f"page {number} of {paper.pages}" in page


def test_every_piece_is_in_its_table() -> None:
    text = text_of(charge_report(samples.charge(), SEALED).pdf)
    for number in range(20):
        assert f"W w{number} 12 Nov 2026, 16:00" in text
    assert "34.0 61 °F +0.4 – over 30 outside" in text


def test_the_air_stands_under_the_curve_and_breaks_where_none_was_read() -> None:
    drawn = list(shapes(charge_report(samples.charge(), SEALED).pdf, 0))
    control = [points for _, how, colour, points in drawn if is_colour(colour, INK) and len(points) > 20]
    dry = [points for _, how, colour, points in drawn if is_colour(colour, DRY) and len(points) > 20]
    wet = [points for _, how, colour, points in drawn if is_colour(colour, WET) and len(points) > 20]
    assert len(control) == 1
    assert len(dry) == len(wet) == 2  # before the hole and after it
    assert dry[0][-1][0] < dry[1][0][0]
    assert max(y for line in dry for _, y in line) < min(y for _, y in control[0])
    assert dry[0][0][0] == control[0][0][0]  # one axis of time


def test_humidity_is_drawn_where_no_wet_bulb_was_read() -> None:
    contents = samples.charge()
    assert contents["air"] is not None
    contents["air"]["hours"] = [(at, dry, None, rh) for at, dry, _, rh in contents["air"]["hours"]]
    text = text_of(charge_report(contents, SEALED).pdf)
    assert "RH, %" in text
    assert "wet bulb, °F" not in text


def test_of_an_empty_charge_it_says_what_there_is_not() -> None:
    text = text_of(charge_report(samples.empty(), PaperOptions()).pdf)
    assert stands_in_order(
        text,
        "Kiln not named",
        "No sample board was weighed.",
        "No sample board was cut.",
        "No step was written down.",
        "None stood at the end.",
        "None was written down.",
        "No probe record kept",
        "None was named.",
        "Not sealed",
        "Not measured.",
        "Not tested.",
        "Not recorded.",
        "Not tallied.",
    )
    assert "None," not in text


def test_a_table_runs_over_with_its_headings() -> None:
    contents = samples.charge()
    contents["events"] = [
        {"at": contents["steps"][0]["taken_at"], "what": f"event {number:03d}", "note": None}
        for number in range(120)
    ]
    pages = [" ".join(page.split()) for page in pages_text(charge_report(contents, SEALED).pdf)]
    holding = [page for page in pages if "event 0" in page or "event 1" in page]
    assert len(holding) > 2
    assert all("When What Note" in page for page in holding)
    assert sum(page.count("event ") for page in holding) == 120


def test_a_charge_still_in_the_kiln_says_so_and_a_sealed_one_that_nobody_wrote_its_unloading() -> None:
    contents = samples.charge()
    contents["charge"]["unloaded_at"] = None
    text = text_of(charge_report(contents, SEALED).pdf)
    assert "Dried from 16 October 2026, unloading not recorded, 27.3 days" in text
    text = text_of(charge_report({**contents, "seal": None, "ledger": None}, PaperOptions()).pdf)
    assert "Dried from 16 October 2026, still in the kiln, 27.3 days" in text


def test_few_readings_of_the_air_are_joined_and_marked_one_by_one() -> None:
    """By hand twice a day: no hole lies between them, and one alone is seen too."""
    contents = samples.charge()
    assert contents["air"] is not None
    contents["air"] |= {"hours": contents["air"]["hours"][::60], "holes": [], "emc": []}
    drawn = list(shapes(charge_report(contents, SEALED).pdf, 0))
    number = len(contents["air"]["hours"])
    for colour in (DRY, WET):
        dots = [1 for kind, _, of, _ in drawn if kind == "disc" and is_colour(of, colour)]
        lines = [points for _, how, of, points in drawn if is_colour(of, colour) and len(points) == number]
        assert len(dots) == number
        assert len(lines) == 1
