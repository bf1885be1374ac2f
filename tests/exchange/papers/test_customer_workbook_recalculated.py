"""The customer workbook worked out by LibreOffice gives the record's figures.

Not collected where LibreOffice is not installed; the run says so then.
"""

from __future__ import annotations

import random
from decimal import ROUND_HALF_EVEN, Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from openpyxl import load_workbook

from kilnlog.drying.closing.tally import Rounding, tally_of
from kilnlog.exchange.papers.contents import Contents, LimitsPart, PackPart, ReadingPart
from kilnlog.exchange.papers.contents_tally import TallyTotals
from kilnlog.exchange.papers.customer_workbook import customer_workbook
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import LengthUnit, TallyTime, VolumeUnit
from tests.exchange.papers import samples
from tests.exchange.test_recalculation import recalculated

TOLERANCE = 1e-9  # points of MC and volumes: far below the last digit shown
_FIRST_ROW = 10


def recalculated_copy(contents: Contents, place: Path, owner: str = samples.ROWAN) -> Any:
    path = place / "book.xlsx"
    customer_workbook(contents, path, PaperOptions(short_form=samples.SHORT_FORM), owner=owner)
    return recalculated(path, place)


def by_meter(raw: float, warm: float | None, species: float | None, **more: Any) -> ReadingPart:
    """A reading whose figure follows from what was read, free of the noise of binary fractions."""
    mc_pct = round(raw + (warm or 0) + (species or 0), 9)
    over = max(raw, mc_pct) > 30
    more = {"pack": None, "piece": None, **more}
    return samples.reading(
        None if over else mc_pct,
        reading_pct=raw,
        temperature_correction_pct=warm,
        species_correction_pct=species,
        over=over,
        **more,
    )


def with_readings(readings: list[ReadingPart], **limits: Any) -> Contents:
    contents = samples.charge()
    asked = samples.limits(**limits)
    series = samples.series(readings, asked)
    for pack in (series["whole"], *series["packs"]):
        is_whole = pack is series["whole"]
        count(pack, [one for one in readings if is_whole or one["pack"] == pack["pack"]], asked)
    contents["lots"][0].update({"limits": asked, "final": [series], "tally": None})
    return contents


def count(pack: PackPart, readings: list[ReadingPart], asked: LimitsPart) -> None:
    """Counts of figures to 0.1 %, a half to the even digit: ISO 80000-1, annex B, rule A (from memory)."""
    low, high = asked["low_pct"], asked["high_pct"]
    if low is None and high is None:
        return
    tenth = Decimal("0.1")
    shown = [
        Decimal(str(one["mc_pct"])).quantize(tenth, rounding=ROUND_HALF_EVEN)
        for one in readings
        if one["mc_pct"] is not None
    ]
    below = sum(low is not None and value < Decimal(low) for value in shown)
    above = pack["over"] + sum(high is not None and value > Decimal(high) for value in shown)
    pack["below"], pack["inside"], pack["above"] = below, pack["n"] - below - above, above


def figures_row(sheet: Any, row: int) -> list[Any]:
    return [cell.value for cell in sheet[row][2:11]]


def check_of(book: Any) -> float:
    (found,) = [row[1] for row in book["Summary"].iter_rows(values_only=True) if row[0] == "Check"]
    return float(found)


def test_figures_worked_out_agree_with_those_told_and_with_numpy(tmp_path: Path) -> None:
    """Five hundred readings in nine packs with halves of a tenth at the limits, some over the range."""
    chance = random.Random(20261112)
    readings = [
        by_meter(
            chance.randrange(50, 100) / 10 if chance.random() < 0.97 else 31.0,
            chance.choice([None, 0.35, -0.25, 0.4, 1.15]),
            chance.choice([None, -0.5, 0.05]),
            pack=chance.choice("abcdefgh") if chance.random() < 0.9 else None,
            piece=str(number),
        )
        for number in range(500)
    ]
    book = recalculated_copy(with_readings(readings), tmp_path)
    sheet = book["Readings"]
    told, worked_out, apart = (figures_row(sheet, row) for row in (5, 6, 7))
    assert worked_out == [pytest.approx(value, abs=TOLERANCE) for value in told]
    assert all(abs(value) <= TOLERANCE for value in apart)
    known = np.array([reading["mc_pct"] for reading in readings if reading["mc_pct"] is not None])
    assert worked_out[:2] == [500, 500 - len(known)]
    assert 0 < len(known) < 500
    assert worked_out[5:] == [
        pytest.approx(value, abs=TOLERANCE)
        for value in (known.mean(), known.std(ddof=1), known.min(), known.max())
    ]
    sides = [(row[8], row[11]) for row in sheet.iter_rows(min_row=_FIRST_ROW, max_row=509, values_only=True)]
    assert all(told == worked for told, worked in sides)
    assert {told for told, _ in sides} == {"inside", "below", "above"}
    halves = [one for one in readings if one["mc_pct"] in (8.05, 5.95)]
    assert len(halves) > 3
    for first in range(512, 512 + 3 * 9, 3):
        told, worked_out = figures_row(sheet, first), figures_row(sheet, first + 1)
        assert told[0] > 10
        assert worked_out == [pytest.approx(value, abs=TOLERANCE) for value in told]
    assert sheet["K3"].value <= TOLERANCE
    assert check_of(book) <= TOLERANCE
    summary = [
        row for row in book["Summary"].iter_rows(values_only=True) if row[0] and "worked out" in row[0]
    ]
    assert [list(row[1:10]) for row in summary] == [figures_row(sheet, 6)]


@pytest.mark.parametrize(("low", "high"), [(6, None), (None, 8), (None, None)])
@pytest.mark.parametrize("values", [(7.0,), (31.0,), (5.9, 8.1)])
def test_few_readings_and_limits_on_one_side(
    tmp_path: Path, low: float | None, high: float | None, values: tuple[float, ...]
) -> None:
    readings = [by_meter(value, None, None) for value in values]
    book = recalculated_copy(with_readings(readings, low=low, high=high), tmp_path)
    sheet = book["Readings"]
    # A formula's empty text comes back as such or as an empty cell.
    assert [value or None for value in figures_row(sheet, 6)] == [
        value or None for value in figures_row(sheet, 5)
    ]
    assert check_of(book) <= TOLERANCE


def test_pieces_dried_in_the_oven(tmp_path: Path) -> None:
    """MC = 100 x (wet / oven-dry - 1), weights in any unit that was typed; 1 oz = 28.349523125 g exactly."""
    asked = samples.limits()
    weights = [
        ("102.4 g", "95.0 g", 1.0),
        ("3.85 oz", "3.55 oz", 28.349523125),
        ("0.25 lb", "0.23 lb", 453.59237),
    ]
    readings = []
    for number, (wet, dry, _) in enumerate(weights):
        mc_pct = 100 * (float(wet.split()[0]) / float(dry.split()[0]) - 1)
        readings.append(
            samples.reading(mc_pct, None, str(number), reading_pct=None, wet_weight=wet, oven_dry_weight=dry)
        )
    contents = samples.charge()
    contents["lots"][0].update(
        {"final": [samples.series(readings, asked, "oven-dry"), samples.series(
            [samples.reading(7.25, None, "1", reading_pct=None)], asked, "sample boards"
        )], "tally": None}
    )  # fmt: skip
    book = recalculated_copy(contents, tmp_path)
    rows = list(book["Readings oven-dry"].iter_rows(min_row=10, max_row=12, values_only=True))
    for row, (wet, dry, grams) in zip(rows, weights, strict=True):
        assert row[3:5] == pytest.approx(
            [float(wet.split()[0]) * grams, float(dry.split()[0]) * grams], rel=1e-12
        )
    assert [row[7] for row in rows] == pytest.approx(
        [reading["mc_pct"] for reading in readings], abs=TOLERANCE
    )
    assert check_of(book) <= TOLERANCE
    assert book["Readings sample boards"]["F10"].value == 7.25


def test_formulas_are_live_and_a_figure_that_does_not_fit_is_seen(tmp_path: Path) -> None:
    readings = [by_meter(7.0 + number / 10, 0.4, None, piece=str(number)) for number in range(5)]
    path = tmp_path / "book.xlsx"
    customer_workbook(with_readings(readings), path, PaperOptions(), owner=samples.ROWAN)
    book = load_workbook(path)
    book["Readings"]["D10"].value = 9.0  # was 7.0
    book["Readings"]["E3"].value = 7.55  # a narrower limit
    book.save(path)
    again = recalculated(path, tmp_path)
    sheet = again["Readings"]
    assert sheet["J10"].value == pytest.approx(9.4)
    assert sheet["H6"].value == pytest.approx(np.mean([9.4, 7.5, 7.6, 7.7, 7.8]))
    assert [row[11] for row in sheet.iter_rows(min_row=10, max_row=14, values_only=True)] == [
        *("above", "inside"),
        *["above"] * 3,
    ]
    assert check_of(again) == pytest.approx(4)  # counts: five inside as recorded, one now


def lines() -> list[TallyLine]:
    def line(when: TallyTime, **more: Any) -> TallyLine:
        return TallyLine(charge="c", lot="l", when=when, **more)

    sizes = [
        ("4/4", 6.5, LengthUnit.INCHES, 8.0, LengthUnit.FEET, 7),
        ("8/4", 9.0, LengthUnit.INCHES, 10.0, LengthUnit.FEET, 5),  # 7.5 square feet: an exact half
        ("3/4 in", 15.2, LengthUnit.CENTIMETRES, 2.4, LengthUnit.METRES, 12),
        ("27 mm", 150.0, LengthUnit.MILLIMETRES, 2400.0, LengthUnit.MILLIMETRES, 31),
        ("5/4", 0.5, LengthUnit.FEET, 96.0, LengthUnit.INCHES, 4),
    ]
    return [
        *(
            line(
                when,
                thickness=thick,
                width=wide,
                width_unit=in_,
                length=long,
                length_unit=of,
                pieces=pieces - less,
            )
            for when, less in ((TallyTime.GREEN, 0), (TallyTime.NET, 1))
            for thick, wide, in_, long, of, pieces in sizes
        ),
        line(TallyTime.NET, volume=12.5, volume_unit=VolumeUnit.BOARD_FEET),
    ]


@pytest.mark.parametrize("rounding", list(Rounding))
@pytest.mark.parametrize("unit", list(VolumeUnit))
def test_the_tally_and_what_it_costs(tmp_path: Path, rounding: Rounding, unit: VolumeUnit) -> None:
    figures = tally_of(lines(), unit, rounding)
    contents = with_readings([by_meter(7.0, None, None)])
    contents["lots"][0]["tally"] = totals_of(figures)
    path = tmp_path / "book.xlsx"
    customer_workbook(contents, path, PaperOptions(), owner=samples.ROWAN)
    book = load_workbook(path)
    for row in range(10, 16):  # the net lines
        book["Tally"][f"M{row}"].value = 4.25
    book.save(path)
    again = recalculated(path, tmp_path)
    sheet = again["Tally"]
    told = [line.volume for line in figures.lines]
    assert [sheet[f"K{row}"].value for row in range(5, 16)] == [
        pytest.approx(one, abs=TOLERANCE) for one in told
    ]
    assert sheet["K17"].value == pytest.approx(figures.green, abs=TOLERANCE)
    assert sheet["K18"].value == pytest.approx(figures.net, abs=TOLERANCE)
    assert sheet["K19"].value == pytest.approx(figures.shrinkage_pct, abs=TOLERANCE)
    assert sheet["N18"].value == pytest.approx(4.25 * (figures.net or 0), abs=TOLERANCE)
    assert not sheet["N17"].value
    assert sheet["L3"].value <= TOLERANCE
    assert check_of(again) <= TOLERANCE


def totals_of(figures: Any) -> TallyTotals:
    return {
        "lines": [
            {
                "when": one.line.when.value,
                "grade": one.line.grade,
                "thickness": one.line.thickness,
                "width": one.line.width,
                "width_unit": one.line.width_unit and one.line.width_unit.value,
                "length": one.line.length,
                "length_unit": one.line.length_unit and one.line.length_unit.value,
                "pieces": one.line.pieces,
                "volume": one.volume,
                "volume_unit": one.unit.value,
                "is_typed": one.is_typed,
                "note": None,
            }
            for one in figures.lines
        ],
        "rounding": figures.rounding.value,
        "unit": figures.unit.value,
        "green": figures.green,
        "net": figures.net,
        "shrinkage_pct": figures.shrinkage_pct,
        "expected_shrinkage_pct": None,
        "expected_from": None,
        "remarks": [],
        "withheld": [],
    }


def test_texts_stay_texts_and_sheets_with_odd_names_find_each_other(tmp_path: Path) -> None:
    readings = [by_meter(7.0, None, None, pack="=1+1", piece="@SUM(A1)", note="-1+2")]
    contents = with_readings(readings)
    label = "it's =[1] & №"
    contents["lots"][0]["lot"] = label
    contents["lots"].append({**samples.lot("Z", samples.ROWAN), "limits": samples.NO_LIMITS})
    book = recalculated_copy(contents, tmp_path)
    summary, sheet = book[book.sheetnames[0]], book[book.sheetnames[1]]
    assert sheet["A10"].value == "=1+1"
    assert sheet["B10"].value == "@SUM(A1)"
    assert [row[1] for row in summary.iter_rows(values_only=True) if row[0] == "Check"] == [0]


def test_figures_told_and_worked_out_show_alike_at_a_half_of_the_last_digit(tmp_path: Path) -> None:
    """Means of 7.2625 and 7.275, whose binary fractions depend on the order of adding."""
    for values in ((7.1, 7.3, 7.2, 7.4, 7.1, 7.5, 7.2, 7.3), (7.2, 7.3, 7.2, 7.4)):
        readings = [by_meter(value, 0.35, -0.35) for value in values]
        contents = with_readings(readings)
        told = contents["lots"][0]["final"][0]["whole"]
        exact = sum(map(Decimal, map(str, values))) / len(values)
        told["mean_pct"] = float(exact) - 9e-16 * 4  # as a sum of binary fractions may come out
        book = recalculated_copy(contents, tmp_path)
        sheet = book["Readings"]
        assert sheet["H5"].value == sheet["H6"].value == float(exact)
        assert sheet["H5"].number_format == sheet["H6"].number_format == "0.000"
        assert check_of(book) == 0
