"""``kilnlog air``: two readings in, the air in every kiln's terms out."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from kilnlog.cli import main


def run(*words):
    return CliRunner().invoke(main, ["air", *words])


def told(*words):
    done = run(*words, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


def test_every_figure_has_its_name():
    assert list(told("--dry", "160F", "--wet", "125F")) == [
        "dry_bulb_c",
        "wet_bulb_c",
        "depression_c",
        "rh_pct",
        "emc_pct",
        "humidity_ratio",
        "pressure_pa",
    ]


def test_a_depression_converts_as_a_difference():
    air = told("--dry", "160F", "--depression", "35F")
    assert air["depression_c"] == pytest.approx(35 * 5 / 9)
    assert air["rh_pct"] == pytest.approx(told("--dry", "160F", "--wet", "125F")["rh_pct"], abs=1e-9)


def test_all_four_ways_lead_to_the_same_air():
    air = told("--dry", "45C", "--wet", "40C", "--altitude", "300m")
    by_rh = told("--dry", "45C", "--rh", f"{air['rh_pct']:.6f}", "--altitude", "300m")
    by_emc = told("--dry", "45C", "--emc", f"{air['emc_pct']:.6f}", "--altitude", "300m")
    for other in (by_rh, by_emc):
        assert other == pytest.approx(air, abs=1e-4)


def test_altitude_in_feet():
    metres = told("--dry", "45C", "--rh", "50", "--altitude", "304.8m")
    assert told("--dry", "45C", "--rh", "50", "--altitude", "1000ft") == pytest.approx(metres)


def test_in_words_both_units_stand_side_by_side():
    done = run("--dry", "110F", "--wet", "106F")
    assert done.exit_code == 0
    assert "110.0 °F, 43.3 °C" in done.output
    assert "4.0 °F, 2.2 °C" in done.output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--dry", "160", "--wet", "125F"), "160F or 71C"),
        (("--dry", "160F", "--wet", "170F"), "swapped"),
        (("--dry", "160F", "--wet", "20F"), "less than no water"),
        (("--dry", "160F", "--rh", "120"), "0 and 100"),
        (("--dry", "160F", "--rh", "many"), "cannot be read"),
        (("--dry", "120C", "--rh", "90"), "boiling"),
        (("--dry", "160F", "--emc", "60"), "No air of this temperature"),
        (("--dry", "160F", "--rh", "40", "--altitude", "300"), "300m or 1000ft"),
        (("--dry", "160F", "--rh", "40", "--altitude", "90000m"), "No kiln stands"),
        (("--dry", "160F"), "exactly one"),
        # What was typed in Fahrenheit is told in it.
        (("--dry", "160F", "--wet", "170F"), "wet bulb at 170 °F is above the dry bulb at 160 °F"),
        (("--dry", "160F", "--wet", "80C"), "wet bulb at 176 °F is above the dry bulb at 160 °F"),
        (("--dry", "160F", "--wet", "20F"), "With 160 °F dry, a wet bulb of 20 °F"),
        (("--dry", "250F", "--rh", "90"), "At 250 °F no air"),
        (("--dry", "160F", "--depression", "-5F"), "A depression of -5 °F is below zero"),
        (("--dry", "300F", "--emc", "4"), "At 300 °F nobody has published"),
        (("--dry", "160F", "--rh", "40", "--wet", "125F"), "exactly one"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(words, said):
    done = run(*words)
    assert done.exit_code == 2
    assert said in done.output


# The Wood Handbook's table 4-2 goes from 30 to 270 F.
@pytest.mark.parametrize(("dry", "known"), [("300F", False), ("-40F", False), ("30F", True), ("270F", True)])
def test_no_emc_is_told_where_none_was_published(dry, known):
    done = run("--dry", dry, "--rh", "20")
    assert done.exit_code == 0
    assert ("nobody knows the EMC" in done.output) is not known
    assert (told("--dry", dry, "--rh", "20")["emc_pct"] is not None) is known
    assert "−" not in done.output.split("EMC")[1].splitlines()[0]
