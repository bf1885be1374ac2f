"""The charges of the second year that are over, closed or about to be."""

from __future__ import annotations

from dataclasses import replace

from tests.sample_logbook import wood
from tests.sample_logbook.charges_2025 import PLACES, boards
from tests.sample_logbook.mill import (
    CHERRY_44,
    LONG,
    MAPLE_44,
    NORTH,
    OAK_44,
    OAK_84,
    ORCHARD,
    ORCHARD_KILN,
    POPLAR_44,
)
from tests.sample_logbook.plan import BoardPlan, ChargePlan, Happening, LotPlan, Misread, RecutPlan

RED_OAK_WIDE = ChargePlan(
    "2026-01",
    LONG,
    OAK_44,
    "2026-01-05 10:00",
    (LotPlan("A", wood.RED_OAK, "red oak", "4/4", "2060", "own stock"),),
    boards(8),
    every_day_until=18,
    late_days=(9, 24),
    happenings=(
        Happening(14, "08:20", "sensor checked", note="wet bulb against a bottle of ice water: 32.1 F"),
    ),
    closing="eight boards at {low:.1f} to {high:.1f} %",
)
WALNUT = ChargePlan(
    "2026-03",
    ORCHARD_KILN,
    ORCHARD,
    "2026-02-16 10:30",
    (LotPlan("A", wood.WALNUT, "walnut", "4/4", "430", "Vintrey & Daughter"),),
    boards(5),
    method="microwave then oven",
    by_oven_weighings=True,
    spoiled=("4", "B", "scorched: brown at one corner out of the microwave"),
    decisions=((1, "08:10", "single-section", "board 4", "the other one is charred, A looks clean"),),
    closing="handed over",
    notes="Sections started in the microwave; one scorched and is not counted.",
)
MOVED_WALNUT = ChargePlan(
    "2026-05",
    NORTH,
    OAK_84,
    "2026-04-06 09:15",
    (
        LotPlan(
            "A",
            wood.WALNUT,
            "walnut",
            "8/4",
            "410",
            "own stock",
            slowed_by=2.1,
            limits=("7", "9", "the mill's own rule"),
            thickness_m=0.056,
        ),
    ),
    tuple(replace(board, coating="12") for board in boards(5)),
    target_mc_pct=8,
    every_day_until=14,
    moves=((ORCHARD_KILN, 0), (NORTH, 18)),
    recuts=(RecutPlan("1", 38, coating="8", section_g=190),),
    closing="shop stock",
    notes="Begun in the Orchard kiln, finished in the North shed for the heat.",
)
HARD_MAPLE = ChargePlan(
    "2026-06",
    LONG,
    MAPLE_44,
    "2026-05-11 08:45",
    (LotPlan("A", wood.HARD_MAPLE, "hard maple", "4/4", "2240", "Oddmoor Joinery"),),
    boards(6, wood_part="sap"),
    happenings=(Happening(5, "08:00", "water collected", value="188", unit="kg"),),
    closing="handed over, white all through",
)
TWO_OWNERS_CHERRY = ChargePlan(
    "2026-08",
    NORTH,
    CHERRY_44,
    "2026-07-06 09:10",
    (
        LotPlan("A", wood.CHERRY, "cherry", "4/4", "760", "Rowan Joinery"),
        LotPlan(
            "B", wood.CHERRY, "cherry", "4/4", "380", "Vintrey & Daughter", limits=("6", "9", "the order")
        ),
    ),
    (*boards(4), *boards(2, "B", 5)),
    scale=wood.POUND_SCALE,
    celsius_oven=False,
    misreads=(Misread("2", 6, "4.71", "read the neighbour's line"),),
    closing="both owners collected",
)
LATE_WHITE_OAK = ChargePlan(
    "2026-10",
    NORTH,
    OAK_44,
    "2026-08-17 10:05",
    (LotPlan("A", wood.WHITE_OAK, "white oak", "4/4", "1010", "own stock"),),
    boards(6),
    every_day_until=18,
    closing="six boards at {low:.1f} to {high:.1f} %",
)
LATE_POPLAR = ChargePlan(
    "2026-11",
    LONG,
    POPLAR_44,
    "2026-10-12 09:00",
    (
        LotPlan(
            "A",
            wood.YELLOW_POPLAR,
            "yellow-poplar",
            "4/4",
            "2150",
            "Oddmoor Joinery",
            limits=("6", "9", "the order"),
        ),
    ),
    boards(6, wood_part="both"),
    target_mc_pct=7.5,
    happenings=(
        Happening(
            15, "13:00", "heat", note="145 F held, a probe in each of two boards: crate stock, heat asked for"
        ),
        Happening(15, "14:32", "door", note="open a minute, a cable had slipped"),
    ),
    closing="handed over",
)
UNLOADED_CHERRY = ChargePlan(
    "2026-12",
    ORCHARD_KILN,
    ORCHARD,
    "2026-10-28 10:40",
    (
        LotPlan(
            "A",
            wood.CHERRY,
            "cherry",
            "4/4",
            "420",
            "Rowan Joinery",
            limits=("6", "8", "6 to 8 %, average 7"),
        ),
        LotPlan("B", wood.CHERRY, "cherry", "4/4", "220", "own stock"),
    ),
    (
        BoardPlan("1", PLACES[0]),
        BoardPlan("2", PLACES[2]),
        BoardPlan("3", PLACES[3], sawn="quarter"),
        BoardPlan("4", PLACES[4], lot="B"),
        BoardPlan("5", PLACES[6], lot="B", wood="both"),
    ),
    scale=wood.OUNCE_SCALE,
    celsius_oven=False,
    happenings=(
        Happening(7, "16:00", "vent", "start", note="both vents a hand wide"),
        Happening(18, "16:30", "vent", "end"),
    ),
    notes="Unloaded and under cover; stress test and papers still to do.",
)
ASH = ChargePlan(
    "2026-13",
    NORTH,
    CHERRY_44,
    "2026-10-15 09:30",
    (
        LotPlan(
            "A",
            wood.ASH,
            "white ash",
            "5/4",
            "600",
            "own stock",
            slowed_by=1.35,
            governs="yes",
            thickness_m=0.034,
        ),
        LotPlan("B", wood.ASH, "white ash", "4/4", "380", "Rowan Joinery", out_at="2026-10-22 09:40"),
    ),
    (*boards(3), *boards(2, "B", 4)),
    first_step=5,
    closing="shop stock",
    notes="Air-dried, two thicknesses. The 4/4 went out first, on its own record.",
)

CHARGES_2026 = (
    RED_OAK_WIDE,
    WALNUT,
    MOVED_WALNUT,
    HARD_MAPLE,
    TWO_OWNERS_CHERRY,
    LATE_WHITE_OAK,
    LATE_POPLAR,
    UNLOADED_CHERRY,
    ASH,
)
