"""The weigh sheet for the clipboard and the labels for the boards."""

from __future__ import annotations

from typing import Any

import pytest

from kilnlog.exchange.papers.board_labels import board_labels, labels_of
from kilnlog.exchange.papers.options import PaperOptions, PaperSize
from kilnlog.exchange.papers.page import RULE
from kilnlog.exchange.papers.weigh_sheet import WeighSheet, WeighSheetLine, weigh_sheet
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import (
    is_colour,
    pages_text,
    reader_of,
    shapes,
    stands_in_order,
    text_of,
)


def line(board: str, **more: Any) -> WeighSheetLine:
    told: WeighSheetLine = {
        "board": board,
        "place": "door side",
        "lot": "A",
        "last_weight": "1507 g",
        "last_at": "2026-11-03T07:30:00-05:00",
        "expected": "1487 – 1500",
    }
    return {**told, **more}  # type: ignore[typeddict-item]  # the caller names fields there are


def sheet(lines: list[WeighSheetLine], unit: str = "g") -> WeighSheet:
    return {
        "charge": "2026-12",
        "kiln": "Orchard kiln",
        "mill": {"name": "Quillbeck Mill", "place": "drying shed"},
        "unit": unit,
        "made_at": "2026-11-04T07:00:00-05:00",
        "expected_at": "2026-11-05T07:30:00-05:00",
        "unloaded_at": None,
        "lines": lines,
    }


def test_boards_stand_in_walking_order_with_room_to_write() -> None:
    paper = weigh_sheet(sheet([line("7"), line("2", place=None), line("4")]), PaperOptions())
    text = text_of(paper.pdf)
    assert stands_in_order(
        text,
        "Weigh sheet",
        "Charge 2026-12, Orchard kiln",
        "Date",
        "Time of the first board",
        "Weighed by",
        "Board",
        "Expected",
        "Weight now, g",
        "7 door side lot A 1507 g 3 Nov, 07:30 1487 – 1500",
        "2 lot A 1507 g",
        "4 door side",
        "Entered later as “from sheet”, with the date and the time written at the top.",
        "Hot kiln",
    )


@pytest.mark.parametrize(
    ("unit", "expected"),
    [("g", "1487 – 1500"), ("kg", "1.487 – 1.500"), ("lb oz", "10 lb 2 oz – 10 lb 5 oz")],
)
def test_the_expected_range_stands_under_the_unit_of_the_sheet(unit: str, expected: str) -> None:
    text = text_of(weigh_sheet(sheet([line("1", expected=expected)], unit), PaperOptions()).pdf)
    assert all(part in text for part in expected.split(" – "))
    assert f"Weight now, {unit}" in text


def test_pounds_and_ounces_stay_in_their_column_and_row() -> None:
    """Each end on a line of its own, its ounces not parted from it, above the rule of its row."""
    weighed = line("1", expected="10 lb 12.5 oz – 10 lb 15.25 oz", last_weight="11 lb 12.25 oz")
    paper = weigh_sheet(
        sheet([weighed, line("2", expected="9 lb 2 oz – 9 lb 5 oz")], "lb oz"), PaperOptions()
    )
    places: dict[str, tuple[float, float]] = {}

    def note(text: str, _cm: object, at: list[float], _font: object, _size: float) -> None:
        places[text.strip().replace("\u00a0", " ")] = (at[4], at[5])

    reader_of(paper.pdf).pages[0].extract_text(visitor_text=note)
    low, high = places["10 lb 12.5 oz"], places["– 10 lb 15.25 oz"]
    assert low[0] == high[0]
    assert high[1] < low[1]
    assert places["11 lb 12.25 oz"][0] < low[0]
    rules = [y for _, _, hue, points in shapes(paper.pdf, 0) if is_colour(hue, RULE) for _, y in points]
    under = max(y for y in rules if y < low[1])
    assert high[1] > under + 3


def test_the_sheet_says_for_when_weights_are_expected_and_that_a_charge_is_unloaded() -> None:
    text = text_of(weigh_sheet(sheet([line("1")]), PaperOptions()).pdf)
    assert "5 Nov, 07:30" in text
    assert "Unloaded" not in text
    out = sheet([line("1")]) | {"unloaded_at": "2026-11-04T06:00:00-05:00"}
    said = "Unloaded 4 November 2026, 06:00: no round is asked for any more."
    assert said in text_of(weigh_sheet(out, PaperOptions()).pdf)


def test_a_board_never_weighed_stands_without_figures() -> None:
    bare = line(
        "9", place=None, lot=None, last_weight=None, last_at=None, expected_low=None, expected_high=None
    )
    text = text_of(weigh_sheet(sheet([bare]), PaperOptions()).pdf)
    assert "None" not in text
    assert stands_in_order(text, "Remark", "9", "Entered later")


def test_many_boards_take_more_sheets_and_print_is_large() -> None:
    paper = weigh_sheet(sheet([line(f"B{number}") for number in range(40)]), PaperOptions(PaperSize.LETTER))
    texts = pages_text(paper.pdf)
    assert paper.pages == len(texts) > 1
    assert all(any(f"B{number} " in text for text in texts) for number in range(40))
    sizes: dict[str, float] = {}

    def note(text: str, _cm: object, _tm: object, _font: object, size: float) -> None:
        sizes[text.strip()] = size

    reader_of(paper.pdf).pages[0].extract_text(visitor_text=note)
    assert sizes["B0"] >= 18  # points: read at arm's length


def test_a_sheet_without_boards_still_has_lines() -> None:
    assert weigh_sheet(sheet([]), PaperOptions()).pages == 1


def test_labels_carry_the_board_and_its_three_weights() -> None:
    paper = board_labels(samples.charge(), PaperOptions())
    text = text_of(paper.pdf)
    assert paper.pages == 1
    for board in "123456":
        assert stands_in_order(
            text, f"Charge 2026-12 {board} lot", "start 1842 g", "oven-dry 1411 g", "weight at 7 % 1510 g"
        )


def test_weights_of_a_label_are_in_the_unit_and_steps_of_the_scale() -> None:
    """1411.2 g and 1510 g in pounds of 453.59237 g (international pound, 1959) by hand: 3.111, 3.329."""
    contents = samples.charge()
    contents["boards"] = contents["boards"][:3]
    contents["boards"][0]["start_weight"] = "3.855 lb"
    contents["boards"][1]["start_weight"] = "no idea"
    contents["boards"][2] |= {"start_weight": None, "oven_dry_weight_g": None}
    labels = labels_of(contents)
    assert (labels[0]["oven_dry_weight"], labels[0]["target_weight"]) == ("3.111 lb", "3.329 lb")
    assert labels[1]["oven_dry_weight"] == "1411 g"
    assert labels[2]["oven_dry_weight"] is None
    assert "oven-dry –" in text_of(board_labels(contents, PaperOptions()).pdf)


def test_eight_labels_to_a_sheet_and_none_lost() -> None:
    contents = samples.charge()
    contents["boards"] = [samples.board(f"K{number}", "A", 30, 7) for number in range(19)]
    paper = board_labels(contents, PaperOptions(PaperSize.LETTER))
    texts = pages_text(paper.pdf)
    assert paper.pages == 3
    assert [text.count("oven-dry") for text in texts] == [8, 8, 3]
    assert all(f"K{number} " in " ".join(texts) for number in range(19))


def test_labels_of_a_charge_without_boards() -> None:
    assert board_labels(samples.empty(), PaperOptions()).pages == 1


def test_spare_lines_alone_take_no_sheet_and_headings_are_repeated() -> None:
    numbers = [*range(11, 17), *range(27, 34)]  # about one sheet, and about two
    counts = set()
    for number in numbers:
        paper = weigh_sheet(sheet([line(str(one)) for one in range(number)]), PaperOptions())
        counts.add(paper.pages)
        texts = [" ".join(text.split()) for text in pages_text(paper.pdf)]
        assert all("Weight now, g" in text for text in texts)
        assert texts[-1].count("door side") >= 1  # a board stands on the last sheet
        assert sum(text.count("door side") for text in texts) == number
    assert counts == {1, 2, 3}
