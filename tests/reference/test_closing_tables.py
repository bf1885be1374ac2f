"""The tables that close a charge: heat, shrinkage, defects."""

import pytest

from kilnlog.records.words import DefectKind, StressFound, TemperatureUnit
from kilnlog.reference.defects import defect_lore
from kilnlog.reference.heat import heat_thresholds
from kilnlog.reference.rows import Standing
from kilnlog.reference.shrinkage import shrinkage_of
from kilnlog.reference.tables import load


def test_the_first_threshold_is_that_of_ispm_15() -> None:
    """ISPM 15, treatment HT: 56 C for 30 continuous minutes throughout the wood."""
    first = heat_thresholds()[0]
    assert (first.at_least, first.temperature_unit, first.for_minutes) == (56, TemperatureUnit.CELSIUS, 30)
    assert first.source.startswith("ISPM 15")
    assert first.standing is Standing.VERIFIED


def test_every_threshold_has_a_time_and_can_be_met_in_a_kiln() -> None:
    for row in heat_thresholds():
        assert row.for_minutes >= 30
        assert 50 < row.at_least < 200


# Wood Handbook Table 4-3: radial, tangential, volumetric, green to oven-dry.
@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("northern red oak", (4.0, 8.6, 13.7)),
        ("Quercus rubra", (4.0, 8.6, 13.7)),
        ("hard maple", (4.8, 9.9, 14.7)),  # by its trade name: sugar maple
        ("Black Cherry", (3.7, 7.1, 11.5)),
        ("yellow birch", (7.3, 9.5, 16.8)),
        ("Douglas-fir (coast)", (4.8, 7.6, 12.4)),
    ],
)
def test_shrinkage_as_printed(typed: str, printed: tuple[float, float, float]) -> None:
    found = shrinkage_of(typed, load())
    assert found is not None
    assert (found.radial_pct, found.tangential_pct, found.volumetric_pct) == printed
    assert found.standing is Standing.VERIFIED


def test_a_recalled_figure_says_so_and_none_is_made_up() -> None:
    recalled = shrinkage_of("red maple", load())
    assert recalled is not None
    assert recalled.standing is Standing.MEMORY
    assert shrinkage_of("white spruce", load()) is None
    assert shrinkage_of("a wood nobody knows", load()) is None


def test_across_the_grain_wood_shrinks_more_along_the_rings_than_across_them() -> None:
    """And the volume by about the sum of both: Wood Handbook, chapter 4."""
    found = {shrinkage_of(name, load()) for name in load().species} - {None}
    assert len(found) == 90
    for row in found:
        assert row is not None
        assert row.radial_pct < row.tangential_pct
        sum_pct = row.radial_pct + row.tangential_pct
        assert row.volumetric_pct == pytest.approx(sum_pct, rel=0.25), row.species


def test_every_defect_and_stress_has_its_cause_and_what_to_do() -> None:
    told = defect_lore()
    stress = {StressFound.CASEHARDENED, StressFound.REVERSE}
    assert set(told) == {str(kind) for kind in set(DefectKind) - {DefectKind.OTHER} | stress}
    for lore in told.values():
        for said in (lore.cause, lore.next_time):
            assert said.text.endswith(".")
            assert ("memory" in said.source) == (said.standing is Standing.MEMORY)
