"""Expected shrinkage: the handbook's figures, scaled by its own rule."""

import pytest

from kilnlog.drying.closing.shrinkage import expected_shrinkage, shrinkage_at_pct
from kilnlog.reference.rows import Standing
from kilnlog.reference.tables import load


# Wood Handbook Table 4-3 gives northern red oak 13.7 % from green to oven-dry; equation 4-9 by hand,
# S0 (30 - M) / 30.
@pytest.mark.parametrize(
    ("mc_pct", "by_hand"), [(0, 13.7), (6, 10.96), (7.5, 10.275), (15, 6.85), (30, 0), (45, 0)]
)
def test_it_follows_the_rule_of_the_handbook(mc_pct: float, by_hand: float) -> None:
    found = expected_shrinkage("northern red oak", mc_pct, load())
    assert found is not None
    assert found.volumetric_pct == pytest.approx(by_hand, abs=1e-12)
    assert found.standing is Standing.VERIFIED
    assert "Table 4-3" in found.source
    assert "equation 4-9" in found.source


def test_a_recalled_species_stands_from_memory() -> None:
    found = expected_shrinkage("red maple", 8, load())
    assert found is not None
    assert found.standing is Standing.MEMORY
    assert "from memory" in found.source


def test_nothing_is_expected_of_what_is_not_known() -> None:
    assert expected_shrinkage(None, 8, load()) is None
    assert expected_shrinkage("northern red oak", None, load()) is None
    assert expected_shrinkage("white spruce", 8, load()) is None
    assert expected_shrinkage("oak", 8, load()) is None  # several species go by it


def test_the_rule_holds_for_any_direction() -> None:
    assert shrinkage_at_pct(8.6, 10) == pytest.approx(8.6 * 2 / 3)
