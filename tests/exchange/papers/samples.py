"""Contents invented for the tests of papers: Quillbeck Mill dries cherry for one, walnut for another."""

from __future__ import annotations

import math
from copy import deepcopy
from datetime import UTC, datetime, timedelta
from statistics import mean, stdev
from typing import Any
from zoneinfo import ZoneInfo

from kilnlog.exchange.papers.contents import (
    BoardPart,
    Contents,
    LimitsPart,
    LotPart,
    PackPart,
    ReadingPart,
    SeriesPart,
)

ZONE = "America/New_York"
ROWAN, FINCH = "Rowan Joinery", "Ødegaard & Finch"
SHORT_FORM = "7QD4-M2XH-9KTB"
#: Over the night when clocks go back, so that the days differ in length.
LOADED = datetime(2026, 10, 16, 9, 0, tzinfo=ZoneInfo(ZONE))
UNLOADED = datetime(2026, 11, 12, 15, 30, tzinfo=ZoneInfo(ZONE))

PACK_1 = (6.2, 6.8, 6.8, 6.9, 7.0, 7.0, 7.0, 7.2, 7.3, 7.5, 7.6, 7.7)
PACK_2 = (6.6, 6.9, 7.0, 7.1, 7.2, 7.2, 7.2, 7.4, 7.4, 7.5, 7.5, 8.3)


def limits(low: float | None = 6, high: float | None = 8, **more: Any) -> LimitsPart:
    part: LimitsPart = {
        "target_mc_pct": 7,
        "low_pct": low,
        "high_pct": high,
        "average_low_pct": 7,
        "average_high_pct": 7,
        "share_pct": None,
        "named": "6 to 8 %, average 7",
        "standing": None,
        "remark": None,
    }
    return {**part, **more}  # type: ignore[typeddict-item]  # the caller names fields there are


NO_LIMITS = limits(None, None, average_low_pct=None, average_high_pct=None, target_mc_pct=None, named="")


def reading(
    mc_pct: float | None, pack: str | None = None, piece: str | None = None, **more: Any
) -> ReadingPart:
    part: ReadingPart = {
        "pack": pack,
        "piece": piece,
        "read_at": (UNLOADED + timedelta(minutes=30)).isoformat(),
        "reading_pct": mc_pct,
        "wood_temperature": 61.0,
        "temperature_unit": "F",
        "temperature_correction_pct": 0.4,
        "species_correction_pct": None,
        "mc_pct": mc_pct,
        "over": False,
        "extrapolated": False,
        "wet_weight": None,
        "oven_dry_weight": None,
        "note": None,
    }
    return {**part, **more}  # type: ignore[typeddict-item]  # the caller names fields there are


def figures(readings: list[ReadingPart], asked: LimitsPart, pack: str | None = None) -> PackPart:
    """As somebody with a pocket calculator would work them out."""
    known = [one["mc_pct"] for one in readings if one["mc_pct"] is not None]
    low, high = asked["low_pct"], asked["high_pct"]
    over = sum(one["over"] for one in readings)
    has = low is not None or high is not None
    below = sum(low is not None and round(value, 1) < low for value in known)
    above = sum(high is not None and round(value, 1) > high for value in known) + over
    return {
        "pack": pack,
        "n": len(readings),
        "over": over,
        "inside": len(readings) - below - above if has else None,
        "below": below if has else None,
        "above": above if has else None,
        "mean_pct": mean(known) if known else None,
        "sd_pct": stdev(known) if len(known) > 1 else None,
        "lowest_pct": min(known, default=None),
        "highest_pct": max(known, default=None),
    }


def series(
    readings: list[ReadingPart], asked: LimitsPart, kind: str = "pin meter", **more: Any
) -> SeriesPart:
    packs = list(dict.fromkeys(one["pack"] for one in readings))
    part: SeriesPart = {
        "kind": kind,
        "how": f"read by {kind} in the drying shed",
        "instrument": "M2",
        "readings": readings,
        "whole": figures(readings, asked),
        "packs": []
        if packs == [None]
        else [figures([one for one in readings if one["pack"] == pack], asked, pack) for pack in packs],
        "intervals": [],
        "remarks": [],
        "withheld": [],
    }
    return {**part, **more}  # type: ignore[typeddict-item]  # the caller names fields there are


def two_packs(asked: LimitsPart) -> SeriesPart:
    readings = [reading(value, "1", str(number)) for number, value in enumerate(PACK_1, 1)]
    readings += [reading(value, "2", str(number)) for number, value in enumerate(PACK_2, 13)]
    return series(
        readings,
        asked,
        intervals=[
            {
                "kind": "normal",
                "low_pct": 6.1,
                "high_pct": 8.2,
                "share_pct": 90,
                "confidence_pct": 95,
                "factor": 2.31,
            }
        ],
    )


def lot(label: str, owner: str | None, **more: Any) -> LotPart:
    """A lot with nothing found at the end."""
    part: LotPart = {
        "lot": label,
        "owner": owner,
        "species": "black cherry",
        "thickness": "4/4",
        "volume": 380.0,
        "volume_unit": "bf",
        "out_at": None,
        "limits": limits(),
        "final": [],
        "pairs": [],
        "asked_for": None,
        "treatments": [],
        "stress": [],
        "stress_remarks": [],
        "defects": [],
        "tally": None,
        "answers": [],
        "storage": None,
    }
    return {**part, **more}  # type: ignore[typeddict-item]  # the caller names fields there are


def board(label: str, of: str, start: float, end: float, days: int = 27) -> BoardPart:
    """One that dries as water leaves: quickly at first."""
    rate = 3.2 / days
    points = []
    for day in range(days + 1):
        value = end + (start - end) * (math.exp(-rate * day) - math.exp(-3.2)) / (1 - math.exp(-3.2))
        points.append(((LOADED + timedelta(days=day)).isoformat(), value))
    return {
        "board": label,
        "lot": of,
        "state": "in use",
        "start_mc_pct": start,
        "mc_pct": end,
        "mc_uncertainty_pct": 0.3,
        "start_weight": "1842 g",
        "oven_dry_weight_g": 1411.2,
        "weight_at_target_g": 1510.0,
        "points": points,
    }


def cherry() -> LotPart:
    """An ordinary lot, everything looked at but the stress."""
    asked = limits()
    return lot(
        "A",
        ROWAN,
        limits=asked,
        final=[two_packs(asked)],
        asked_for={
            "pieces": 32,
            "accepted_outside": 5,
            "of_lot_of": 210,
            "named": "ISO 2859-1, general level II, AQL 6.5",
            "standing": "memory",
        },
        defects=[
            defect("end checks", "slight", 4, "under 2 in"),
            defect("sticker stain", None, 1, None),
        ],
        tally={
            "lines": [
                {
                    "when": "green",
                    "grade": None,
                    "thickness": "4/4",
                    "width": None,
                    "width_unit": None,
                    "length": None,
                    "length_unit": None,
                    "pieces": None,
                    "volume": 380.0,
                    "volume_unit": "bf",
                    "is_typed": True,
                    "note": None,
                },
                {
                    "when": "net",
                    "grade": "1 common",
                    "thickness": "4/4",
                    "width": 6.0,
                    "width_unit": "in",
                    "length": 8.0,
                    "length_unit": "ft",
                    "pieces": 88,
                    "volume": 354.0,
                    "volume_unit": "bf",
                    "is_typed": False,
                    "note": None,
                },
            ],
            "rounding": "exact volume",
            "unit": "bf",
            "green": 380.0,
            "net": 354.0,
            "shrinkage_pct": 6.8,
            "expected_shrinkage_pct": 8.8,
            "expected_from": "Wood Handbook table 4-3",
            "remarks": [],
        },
        answers=[{"step": "stress", "answer": "left out", "note": "no oven free"}],
        storage="Indoors near 38 % relative humidity it stays near 7 %. In an open shed it takes up water.",
    )


def defect(kind: str, severity: str | None, pieces: int | None, note: str | None) -> Any:
    return {
        "kind": kind,
        "severity": severity,
        "pieces": pieces,
        "volume": None,
        "volume_unit": None,
        "share_pct": None,
        "note": note,
        "cause": "ends dried faster than the middle",
        "next_time": "coat the ends sooner",
        "cause_source": "Dry Kiln Operator's Manual, chapter 8",
    }


def stress(kind: str, **more: Any) -> Any:
    part = {
        "kind": kind,
        "piece": None,
        "found": None,
        "value": None,
        "core_value": None,
        "difference_pct": None,
        "unit": None,
        "limit": None,
        "passed": None,
        "tested_at": UNLOADED.isoformat(),
        "note": None,
    }
    return {**part, **more}


def walnut() -> LotPart:
    """Another owner's lot, with three series, stress and pieces over the meter's range."""
    asked = limits(7, 9, average_low_pct=7.5, average_high_pct=8.5, named="EN 14298, 8 %", share_pct=93.5)
    pins = [reading(7.4 + 0.1 * (number % 12), "W", f"w{number}") for number in range(18)]
    pins += [reading(None, "W", "w18", reading_pct=34.0, over=True), reading(9.6, "W", "w19")]
    oven = [
        reading(7.8, None, "w0", reading_pct=None, wood_temperature=None, temperature_unit=None,
                temperature_correction_pct=None, wet_weight="102.4 g", oven_dry_weight="95.0 g"),
        reading(8.1, None, "w5", reading_pct=None, wood_temperature=None, temperature_unit=None,
                temperature_correction_pct=None, wet_weight="98.1 g", oven_dry_weight="90.7 g"),
    ]  # fmt: skip
    boards = [reading(7.9, None, "5"), reading(8.2, None, "6")]
    return lot(
        "B",
        FINCH,
        species="black walnut",
        thickness="8/4",
        volume=1.25,
        volume_unit="m3",
        limits=asked,
        final=[
            series(pins, asked),
            series(
                oven, asked, "oven-dry", how="cut from the middle, dried to constant weight", instrument=None
            ),
            series(boards, asked, "sample boards", how="last weighing", instrument=None),
        ],
        pairs=[{"piece": "w0", "meter_pct": 7.4, "oven_pct": 7.8, "difference_pct": -0.4}],
        stress=[
            stress("prong", piece="w2", found="free", value=1.0, unit="mm", limit=1.5, passed=True),
            stress("prong", piece="w7", found="casehardened", value=2.5, unit="mm", limit=1.5, passed=False),
            stress(
                "shell and core",
                piece="w2",
                value=7.4,
                core_value=8.3,
                difference_pct=0.9,
                unit="%",
                limit=1.0,
                passed=True,
            ),
        ],
        answers=[{"step": "defects", "answer": "none found", "note": None}],
        storage="Keep it under roof near 42 % relative humidity.",
    )


def charge() -> Contents:
    """Two owners in one kiln, sealed."""
    hours = int((UNLOADED - LOADED).total_seconds() // 3600)
    begin = LOADED.astimezone(UTC)  # hours are counted in UTC: the clock repeats one
    at = [(begin + timedelta(hours=hour)).astimezone(LOADED.tzinfo).isoformat() for hour in range(hours)]
    air = [
        (moment, 100.0 + 0.08 * hour + 2 * math.sin(hour / 9), 94.0 + 0.03 * hour, 70.0 - 0.07 * hour)
        for hour, moment in enumerate(at)
        if not 200 <= hour < 230
    ]
    return {
        "form": 2,
        "ledger": {"logbook": "5b0c", "number": 412, "head": "9f" * 32},
        "seal": {
            "sealed_at": "2026-11-13T09:12:00-05:00",
            "sealed_by": "M. Quill",
            "version": 1,
            "reopened_because": None,
            "closing_reason": "all lots unloaded",
            "program": "kilnlog 0.1.0",
            "lot": None,
            "replaces": None,
        },
        "mill": {"name": "Quillbeck Mill", "place": "drying shed, Quillbeck"},
        "charge": {
            "charge": "2026-12",
            "kiln": "Orchard kiln",
            "heat": "dehumidifier",
            "air_control": "dehumidifier",
            "loaded_at": LOADED.isoformat(),
            "unloaded_at": UNLOADED.isoformat(),
            "days": 27.3,
            "day_count": 28,
            "target_mc_pct": 7,
            "control_rule": "wettest half",
            "schedule": "T8-B4",
            "zone": ZONE,
            "notes": f"{FINCH} wants the stickers back",
        },
        "lots": [cherry(), walnut()],
        "boards": [
            board("1", "A", 29.2, 6.7),
            board("2", "A", 31.5, 6.9),
            board("3", "A", 28.3, 7.0),
            board("4", "A", 30.9, 7.4),
            board("5", "B", 41.0, 7.9),
            board("6", "B", 44.5, 8.2),
        ],
        "control": board("c", "A", 40.0, 8.0)["points"],
        "heat": {
            "at_least": 133.0,
            "temperature_unit": "F",
            "for_minutes": 30.0,
            "limits_from": "ISPM 15, 56 °C for 30 min",
            "agency": None,
            "agreement": None,
            "probes": ["probe 1 in the core", "probe 2 in the core"],
            "air_only": False,
            "sampling_minutes": 1.0,
            "longest": {
                "begins": "2026-11-11T10:12:00-05:00",
                "ends": "2026-11-11T10:50:00-05:00",
                "minutes": 38.0,
            },
            "widest_minutes": None,
            "reached": True,
            "runs": [
                {"begins": "2026-11-11T10:12:00-05:00", "ends": "2026-11-11T10:50:00-05:00", "minutes": 38.0}
            ],
            "remarks": [],
            "breaks": [],
        },
        "instruments": [
            {
                "instrument": "M2",
                "kind": "meter",
                "division": "0.1 %",
                "checked_at": "2026-10-02T08:00:00-04:00",
                "check_result": "on its block",
            },
            {
                "instrument": "bench",
                "kind": "scale",
                "division": "1 g",
                "checked_at": "2026-10-14T08:00:00-04:00",
                "check_result": None,
            },
        ],
        "steps": [
            {"step": 1, "taken_at": at[0], "set_to": "110 °F, wet bulb 106 °F", "reason": None},
            {
                "step": 2,
                "taken_at": at[140],
                "set_to": "110 °F, wet bulb 102 °F",
                "reason": "control at 30 %",
            },
        ],
        "air": {
            "unit": "F",
            "hours": air,
            "emc": [(moment, 14.0 - 0.011 * hour) for hour, moment in enumerate(at) if not 200 <= hour < 230],
            "holes": [(at[199], at[230])],
        },
        "events": [{"at": at[300], "what": "power cut", "note": f"told {FINCH}"}],
        "findings": [
            {
                "severity": "look",
                "subject": "board 5",
                "board": "5",
                "lot": "B",
                "what": "Board 5 lost more in a day than its safe rate.",
                "why": "It lost 3.9 % in 24 h; 3.5 % is safe.",
                "do": "Lift the wet bulb by 2 °F.",
                "source": "safe rates, Dry Kiln Operator's Manual",
                "since": at[72],
                "answer": "vents closed a little",
            }
        ],
        "decisions": [{"at": at[75], "what": "weight insisted on", "note": f"{FINCH} asked for it"}],
        "answers": [{"step": "heat", "answer": "left out", "note": f"{FINCH} needs none"}],
        "status": {"charge": "2026-12", "note": FINCH},
    }


def without(contents: Contents, owner: str) -> Contents:
    """The same charge, had that owner's lumber never been in it."""
    kept = deepcopy(contents)
    gone = {part["lot"] for part in kept["lots"] if part["owner"] == owner}
    kept["lots"] = [part for part in kept["lots"] if part["lot"] not in gone]
    kept["boards"] = [part for part in kept["boards"] if part["lot"] not in gone]
    kept["control"] = []
    return kept


def empty() -> Contents:
    """An open charge of which almost nothing is known."""
    contents = charge()
    return {
        **contents,
        "ledger": None,
        "seal": None,
        "mill": {},
        "charge": {
            **contents["charge"],
            "kiln": None,
            "heat": None,
            "air_control": None,
            "loaded_at": None,
            "unloaded_at": None,
            "days": None,
            "day_count": None,
            "target_mc_pct": None,
            "schedule": None,
            "notes": None,
        },
        "lots": [
            lot("A", None, species=None, thickness=None, volume=None, volume_unit=None, limits=NO_LIMITS)
        ],
        "boards": [],
        "control": [],
        "heat": None,
        "instruments": [],
        "steps": [],
        "air": None,
        "events": [],
        "findings": [],
        "decisions": [],
        "answers": [],
        "status": {},
    }
