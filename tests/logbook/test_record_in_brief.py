"""The record in brief knows the sentences that the logbook writes into seals."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from kilnlog.drying.closing.figures import IntervalKind, NoInterval, SeriesRemark, Withheld
from kilnlog.drying.closing.heat_interval import heat_interval
from kilnlog.drying.closing.probes import Probe, ProbeSeries
from kilnlog.exchange.papers import record_words
from kilnlog.exchange.papers.contents import HeatPart
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.logbook import final_words, heat_words
from kilnlog.records.words import ProbePlace, TemperatureUnit
from tests.exchange.papers import samples


@pytest.mark.parametrize("needs", [None, 46])
def test_every_reason_of_an_interval_is_known_as_one(needs: int | None) -> None:
    for why, kinds in itertools.product(Withheld, ([*IntervalKind], *([kind] for kind in IntervalKind))):
        for text in final_words.withheld([NoInterval(kind, why, needs) for kind in kinds]):
            assert record_words.WITHHELD.match(text)


def test_no_other_remark_of_a_series_is_taken_for_one() -> None:
    for remark in SeriesRemark:
        assert not record_words.WITHHELD.match(final_words.series_remark(remark))


def heat_of(part: HeatPart) -> str:
    contents = {**samples.charge(), "heat": part}
    return record_words.heat(contents, samples.cherry(), PaperOptions()).replace("\u00a0", " ")


def test_dips_and_holes_and_the_usual_step_are_known_by_their_sentences() -> None:
    """An invented trace of two probes: one dips before the time that counts, one is silent after it."""
    minutes = np.arange(0, 120, 2.0)
    warm = np.full(minutes.size, 57.0)
    dipped, silent = warm.copy(), warm.copy()
    dipped[5], silent[50:58] = 50.0, np.nan
    celsius = TemperatureUnit.CELSIUS
    probes = [
        Probe(name, ProbePlace.CORE, (ProbeSeries(minutes * 60, shown, celsius),))
        for name, shown in (("K1", dipped), ("K2", silent))
    ]
    found = heat_interval(probes, 56, celsius, 30)
    remarks = [*heat_words.widest_words(found), *heat_words.probe_remarks(found, samples.ZONE)]
    assert len(remarks) == 3  # the longest step, a dip, a hole
    part = samples.charge()["heat"]
    assert part is not None
    said = heat_of({**part, "sampling_minutes": found.sampling_minutes, "remarks": remarks})
    assert "; read every 2 min throughout that time." in said
    assert said.endswith(
        "Dips and holes before or after it: see the charge report. This is the operator's own record."
    )
    assert "threshold" not in said
    assert "without a reading" not in said


def test_of_many_dips_the_rest_is_counted_and_known_too() -> None:
    minutes = np.arange(0, 240, 2.0)
    shown = np.full(minutes.size, 57.0)
    shown[2:40:4] = 50.0
    celsius = TemperatureUnit.CELSIUS
    probe = Probe("K1", ProbePlace.CORE, (ProbeSeries(minutes * 60, shown, celsius),))
    remarks = heat_words.probe_remarks(heat_interval([probe], 56, celsius, 30), samples.ZONE)
    assert len(remarks) == heat_words.MOST_BREAKS + 1
    part = samples.charge()["heat"]
    assert part is not None
    assert "K1 below" not in heat_of({**part, "remarks": remarks})
