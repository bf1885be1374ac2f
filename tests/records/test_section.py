"""Sections: oven-dry heavier than wet is refused at the door, unless the section is rejected anyway."""

import pytest

from kilnlog.records.errors import SectionsSwapped
from kilnlog.records.section import Section
from tests.builders import weight


def section(wet: str, oven_dry: str | None, rejected_because: str | None = None) -> Section:
    dry = None if oven_dry is None else weight(oven_dry)
    return Section("charge", "board", "a", weight(wet), dry, rejected_because=rejected_because)


def test_oven_dry_heavier_than_wet_asks_whether_they_are_swapped() -> None:
    with pytest.raises(SectionsSwapped) as refused:
        section("59.20", "98.55")
    assert refused.value.values == {"piece": "a", "wet": "59.20", "oven_dry": "98.55"}


def test_dry_wood_in_the_oven_and_rejected_sections_are_kept() -> None:
    assert section("59.20", "59.20").oven_dry_weight == weight("59.20")
    assert section("59.20", None).oven_dry_weight is None
    assert section("59.20", "98.55", "weights mixed up").rejected_because == "weights mixed up"
