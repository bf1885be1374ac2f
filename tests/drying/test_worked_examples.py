"""Worked examples as printed in books, bulletins and public discussions; each names its source in its id.

``worked_examples.csv`` holds what was printed, whether the print is a right rounding (``print_agrees``), and
the exact value: ``exact`` to the last bit, ``note`` as many digits as were worked out beside the print,
``printed digits`` where the print is all there is. Rows whose standing is ``memory`` were recalled, not read.
"""

import csv
import json
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest

from kilnlog.drying.moisture_content import (
    days_at_constant_rate,
    mass_loss_pct,
    mc_from_wet_basis_pct,
    mean_mc_pct,
    moisture_content_pct,
    oven_dry_weight_g,
    rate_pct_per_day,
    water_to_lose_g,
    weight_at_mc_g,
    wet_basis_pct,
    whole_mc_pct,
)
from kilnlog.records.measures import board_feet_of, scale_correction_factor
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import GRAMS_PER_UNIT, WeightUnit

TABLE = Path(__file__).with_name("worked_examples.csv")
ROWS = {row["id"]: row for row in csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())}
Inputs = dict[str, Any]


def grams(inputs: Inputs, name: str) -> float:
    """The weight as an operator would type it, in grams; lb/ft3 has no unit of weight and stays as it is."""
    text, unit = repr(inputs[name]), inputs["unit"]
    return float(text) if unit == "lb/ft3" else weight_from_text(f"{text} {unit}", WeightUnit.G).g


def in_unit(weight_g: float, unit: str) -> float:
    return weight_g if unit == "lb/ft3" else weight_g / float(GRAMS_PER_UNIT[WeightUnit(unit)])


def section_mc(i: Inputs) -> float:
    return moisture_content_pct(grams(i, "wet"), grams(i, "od"))


def weight_at_wet_basis(i: Inputs) -> float:
    dry_g = oven_dry_weight_g(grams(i, "weight"), mc_from_wet_basis_pct(i["mc_wet_start"]))
    return in_unit(weight_at_mc_g(dry_g, mc_from_wet_basis_pct(i["mc_wet_target"])), i["unit"])


def wet_basis_after_mass_loss(i: Inputs) -> float:
    dry_share = oven_dry_weight_g(100, mc_from_wet_basis_pct(i["mc_wet_start"]))
    return wet_basis_pct(moisture_content_pct(100 - i["mass_loss_pct_of_start"], dry_share))


def current_mc_from_initial(i: Inputs) -> float:
    return moisture_content_pct(grams(i, "current"), oven_dry_weight_g(grams(i, "initial"), i["mc_initial"]))


def whole_from_shell_and_core(i: Inputs) -> float:
    shell = i["od_fraction_shell"]
    return whole_mc_pct([(shell, i["mc_shell"]), (1 - shell, i["mc_core"])])


def water_weight(i: Inputs) -> float:
    dry_g = oven_dry_weight_g(grams(i, "weight"), i["mc"])
    return in_unit(water_to_lose_g(dry_g, i["mc"], 0), i["unit"])


FORMULAS: dict[str, Callable[[Inputs], float]] = {
    "section_mc": section_mc,
    "wet_basis_mc": lambda i: wet_basis_pct(section_mc(i)),
    "weight_at_wet_basis_mc": weight_at_wet_basis,
    "wet_basis_mc_after_mass_loss": wet_basis_after_mass_loss,
    "weight_at_mc": lambda i: in_unit(weight_at_mc_g(grams(i, "od"), i["mc_target"]), i["unit"]),
    "average_section_mc": lambda i: mean_mc_pct(i["mc_sections"]),
    "whole_section_mc_from_shell_core": whole_from_shell_and_core,
    "calculated_od_weight": lambda i: in_unit(oven_dry_weight_g(grams(i, "green"), i["mc_avg"]), i["unit"]),
    "current_mc": lambda i: moisture_content_pct(grams(i, "current"), grams(i, "od")),
    "current_mc_from_initial_mc": current_mc_from_initial,
    "weight_lost": lambda i: in_unit(grams(i, "initial") - grams(i, "current"), "oz"),
    "water_to_remove": lambda i: in_unit(
        water_to_lose_g(grams(i, "od"), i["mc_start"], i["mc_target"]), i["unit"]
    ),
    "mass_loss_pct_of_green": lambda i: mass_loss_pct(i["mc_start"], i["mc_target"]),
    "od_weight_from_weight_at_mc": lambda i: in_unit(
        oven_dry_weight_g(grams(i, "weight"), i["mc"]), i["unit"]
    ),
    "water_weight": water_weight,
    "days_at_constant_rate": lambda i: days_at_constant_rate(
        i["mc_start"], i["mc_end"], i["rate_pct_per_day"]
    ),
    "mean_drying_rate": lambda i: rate_pct_per_day(i["mc_start"], i["mc_end"], 24 * i["days"]),
    "board_feet": lambda i: board_feet_of(i["thickness_in"], i["width_in"], i["length_ft"]),
    "weight_per_mbf": lambda i: 1000 * i["weight_lb"] / i["board_feet"],
    "scale_correction_factor": lambda i: scale_correction_factor(i["actual"], i["nominal"]),
}


def named(rows: list[dict[str, str]]) -> list[Any]:
    """The rows as cases that carry their source."""
    return [
        pytest.param(row, id=f"{row['id']}: {row['source']}, {row['place']} ({row['standing']})")
        for row in rows
    ]


def half_the_last_digit(text: str) -> float:
    exponent = Decimal(text).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(Decimal(1).scaleb(exponent) / 2)


def computed(row: dict[str, str]) -> float:
    return FORMULAS[row["quantity"]](json.loads(row["inputs_json"]))


@pytest.mark.parametrize("row", named(list(ROWS.values())))
def test_agrees_with_the_exact_value(row: dict[str, str]) -> None:
    exact = float(row["exact_value"])
    if row["exact_value_is"] == "exact":
        assert computed(row) == pytest.approx(exact, rel=1e-12)
    else:
        # A hair more than half the digit: floats cannot hold 0.0005 either.
        assert computed(row) == pytest.approx(exact, abs=half_the_last_digit(row["exact_value"]) + 1e-12)


@pytest.mark.parametrize("row", named([row for row in ROWS.values() if row["print_agrees"] == "yes"]))
def test_rounds_to_what_was_printed(row: dict[str, str]) -> None:
    printed = Decimal(row["printed"])
    rounded = Decimal(repr(round(computed(row), 9))).quantize(printed, rounding=ROUND_HALF_UP)
    assert rounded == printed


@pytest.mark.parametrize("row", named([row for row in ROWS.values() if row["print_agrees"] == "no"]))
def test_prints_that_are_no_right_rounding_differ_indeed(row: dict[str, str]) -> None:
    """So that no row is excused from its print without need."""
    printed = Decimal(row["printed"])
    rounded = Decimal(repr(round(computed(row), 9))).quantize(printed, rounding=ROUND_HALF_UP)
    assert rounded != printed


def test_wet03_the_wet_basis_figure_is_not_the_lumber_mc() -> None:
    """The page offers 11.76 as the lumber's MC; that is the wet basis, and lumber has 13.33."""
    inputs = json.loads(ROWS["WET03"]["inputs_json"])
    assert section_mc(inputs) == pytest.approx(13.33, abs=0.005)
    assert wet_basis_pct(section_mc(inputs)) == pytest.approx(11.76, abs=0.005)


def test_avg01_printed_mean_comes_from_sections_at_full_precision() -> None:
    """Rounding the sections first gives 62.3, pooling the weights 62.4; the print has 62.2."""
    sections = [section_mc(json.loads(ROWS[name]["inputs_json"])) for name in ("SEC10", "SEC11")]
    assert round(mean_mc_pct(sections), 1) == float(ROWS["AVG01"]["printed"]) == 62.2
    assert mean_mc_pct(sections) == pytest.approx(62.224, abs=0.0005)
    rounded_first = Decimal(repr(mean_mc_pct([round(mc, 1) for mc in sections])))
    assert rounded_first.quantize(Decimal("0.1"), ROUND_HALF_UP) == Decimal("62.3")
    assert moisture_content_pct(98.55 + 86.92, 59.2 + 55.02) == pytest.approx(62.4, abs=0.05)


def test_cur01_with_the_unrounded_oven_dry_weight() -> None:
    """50.545 with the printed 2.75, 50.56 with the chain kept at full precision."""
    green = json.loads(ROWS["ODW01"]["inputs_json"])
    assert moisture_content_pct(4.14, oven_dry_weight_g(green["green"], green["mc_avg"])) == pytest.approx(
        50.56, abs=0.005
    )


def test_cur02_implied_oven_dry_weight() -> None:
    inputs = json.loads(ROWS["CUR02"]["inputs_json"])
    assert oven_dry_weight_g(inputs["initial"], inputs["mc_initial"]) == pytest.approx(2220.6, abs=0.05)


def test_bdf06_board_feet_carry_full_precision() -> None:
    """The print went through 6.9 bf and lost 0.6 %; with the unrounded volume it is 14400."""
    sizes = json.loads(ROWS["BDF05"]["inputs_json"])
    volume_bf = board_feet_of(sizes["thickness_in"], sizes["width_in"], sizes["length_ft"])
    assert 1000 * 100 / volume_bf == pytest.approx(14400, rel=1e-9)
