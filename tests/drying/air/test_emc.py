"""EMC against the Wood Handbook's printed table, cell by cell."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.drying.air.emc import emc_pct, rh_for_emc_pct
from kilnlog.drying.air.errors import ImpossibleAir

# Wood Handbook FPL-GTR-190 (2010), Table 4-2: the 344 cells that were read in print.
PRINTED = (Path(__file__).parent / "emc_table.csv").read_text(encoding="utf-8")
TABLE = list(csv.DictReader(PRINTED.splitlines()))


def test_every_printed_cell_within_a_tenth():
    celsius = np.array([(float(cell["temp_f"]) - 32) * 5 / 9 for cell in TABLE])
    rh = np.array([float(cell["rh_pct"]) for cell in TABLE])
    printed = np.array([float(cell["emc_pct"]) for cell in TABLE])
    apart = np.abs(emc_pct(celsius, rh) - printed)
    assert len(apart) == 344
    assert apart.max() < 0.07


def test_a_humidistat_at_45_keeps_a_warm_kiln_near_8():
    """45 % RH at 38 C: EMC near 8 %. Common practice, no source."""
    assert emc_pct(38.0, 45.0) == pytest.approx(8, abs=0.5)


@given(st.floats(-5, 110), st.floats(0, 99))
def test_humidity_and_emc_are_inverse(celsius, rh):
    assert rh_for_emc_pct(celsius, emc_pct(celsius, rh)) == pytest.approx(rh, abs=1e-6)


def test_arrays_are_taken_too():
    wanted = emc_pct(np.array([20.0, 45.0]), np.array([65.0, 80.0]))
    assert rh_for_emc_pct(np.array([20.0, 45.0]), wanted) == pytest.approx([65.0, 80.0], abs=1e-6)


@pytest.mark.parametrize("wanted", [-1.0, 60.0])
def test_an_emc_no_air_gives_is_refused(wanted):
    with pytest.raises(ImpossibleAir) as refused:
        rh_for_emc_pct(45.0, wanted)
    assert refused.value.values["why"] == "emc"


@pytest.mark.parametrize("dry_c", [-50.0, 140.0, 315.6])
def test_a_temperature_the_table_does_not_reach_is_refused(dry_c):
    with pytest.raises(ImpossibleAir) as refused:
        rh_for_emc_pct(dry_c, 5.0)
    assert refused.value.values == {"why": "emc-temperature", "temperature_c": dry_c}
