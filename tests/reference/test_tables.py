"""The published tables: complete, with source and standing, and what is looked up in them."""

import csv
from pathlib import Path

import pytest

import kilnlog
from kilnlog.records.measures import thickness_mm
from kilnlog.reference.resources import resource
from kilnlog.reference.rows import RateKind, Standing
from kilnlog.reference.tables import load

TABLES = sorted(path.name for path in resource("tables").glob("*.csv"))


def test_the_tables_are_where_the_program_looks() -> None:
    assert TABLES == [
        "constant_weight_rules.csv",
        "defect_causes.csv",
        "equalize_condition.csv",
        "heat_thresholds.csv",
        "mc_limits.csv",
        "meter_equation.csv",
        "practice_limits.csv",
        "safe_drying_rates.csv",
        "sampling_plan.csv",
        "schedule_depressions.csv",
        "schedule_index.csv",
        "schedule_temperatures.csv",
        "shrinkage.csv",
        "species.csv",
        "trade_names.csv",
    ]


@pytest.mark.parametrize("table", TABLES)
def test_every_row_says_where_it_is_from_and_how_firmly_it_stands(table: str) -> None:
    rows = list(csv.DictReader(resource("tables", table).read_text(encoding="utf-8").splitlines()))
    assert rows
    for row in rows:
        assert None not in row  # a comma too many
        assert row["source"].strip()
        assert Standing(row["standing"])
    names = [tuple(list(row.values())[:4]) for row in rows]
    assert len(set(names)) == len(names)


def test_read_once() -> None:
    assert load() is load()


def test_nothing_assumed_passes_for_published() -> None:
    for limit in load().practice.values():
        unsourced = limit.source.startswith("common practice, no source")
        assert unsourced == (limit.standing is Standing.ASSUMED), limit.limit


# University of Kentucky Extension FOR-128 (2017), p. 91 Table 9: the most points of MC per day.
@pytest.mark.parametrize(
    ("species", "thickness", "most"),
    [
        ("white ash", "4/4", 10.4),
        ("sugar maple", "4/4", 6.5),
        ("Sugar Maple", "8/4", 2.6),
        ("Quercus alba", "4/4", 2.5),
        ("white oak", "2 in", 1.0),
        ("black walnut", '1"', 8.2),
        ("northern red oak", "25 mm", 3.8),
        ("yellow-poplar", "8/4", 5.5),
        ("Yellow Poplar", "8/4", 5.5),
    ],
)
def test_safe_rate(species: str, thickness: str, most: float) -> None:
    rate = load().safe_rate(species, thickness)
    assert rate is not None
    assert (rate.max_pct_per_day, rate.standing) == (most, Standing.VERIFIED)


@pytest.mark.parametrize(
    ("species", "thickness"),
    [
        ("southern lowland red oak", "8/4"),  # the table prints a dash
        ("white oak", "6/4"),  # not in the table; nothing is interpolated
        ("white oak", "thick"),
        ("white oak", ""),
        ("teak", "4/4"),
        ("", "4/4"),
        ("ash", "4/4"),  # white, green, black: one rate does not hold for all
        ("soft maple", "4/4"),  # published for the sapwood alone
        ("oak", "4/4"),
    ],
)
def test_no_safe_rate_where_none_is_published(species: str, thickness: str) -> None:
    assert load().safe_rate(species, thickness) is None


# By the same table; that the trade calls sugar maple hard maple and black tupelo blackgum is from memory.
@pytest.mark.parametrize(
    ("typed", "thickness", "most", "said", "standing"),
    [
        ("hard maple", "4/4", 6.5, "hard maple read as sugar maple", Standing.MEMORY),
        ("Tulip-Poplar", "4/4", 13.8, "tulip poplar read as yellow-poplar", Standing.MEMORY),
        ("Black Gum", "8/4", 4.3, "black gum read as black tupelo", Standing.MEMORY),
        ("red oak", "4/4", 3.8, "southern lowland red oak needs less", Standing.VERIFIED),
        ("red oak", "8/4", 1.5, "southern lowland red oak needs less", Standing.VERIFIED),
    ],
)
def test_a_rate_found_by_a_name_of_the_trade_says_how_it_was_read(
    typed: str, thickness: str, most: float, said: str, standing: Standing
) -> None:
    rate = load().safe_rate(typed, thickness)
    assert rate is not None
    assert rate.max_pct_per_day == most
    assert said in rate.source
    assert rate.source.startswith("Univ. of Kentucky Extension FOR-128")
    assert rate.standing is standing


def test_no_red_oak_has_a_higher_ceiling_than_the_one_read_for_all_of_them() -> None:
    reference = load()
    for thickness in ("4/4", "8/4"):
        read = reference.safe_rate("red oak", thickness)
        ceilings = [reference.safe_rate(row.species, thickness) for row in reference.safe_rates]
        red_oaks = [rate for rate in ceilings if rate is not None and "red oak" in rate.species]
        assert read is not None
        assert red_oaks
        for rate in red_oaks:
            assert rate.max_pct_per_day is not None
            assert read.max_pct_per_day is not None
            assert rate.max_pct_per_day <= read.max_pct_per_day


def test_every_name_of_the_trade_leads_to_a_published_rate() -> None:
    reference = load()
    for trade in reference.trade_names.values():
        assert reference.safe_rate(trade.trade_name, "4/4") is not None


def test_every_eight_quarter_ceiling_is_the_four_quarter_one_by_two_and_a_half() -> None:
    """Worked out from the published table (2.48 to 2.54): a mistyped cell would stand out."""
    ceilings = {
        (rate.species, rate.thickness): rate.max_pct_per_day
        for rate in load().safe_rates
        if rate.kind is RateKind.CEILING and rate.max_pct_per_day is not None
    }
    pairs = [
        (four, ceilings[species, "8/4"])
        for (species, thickness), four in ceilings.items()
        if thickness == "4/4" and (species, "8/4") in ceilings
    ]
    assert len(pairs) == 13
    for four, eight in pairs:
        assert four is not None
        assert eight is not None
        assert 2.47 < four / eight < 2.55


def test_every_published_thickness_reads() -> None:
    assert {round(thickness_mm(rate.thickness), 1) for rate in load().safe_rates} == {25.4, 50.8}


def test_species_have_specific_gravities_that_wood_can_have() -> None:
    """Wood substance is about 1.5 on its own volume, from memory; no wood listed here comes near half."""
    reference = load()
    assert len(reference.species) == 91
    for row in reference.species_rows:
        assert row.wood_type in ("hardwood", "softwood")
        assert row.basic_specific_gravity is None or 0.25 < row.basic_specific_gravity < 0.75


def test_limits_are_read_by_name() -> None:
    reference = load()
    assert reference.limit("fewest_boards") == 4
    assert reference.limit("coarse_division_mc_pct") == 0.5
    assert (reference.limit("oven_low_c"), reference.limit("oven_high_c")) == (101, 105)
    with pytest.raises(KeyError):
        reference.limit("no such limit")


def test_no_limit_lies_idle() -> None:
    """A threshold nothing reads would pass for one that is watched."""
    program = "".join(
        path.read_text(encoding="utf-8") for path in Path(kilnlog.__file__).parent.rglob("*.py")
    )
    assert [name for name in load().practice if f'"{name}"' not in program] == []
