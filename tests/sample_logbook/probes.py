"""The heat of a charge for crates: two probes in the wood, logged, and one in the air read by hand."""

from __future__ import annotations

import hashlib
import json
import math
import random
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.sample_logbook.air import digest_of
from tests.sample_logbook.handling import write_down
from tests.sample_logbook.mill import ZONE
from tests.sample_logbook.tables import Tables, uid_for

CHARGE = "2026-11"
BEGUN, ENDED = datetime(2026, 10, 27, 13, 2), datetime(2026, 10, 27, 16, 50)
EVERY = timedelta(minutes=2)
#: Probe, start [C], what it nears [C], how fast [min].
PROBES = (("core 1", 47.5, 61.8, 34.0), ("core 2", 45.0, 60.4, 41.0))
#: The board of core 2 stands by the door, which is opened: it cools by so much, and is warm again after this.
DOOR, DOOR_C, DOOR_MINUTES = datetime(2026, 10, 27, 14, 32), 4.4, 9.0
#: The plug of core 1 came loose.
SILENT_FROM, SILENT_UNTIL = datetime(2026, 10, 27, 15, 52), datetime(2026, 10, 27, 16, 4)
BY_HAND = (("13:05", "62"), ("14:00", "63"), ("15:00", "62"), ("16:00", "63"), ("16:50", "63"))


def write_heat(tables: Tables) -> None:
    """Write it all."""
    for name, start_c, nears_c, minutes in PROBES:
        _batch(tables, name, list(_logged(name, start_c, nears_c, minutes)))
    for clock, shown in BY_HAND:
        tables.add(
            "probes",
            charge=CHARGE,
            read_at=f"{BEGUN:%Y-%m-%d} {clock}",
            probe="hand thermometer, door side",
            placed_in="air",
            temperature=shown,
            temperature_unit="C",
        )
    tables.add(
        "heat_choices",
        charge=CHARGE,
        at_least="56",
        temperature_unit="C",
        for_minutes="30",
        limits_from="the order, for crates",
        observed_at="2026-10-30 14:10",
    )


def _logged(name: str, start_c: float, nears_c: float, minutes: float) -> list[tuple[datetime, float]]:
    chance = random.Random(f"kilnlog sample heat {name}")
    readings = []
    at = BEGUN
    while at <= ENDED:
        since_min = (at - BEGUN) / timedelta(minutes=1)
        shown_c = nears_c - (nears_c - start_c) * math.exp(-since_min / minutes) + chance.gauss(0, 0.06)
        if name == "core 2" and at >= DOOR:
            shown_c -= DOOR_C * math.exp(-((at - DOOR) / timedelta(minutes=1)) / DOOR_MINUTES)
        if name != "core 1" or not SILENT_FROM <= at < SILENT_UNTIL:
            readings.append((at, round(shown_c, 1)))
        at += EVERY
    return readings


def _batch(tables: Tables, name: str, readings: list[tuple[datetime, float]]) -> None:
    """One probe's file. All of it lies within one day of UTC."""
    uid = uid_for(CHARGE, "probe", name)
    rows = [[int(at.replace(tzinfo=ZoneInfo(ZONE)).timestamp()), shown_c, None] for at, shown_c in readings]
    day = f"{datetime.fromtimestamp(int(rows[0][0] or 0), UTC):%Y-%m-%d}"
    text = json.dumps(rows, separators=(",", ":"))
    told = "".join(f"{write_down(at)},{shown_c}\n" for at, shown_c in readings)
    tables.add(
        "logger_batches",
        charge=CHARGE,
        sensor=name,
        file_name=f"crates-{name.replace(' ', '-')}.csv",
        file_sha256=hashlib.sha256(told.encode()).hexdigest(),
        clock="local",
        temperature_unit="C",
        rows=str(len(readings)),
        first_at=write_down(readings[0][0]),
        last_at=write_down(readings[-1][0]),
        digest=digest_of({day: text}),
        placed_in="core",
        uid=uid,
        version="first",
    )
    tables.add("logger_readings", batch=uid, day=day, readings=text)
