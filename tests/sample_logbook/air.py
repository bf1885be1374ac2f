"""The air of the two charges in hand: a logger in the North shed, readings by hand in the Long shed."""

from __future__ import annotations

import hashlib
import json
import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.sample_logbook.mill import ZONE
from tests.sample_logbook.tables import Tables, uid_for

LOGGED, BY_HAND = "2026-14", "2026-15"
ENTERING = "fan side"
EVERY = timedelta(minutes=10)
LOADED = datetime(2026, 11, 3, 7, 30)
STEPPED = datetime(2026, 11, 18, 8, 7)
POWER_CUT = datetime(2026, 11, 19, 19, 10)
LOGGER_BACK = datetime(2026, 11, 20, 9, 20)
WICK_DRIES_FROM = datetime(2026, 11, 23, 14, 50)
LAST = datetime(2026, 11, 25, 7, 0)
SHED_F = 58.0  # before the heat came on, and what the power cut let it fall towards


def write_air(tables: Tables) -> None:
    """Write it all."""
    _set_points(tables)
    readings = list(_logged())
    _batch(tables, readings)
    _by_hand(tables)


def _set_points(tables: Tables) -> None:
    for at, dry, wet in ((LOADED, "110", "106"), (STEPPED, "110", "105")):
        tables.add(
            "set_points",
            charge=LOGGED,
            set_at=_told(at),
            dry_bulb=dry,
            wet_bulb=wet,
            temperature_unit="F",
        )


def _logged() -> Iterator[tuple[datetime, float, float]]:
    """Dry and wet bulb [F] every ten minutes, but for the night of the power cut."""
    chance = random.Random("kilnlog sample air 2026-14")
    dry = wet = SHED_F
    sway_dry = sway_wet = 0.0
    at = LOADED
    while at <= LAST:
        heated = (LOADED <= at < POWER_CUT) or at >= datetime(2026, 11, 20, 6, 20)
        set_wet = 106.0 if at < STEPPED else 105.0
        if at >= WICK_DRIES_FROM:
            set_wet += 1.7 * (at - WICK_DRIES_FROM) / (LAST - WICK_DRIES_FROM)
        aim_dry, aim_wet = (110.0, set_wet) if heated else (SHED_F, SHED_F - 2)
        pace = 0.14 if heated else 0.016
        dry += (aim_dry - dry) * pace
        wet += (aim_wet - wet) * pace * (0.8 if heated else 1.0)
        sway_dry += chance.gauss(0, 0.16) - 0.25 * sway_dry
        sway_wet += chance.gauss(0, 0.09) - 0.25 * sway_wet
        shown_dry = dry + sway_dry
        shown_wet = min(wet + sway_wet, shown_dry - 0.2)
        if not POWER_CUT <= at < LOGGER_BACK:
            yield at, round(shown_dry, 1), round(shown_wet, 1)
        at += EVERY


def _batch(tables: Tables, readings: list[tuple[datetime, float, float]]) -> None:
    uid = uid_for(LOGGED, "logger", ENTERING)
    days: dict[str, list[list[float]]] = {}
    file_text = []
    for at, dry, wet in readings:
        utc = at.replace(tzinfo=ZoneInfo(ZONE)).astimezone(UTC)
        days.setdefault(f"{utc:%Y-%m-%d}", []).append([int(utc.timestamp()), dry, wet])
        file_text.append(f"{_told(at)},{dry},{wet}\n")
    texts = {day: json.dumps(rows, separators=(",", ":")) for day, rows in days.items()}
    tables.add(
        "logger_batches",
        charge=LOGGED,
        sensor=ENTERING,
        file_name="north-shed-november.csv",
        file_sha256=hashlib.sha256("".join(file_text).encode()).hexdigest(),
        clock="local",
        temperature_unit="F",
        second="wet bulb",
        rows=str(len(readings)),
        first_at=_told(readings[0][0]),
        last_at=_told(readings[-1][0]),
        digest=digest_of(texts),
        uid=uid,
        version="first",
    )
    for day, text in texts.items():
        tables.add("logger_readings", batch=uid, day=day, readings=text)


def digest_of(texts: dict[str, str]) -> str:
    """Over the days' texts in order, as the program documents it; worked out here a second time."""
    lines = [f"{day} {hashlib.sha256(text.encode()).hexdigest()}\n" for day, text in sorted(texts.items())]
    return hashlib.sha256("".join(lines).encode()).hexdigest()


def _by_hand(tables: Tables) -> None:
    """The dehumidifier's own display, morning and evening: dry bulb and humidity."""
    chance = random.Random("kilnlog sample air 2026-15")
    for day in range(20, 26):
        for clock in ("06:58", "17:05"):
            at = datetime.fromisoformat(f"2026-11-{day} {clock}")
            if at > LAST:
                continue
            dry, rh_pct = (95, 80) if day < 24 else (100, 70)
            tables.add(
                "air",
                charge=BY_HAND,
                read_at=_told(at),
                dry_bulb=str(dry + chance.choice((-1, 0, 0, 1))),
                rh_pct=str(rh_pct + chance.choice((-2, -1, 0, 1))),
                temperature_unit="F",
            )
    for at, dry, rh in (("2026-11-19 09:40", "95", "80"), ("2026-11-23 07:40", "100", "68")):
        tables.add("set_points", charge=BY_HAND, set_at=at, dry_bulb=dry, rh_pct=rh, temperature_unit="F")


def _told(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M}"
