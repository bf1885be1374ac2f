"""An hour's entry is the mean of its readings, worked out here one by one."""

from __future__ import annotations

import math
from statistics import fmean

import numpy as np
import pytest

from kilnlog.drying.air.hourly import hourly
from kilnlog.drying.air.lines import AirLine


def line(at_s, dry, wet, rh, emc):
    columns = (np.array(values, dtype=np.float64) for values in (at_s, dry, wet, rh, emc))
    return AirLine("fan side", *columns, (), True)


def test_every_hour_is_the_mean_of_its_own_readings():
    random = np.random.default_rng(5)
    at_s = np.cumsum(random.integers(60, 5400, 200)).astype(np.float64)
    dry, wet, rh, emc = (random.uniform(5, 60, 200) for _ in range(4))
    wet[random.random(200) < 0.3] = np.nan
    dry[random.random(200) < 0.1] = np.nan
    hours = hourly(line(at_s, dry, wet, rh, emc))
    wanted = {}
    for at, one, two, three, four in zip(at_s, dry, wet, rh, emc, strict=True):
        if not math.isnan(one):
            wanted.setdefault(int(at // 3600), []).append((at, one, two, three, four))
    assert len(hours) == len(wanted)
    for told, rows in zip(hours, wanted.values(), strict=True):
        columns = [[value for value in column if not math.isnan(value)] for column in zip(*rows, strict=True)]
        means = [fmean(column) if column else None for column in columns]
        assert [told.at_s, told.dry_c, told.wet_c, told.rh_pct, told.emc_pct] == [
            None if mean is None else pytest.approx(mean) for mean in means
        ]


def test_nothing_read_is_no_hour():
    assert hourly(line([0, 60], [math.nan] * 2, [1, 2], [3, 4], [5, 6])) == ()
    assert hourly(line([], [], [], [], [])) == ()
