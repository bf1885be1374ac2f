"""The invented mill: kilns, instruments, and the schedules it made for itself."""

from __future__ import annotations

from dataclasses import dataclass

ZONE = "America/New_York"


@dataclass(frozen=True)
class Step:
    """One schedule step as written, and how hard it pulls on the simulated wood."""

    from_mc_pct: float | None
    to_mc_pct: float | None
    dry_bulb: float
    pull_pct: float  # never written: the MC the simulated boards move towards
    wet_bulb: float | None = None
    depression: float | None = None
    rh_pct: float | None = None


@dataclass(frozen=True)
class Schedule:
    """A schedule of the mill's own; no handbook's."""

    name: str
    temperature_unit: str
    steps: tuple[Step, ...]

    def dry_bulb_f(self, step: int) -> float:
        """The dry bulb of a step, counted from 1 [F]."""
        written = self.steps[step - 1].dry_bulb
        return written if self.temperature_unit == "F" else written * 9 / 5 + 32


OAK_44 = Schedule(
    "Oak 4/4, ours",
    "F",
    (
        Step(None, 50, 110, 8, wet_bulb=106),
        Step(50, 40, 110, 8, wet_bulb=105),
        Step(40, 35, 112, 8, wet_bulb=103),
        Step(35, 30, 115, 7.5, wet_bulb=101),
        Step(30, 25, 122, 7, wet_bulb=98),
        Step(25, 20, 132, 6, wet_bulb=98),
        Step(20, 15, 142, 5, wet_bulb=100),
        Step(15, None, 160, 3.5, wet_bulb=115),
    ),
)
OAK_84 = Schedule(
    "Oak 8/4, ours, slow",
    "F",
    (
        Step(None, 50, 104, 12, wet_bulb=101),
        Step(50, 40, 106, 11, wet_bulb=102),
        Step(40, 30, 110, 10, wet_bulb=104),
        Step(30, 25, 120, 7.5, wet_bulb=106),
        Step(25, 20, 130, 6, wet_bulb=104),
        Step(20, 15, 142, 5, wet_bulb=104),
        Step(15, None, 158, 3.5, wet_bulb=112),
    ),
)
MAPLE_44 = Schedule(
    "Maple 4/4, Long shed",
    "F",
    (
        Step(None, 60, 95, 25, rh_pct=80),
        Step(60, 40, 100, 8, rh_pct=68),
        Step(40, 30, 105, 7.5, rh_pct=58),
        Step(30, 22, 112, 6, rh_pct=47),
        Step(22, 15, 125, 4.5, rh_pct=35),
        Step(15, None, 140, 3, rh_pct=24),
    ),
)
POPLAR_44 = Schedule(
    "Poplar 4/4, Long shed",
    "F",
    (
        Step(None, 70, 105, 11, rh_pct=72),
        Step(70, 50, 110, 9, rh_pct=62),
        Step(50, 35, 118, 7, rh_pct=50),
        Step(35, 25, 125, 5.5, rh_pct=40),
        Step(25, 15, 135, 4, rh_pct=30),
        Step(15, None, 145, 3, rh_pct=22),
    ),
)
ORCHARD = Schedule(
    "Orchard, vents by hand",
    "F",
    (
        Step(None, 50, 100, 11, depression=5),
        Step(50, 40, 105, 9.5, depression=8),
        Step(40, 30, 110, 8, depression=12),
        Step(30, 22, 120, 6.5, depression=20),
        Step(22, 15, 130, 5, depression=28),
        Step(15, None, 140, 3.5, depression=35),
    ),
)
BEECH_27 = Schedule(
    "Beech 27 mm",
    "C",
    (
        Step(None, 45, 38, 12, depression=2.5),
        Step(45, 35, 42, 10, depression=4),
        Step(35, 28, 45, 8.5, depression=6.5),
        Step(28, 22, 50, 7, depression=11),
        Step(22, 15, 56, 5.5, depression=15),
        Step(15, None, 60, 4, depression=19),
    ),
)
CHERRY_44 = Schedule(
    "Cherry 4/4, North shed",
    "F",
    (
        Step(None, 40, 115, 10, wet_bulb=108),
        Step(40, 35, 118, 9, wet_bulb=107),
        Step(35, 30, 122, 8, wet_bulb=106),
        Step(30, 25, 130, 6.5, wet_bulb=104),
        Step(25, 15, 140, 5, wet_bulb=105),
        Step(15, None, 155, 3.5, wet_bulb=112),
    ),
)
SCHEDULES = (OAK_44, OAK_84, MAPLE_44, POPLAR_44, ORCHARD, BEECH_27, CHERRY_44)

NORTH, LONG, ORCHARD_KILN = "North shed", "Long shed", "Orchard kiln"

KILNS = (
    {
        "kiln": NORTH,
        "heat": "hot water, gas",
        "air_control": "wet bulb",
        "capacity": "1500",
        "capacity_unit": "bf",
        "altitude_m": "240",
        "exhaust_m3_per_h": "300",
        "entering_sensor": "fan side",
        "temperature_unit": "F",
    },
    {
        "kiln": LONG,
        "heat": "dehumidifier, electric",
        "air_control": "dehumidifier",
        "capacity": "2500",
        "capacity_unit": "bf",
        "altitude_m": "240",
        "temperature_unit": "F",
    },
    {
        "kiln": ORCHARD_KILN,
        "heat": "electric",
        "air_control": "vents by hand",
        "capacity": "1.7",
        "capacity_unit": "m3",
        "altitude_m": "255",
        "exhaust_m3_per_h": "180",
    },
)


@dataclass(frozen=True)
class Instrument:
    """An instrument with its checks: when, and what came of each. Papers name the last one before them."""

    instrument: str
    kind: str
    division: str
    unit: str
    checks: tuple[tuple[str, str], ...]


INSTRUMENTS = (
    Instrument(
        "bench scale",
        "scale",
        "1",
        "g",
        (
            ("2024-12-30 10:20", "reads 2000 g at 2000 g"),
            ("2025-09-15 09:30", "reads 2001 g at 2000 g"),
            ("2026-09-14 10:20", "reads 2000 g at 2000 g"),
        ),
    ),
    Instrument(
        "section balance",
        "scale",
        "0.1",
        "g",
        (
            ("2024-12-30 10:35", "reads 100.0 g at 100 g"),
            ("2025-09-15 09:40", "reads 100.1 g at 100 g"),
            ("2026-09-14 10:35", "reads 100.0 g at 100 g"),
        ),
    ),
    Instrument(
        "pound scale",
        "scale",
        "0.01",
        "lb",
        (("2024-12-30 10:50", "right at 5 lb"), ("2025-11-03 15:10", "0.01 lb low at 5 lb")),
    ),
    Instrument(
        "section oven",
        "oven",
        "1",
        "C",
        (
            ("2024-12-30 11:30", "101 to 104 C at the middle shelf"),
            ("2026-03-02 09:00", "102 to 104 C at the middle shelf"),
        ),
    ),
    Instrument(
        "pin meter",
        "meter",
        "0.1",
        "%",
        (
            ("2025-03-10 08:30", "new; 12.0 % on the 12 % test block"),
            ("2026-01-08 14:00", "12.1 % on the 12 % test block"),
            ("2026-10-12 16:10", "12.0 % on the 12 % test block"),
        ),
    ),
    Instrument(
        "pinless meter",
        "meter",
        "0.1",
        "%",
        (
            ("2025-07-01 08:30", "new; against two oven-dried pieces: 0.2 % high"),
            ("2026-10-12 16:25", "against two oven-dried pieces: 0.3 % high"),
        ),
    ),
)
SETTINGS = (
    {
        "setting": "about",
        "value": "An invented mill. Its figures and schedules are made up and are no advice.",
    },
    {"setting": "constant_weight_rule", "value": "0.1 % in 2 h"},
    {"setting": "mill name", "value": "Maren & Tobias, lumber"},
    {"setting": "mill place", "value": "Oddmoor, an invented place"},
)
