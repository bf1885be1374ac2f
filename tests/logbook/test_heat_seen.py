"""What the close-out draws of the probes, and what the papers say of their sampling."""

from __future__ import annotations

import numpy as np
import pytest

from kilnlog.drying.closing.probes import Probe, ProbeSeries
from kilnlog.logbook.heat_seen import MOST_DRAWN, choice_of, heat_seen, trace_of
from kilnlog.logbook.paper_heat import heat_part
from kilnlog.logbook.paper_told import told_at
from kilnlog.logbook.session import new_logbook
from kilnlog.logbook.writing import change, write
from kilnlog.records.charge import Charge
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, TemperatureUnit
from kilnlog.reference.tables import load

C, F = TemperatureUnit.CELSIUS, TemperatureUnit.FAHRENHEIT
CORE = ProbePlace.CORE
ZONE = "Europe/Vienna"


def probe(at_s, temperature, unit=C):
    return Probe("K1", CORE, (ProbeSeries(np.array(at_s, float), np.array(temperature, float), unit),))


def test_a_line_is_broken_at_a_hole_and_told_in_the_unit_asked_for():
    trace = trace_of(probe([0, 60, 120, 600, 660], [100, 0, 56, 57, 58]), F)
    assert [len(stroke.at_s) for stroke in trace.strokes] == [3, 2]
    # 0 C = 32 F, 100 C = 212 F.
    assert trace.strokes[0].temperature[:2].tolist() == [212.0, 32.0]


def test_readings_out_of_order_and_missing_ones_are_drawn_in_order():
    trace = trace_of(probe([120, 0, 60, 180], [3, 1, np.nan, 4]), C)
    assert [stroke.temperature.tolist() for stroke in trace.strokes] == [[1.0, 3.0, 4.0]]


def test_thinning_keeps_every_single_dip_and_peak():
    random = np.random.default_rng(4)
    values = np.full(100_000, 60.0)
    dips = np.arange(150, 100_000, 977)
    values[dips] = 60 - random.uniform(1, 9, len(dips))
    (stroke,) = trace_of(probe(np.arange(100_000), values), C).strokes
    assert len(stroke.at_s) <= MOST_DRAWN + 2
    assert stroke.temperature.min() == values.min()
    assert np.all(np.diff(stroke.at_s) > 0)
    assert (stroke.at_s[0], stroke.at_s[-1]) == (0.0, 99_999.0)
    parts = np.array_split(values, MOST_DRAWN // 2)
    drawn = np.split(
        stroke.temperature, np.searchsorted(stroke.at_s, np.cumsum([len(p) for p in parts])[:-1])
    )
    assert [part.min() for part in parts] == [part.min() for part in drawn]


@pytest.fixture
def book(tmp_path):
    made = new_logbook(tmp_path / "mill.kilnlog")
    yield made
    made.close()


def test_what_was_chosen_last_is_asked(book):
    charge = write(book, Charge("2026-4", ZONE)).entries[0].entity
    began = Moment.from_text("2026-05-20 09:00", ZONE)
    for number in range(8):
        write(book, ProbeReading(charge, "K1", CORE, 57.0, C), began.plus_hours(number / 12))
    record = book.file.charge_record(charge)
    assert choice_of(record) is None
    seen = heat_seen(book, record, None, F)
    assert (seen.interval, seen.unit) == (None, F)
    choice = write(book, HeatChoice(charge, 56.0, C, 30.0), began).entries[0]
    change(book, "heat_choice", choice.entity, HeatChoice(charge, 60.0, C, 60.0), began.plus_hours(2))
    record = book.file.charge_record(charge)
    assert choice_of(record).fact.at_least == 60.0


def test_papers_state_the_longest_step_and_what_broke_the_time(book):
    charge = write(book, Charge("2026-4", ZONE)).entries[0].entity
    began = Moment.from_text("2026-05-20 09:00", ZONE)
    # Every minute, then every two minutes at the end of the warm run; a dip, then too short a rest.
    minutes = [*range(30), 30, 32, 34, 36, 37, 38, 39]
    for minute in minutes:
        warm = 55.0 if minute == 36 else 57.0
        write(book, ProbeReading(charge, "K1", CORE, warm, C), began.plus_hours(minute / 60))
    write(book, HeatChoice(charge, 56.0, C, 30.0), began)
    record = book.file.charge_record(charge)
    told = told_at(book, record, load(), began.plus_hours(2))
    part = heat_part(told)
    assert part["reached"]
    assert part["longest"]["minutes"] == pytest.approx(34.0)
    assert part["sampling_minutes"] == 1.0
    assert part["widest_minutes"] == pytest.approx(2.0)
    assert part["remarks"] == []
    assert part["breaks"] == ["K1 below the threshold: one reading, 2026-05-20 09:36."]
