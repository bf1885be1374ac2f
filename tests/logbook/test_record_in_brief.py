"""What the logbook writes into seals of probes, as the record tells it in brief."""

from __future__ import annotations

import numpy as np

from kilnlog.drying.closing.heat_interval import HeatInterval, heat_interval
from kilnlog.drying.closing.probes import Probe, ProbeSeries
from kilnlog.exchange.papers import record_words
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.logbook import heat_words
from kilnlog.records.words import ProbePlace, TemperatureUnit
from tests.exchange.papers import samples

CELSIUS = TemperatureUnit.CELSIUS


def found_of(**shown: np.ndarray) -> HeatInterval:
    """An invented trace: every probe read every two minutes, asked for 56 C for half an hour."""
    probes = [
        Probe(name, ProbePlace.CORE, (ProbeSeries(np.arange(celsius.size) * 120.0, celsius, CELSIUS),))
        for name, celsius in shown.items()
    ]
    return heat_interval(probes, 56, CELSIUS, 30)


def brief(found: HeatInterval) -> str:
    contents = samples.charge()
    assert contents["heat"] is not None
    contents["heat"] |= {
        "sampling_minutes": found.sampling_minutes,
        "widest_minutes": found.widest_minutes,
        "remarks": heat_words.reading_remarks(found),
        "breaks": heat_words.break_remarks(found, samples.ZONE),
    }
    return record_words.heat(contents, samples.cherry(), PaperOptions()).replace("\u00a0", " ")


def test_dips_and_holes_are_left_to_the_report_and_the_usual_step_is_told_once() -> None:
    """One probe dips before the time that counts, one is silent after it."""
    dipped, silent = np.full(60, 57.0), np.full(60, 57.0)
    dipped[5], silent[50:58] = 50.0, np.nan
    found = found_of(K1=dipped, K2=silent)
    assert [text.split(":")[0] for text in heat_words.break_remarks(found, samples.ZONE)] == [
        "K1 below the threshold",
        "K2 without a reading",
    ]
    said = brief(found)
    assert "; read every 2 min throughout that time." in said
    assert said.endswith(
        "Dips and holes before or after it: see the charge report. This is the operator's own record."
    )
    assert "threshold" not in said
    assert "without a reading" not in said


def test_a_probe_named_like_a_dip_and_read_once_keeps_its_remark() -> None:
    """What a sentence is about is known by where it stands, whatever the probe is called."""
    name = "below the threshold: 1"
    once = np.full(60, np.nan)
    once[30] = 57.0
    said = brief(found_of(**{"K1": np.full(60, 57.0), name: once}))
    assert "Below the threshold: 1 was read once: that is no time at all." in said


def test_of_many_dips_the_rest_is_counted() -> None:
    shown = np.full(120, 57.0)
    shown[2:40:4] = 50.0
    told = heat_words.break_remarks(found_of(K1=shown), samples.ZONE)
    assert len(told) == heat_words.MOST_BREAKS + 1
    assert told[-1] == "K1 below the threshold 5 more times."
