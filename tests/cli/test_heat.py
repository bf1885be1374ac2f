"""``kilnlog heat``: probes' files read in, asked in the terminal. The traces are invented."""

from __future__ import annotations

import json

import pytest

from kilnlog.logbook.session import new_logbook, open_logbook
from kilnlog.logbook.writing import write
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.words import ProbePlace, TemperatureUnit

ZONE = "Europe/Vienna"
F = TemperatureUnit.FAHRENHEIT


@pytest.fixture
def mill(tmp_path):
    path = tmp_path / "mill.kilnlog"
    book = new_logbook(path)
    write(book, Charge("2026-4", ZONE))
    book.close()
    return path


@pytest.fixture
def read(kilnlog, mill, tmp_path):
    def call(name, text, *words):
        source = tmp_path / f"{name}.csv"
        source.write_text(text, encoding="utf-8")
        done = kilnlog("read-logger", source, "--into", mill, "--charge", "2026-4", *words)
        assert done.exit_code == 0, done.output
        return done.output

    return call


@pytest.fixture
def asked(kilnlog, mill):
    def call(at_least="56C", duration="30min", *words):
        return kilnlog("heat", mill, "2026-4", "--at-least", at_least, "--for", duration, *words)

    return call


def figures(done):
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


def trace(*shown, step=5, unit="C", hour=9):
    rows = [
        f"2026-05-20 {hour + step * n // 60:02}:{step * n % 60:02}:00,{text}" for n, text in enumerate(shown)
    ]
    return "\n".join([f"Time,Temperature (°{unit})", *rows, ""])


WARM = ("50", "55.9", "56.0", *["57.1", "57.3"] * 3, "56.0", "55.0")


def test_the_figures_have_their_names(read, asked):
    read("K1", trace(*WARM), "--probe", "core", "--sensor", "K1")
    told = figures(asked("56C", "30min", "--json"))
    assert list(told)[:4] == ["reached", "longest", "runs", "sampling_minutes"]
    assert told["reached"] is True
    assert told["longest"] == {
        "from": "2026-05-20T09:10:00+02:00",
        "to": "2026-05-20T09:45:00+02:00",
        "minutes": 35,
    }
    assert told["runs"] == [told["longest"]]
    assert told["sampling_minutes"] == 5
    assert told["air_only"] is False
    (probe,) = told["probes"]
    assert (probe["probe"], probe["placed_in"], probe["readings"]) == ("K1", "core", 11)
    assert figures(asked("132.8F", "30min", "--json"))["longest"] == told["longest"]
    assert figures(asked("56C", "0.6h", "--json"))["reached"] is False
    assert figures(asked("57 °C", "30 min", "--json"))["longest"]["minutes"] == 25


def test_every_probe_in_the_wood_counts_and_one_in_the_air_does_not(read, asked):
    read("K1", trace(*["60.0", "60.1"] * 8), "--probe", "core", "--sensor", "K1")
    read("A1", trace(*["80.0", "80.1"] * 8), "--probe", "air", "--sensor", "A1")
    assert figures(asked("56C", "1h", "--json"))["longest"]["minutes"] == 75
    cold = trace("140", "140.2", "131", *["140", "140.2"] * 6, unit="F")
    read("K2", cold, "--probe", "core", "--sensor", "K2")
    told = figures(asked("56C", "1h", "--json"))
    assert [run["minutes"] for run in told["runs"]] == [5, 55]
    assert told["reached"] is False
    text = asked("56C", "1h").output
    assert "Not reached. Longest unbroken time of every probe in the wood: 55 min" in text
    assert "K2 below the threshold: one reading, 2026-05-20 09:10." in text
    assert "A1, in the air, not counted" in text


def test_a_probe_in_the_air_alone_says_nothing_of_the_wood(read, asked):
    read("A1", trace(*["80.0", "80.1"] * 8), "--probe", "air", "--sensor", "A1")
    told = figures(asked("56C", "30min", "--json"))
    assert (told["reached"], told["air_only"]) == (False, True)
    text = asked().output
    assert "Nothing is said of the wood." in text
    assert "Reached." not in text


def test_readings_by_hand_count_as_well(read, asked, mill):
    read("K1", trace(*["60.0", "60.1"] * 8), "--probe", "core", "--sensor", "K1")
    book = open_logbook(mill)
    charge = book.charge_numbered("2026-4").entity
    at = Moment.from_text("2026-05-20 09:32", ZONE)
    write(book, ProbeReading(charge, "K1", ProbePlace.CORE, 130.0, F), at=at)
    book.close()
    told = figures(asked("56C", "1h", "--json"))
    assert [run["minutes"] for run in told["runs"]] == [30, 40]


def test_the_kiln_air_is_no_probe_and_a_probe_is_no_kiln_air(read, asked, kilnlog, mill):
    read("kiln", trace(*["60.0", "60.1"] * 8))
    told = figures(asked("56C", "30min", "--json"))
    assert (told["reached"], told["longest"], told["runs"], told["probes"]) == (False, None, [], [])
    assert "No probe was read in this charge." in asked().output
    before = json.loads(kilnlog("status", mill, "2026-4", "--json").output)["air"]
    assert before is not None
    read("K1", trace(*["91.0", "91.1"] * 8, hour=12), "--probe", "core")
    assert json.loads(kilnlog("status", mill, "2026-4", "--json").output)["air"] == before


def test_a_file_with_a_column_for_each_probe(read, kilnlog, mill, tmp_path, asked):
    rows = [f"2026-05-20 09:{5 * n:02}:00,{60 + n / 10},{57 + n / 10},{50 + n}" for n in range(11)]
    text = "\n".join(["Time,Probe 1,Probe 2,Probe 3", *rows, ""])
    source = tmp_path / "all.csv"
    source.write_text(text, encoding="utf-8")
    open_ = ("read-logger", source, "--into", mill, "--charge", "2026-4", "--probe", "core", "--unit", "C")
    refused = kilnlog(*open_)
    assert refused.exit_code == 2
    assert "--column" in refused.output
    for number in (1, 2, 3):
        told = read(
            "all", text, "--probe", "core", "--unit", "C", "--column", number + 1, "--sensor", f"K{number}"
        )
        assert f"in the core of the wood, in °C from column {number + 1}" in told
    assert figures(asked("56C", "20min", "--json"))["longest"]["minutes"] == 20  # K3 from 56 on
    again = read("all", text, "--sensor", "K2", "--json")  # remembered: place, column and unit
    assert (json.loads(again)["kept"], json.loads(again)["already_there"]) == (0, 11)
    assert "from column 3" in read("all", text, "--sensor", "K2")
    assert kilnlog(*open_, "--column", 9).exit_code == 2


def test_how_a_probe_is_read_is_remembered_beside_a_logger_of_the_air(read, mill):
    air, wood = trace(*["60.0", "60.1"] * 4), trace(*["57.0", "57.1"] * 4)
    assert "dry bulb in °C" in read("kiln", air)
    assert "probe in the core of the wood" in read("K1", wood, "--probe", "core")
    assert "sensor probe: 8 rows, 0 readings new" in read("K1", wood, "--probe", "core")
    assert "sensor logger: 8 rows, 0 readings new" in read("kiln", air, "--probe", "none")
    assert "probe in the core" in read("K1", wood, "--sensor", "probe")


def test_what_cannot_be_read_is_said(asked):
    for at_least, duration, said in (
        ("56", "30min", "“56” is no temperature with its unit."),
        ("hotC", "30min", "The number in “hotC” cannot be read."),
        ("56C", "30", "“30” is no time with its unit."),
        ("56C", "0min", "“0min” is no time at all."),
        ("56C", "1.2.3 min", "The number in “1.2.3 min” cannot be read."),
    ):
        done = asked(at_least, duration)
        assert done.exit_code == 2
        assert said in done.output


def test_it_names_who_asks_for_as_much_and_makes_no_claim(read, asked):
    read("K1", trace(*WARM), "--probe", "core", "--sensor", "K1")
    told = asked("56C", "30min").output
    assert "ISPM 15" in told
    assert "operator’s own record" in told
    assert "burn" in told
    assert "From memory" not in told
    assert "From memory: check it" in asked("140F", "60min").output
    assert "As much is asked" not in asked("56C", "29min").output
    for word in ("certif", "complian", "conform", "stamp"):
        assert word not in told.lower()
