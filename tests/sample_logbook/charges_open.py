"""The charges in hand on Wednesday 25 November 2026, before the morning's round."""

from __future__ import annotations

from tests.sample_logbook import wood
from tests.sample_logbook.charges_2025 import PLACES
from tests.sample_logbook.mill import LONG, MAPLE_44, NORTH, OAK_44, OAK_84, ORCHARD, ORCHARD_KILN
from tests.sample_logbook.plan import BoardPlan, ChargePlan, Happening, LotPlan, Misread

RED_OAK = ChargePlan(
    "2026-14",
    NORTH,
    OAK_44,
    "2026-11-03 07:30",
    (
        LotPlan("A", wood.RED_OAK, "red oak", "4/4", "830", "own stock"),
        LotPlan("B", wood.RED_OAK, "red oak", "4/4", "320", "own stock"),
    ),
    (
        BoardPlan("1", PLACES[0], oven_dry_g=1683.5, start_mc_pct=74.6, mc_at_end_pct=35.9),
        BoardPlan("2", PLACES[1], oven_dry_g=1721.7, start_mc_pct=81.2, mc_at_end_pct=40.85),
        BoardPlan("3", PLACES[2], oven_dry_g=1590.6, start_mc_pct=79.4, mc_at_end_pct=39.5),
        BoardPlan(
            "4", PLACES[3], lot="B", sawn="quarter", oven_dry_g=1807.5, start_mc_pct=75.3, mc_at_end_pct=37.05
        ),
        BoardPlan(
            "5",
            PLACES[4],
            oven_dry_g=1647,
            start_mc_pct=83.3,
            mc_at_end_pct=41.9,
            sections=(("108.6", "59.1"), ("101.7", "55.6")),
        ),
        BoardPlan(
            "6",
            PLACES[5],
            oven_dry_g=1763.6,
            start_mc_pct=71.8,
            mc_at_end_pct=34.1,
            sections=(("104.7", "60.2"), ("98.7", "58.6")),
        ),
        BoardPlan("7", PLACES[6], oven_dry_g=1697, start_mc_pct=80.6, mc_at_end_pct=40.75),
        BoardPlan(
            "8", PLACES[7], lot="B", sawn="quarter", oven_dry_g=1620.3, start_mc_pct=76.2, mc_at_end_pct=37.2
        ),
    ),
    round_at="07:42",
    last_day=21,
    steps=((2, 15, ""),),
    misreads=(Misread("5", 20, "2627", "misread"),),
    late_days=(19,),
    pinned=(("5", 17, "2430"), ("5", 18, "2405"), ("5", 19, "2381"), ("5", 20, "2357"), ("5", 21, "2337")),
    happenings=(
        Happening(0, "07:30", "heat", "start"),
        Happening(4, "16:10", "vent", note="opened one notch"),
        Happening(10, "08:15", "wick changed"),
        Happening(16, "19:10", "power cut", "start"),
        Happening(17, "06:20", "power cut", "end"),
    ),
    notes="Stacked green from the saw, stickers 24 in apart. Lot B, quartered, on top of the pile."
    " Left fan belt squeals when cold.",
)
_MAPLE_PLACES = (*PLACES, "middle, left, low", "middle, right, low", "rear, left, high", "rear, right, high")
_MAPLE_MC = (
    (71.5, 55.8),
    (69.8, 54.2),
    (66.2, 50.8),
    (72.4, 56.4),
    (68.1, 52.9),
    (64.9, 49.6),
    (70.7, 54.9),
    (67.3, 51.9),
    (72.8, 48.6),
    (65.8, 50.3),
    (69.2, 53.6),
    (66.9, 51.4),
)
HARD_MAPLE = ChargePlan(
    "2026-15",
    LONG,
    MAPLE_44,
    "2026-11-19 09:20",
    (LotPlan("A", wood.HARD_MAPLE, "hard maple", "4/4", "2300", "Oddmoor Joinery"),),
    tuple(
        BoardPlan(str(index + 1), place, wood="sap", start_mc_pct=start, mc_at_end_pct=end)
        for index, (place, (start, end)) in enumerate(zip(_MAPLE_PLACES, _MAPLE_MC, strict=True))
    ),
    round_at="07:05",
    last_day=5,
    steps=((2, 4, ""),),
    happenings=(
        Happening(3, "08:10", "water collected", value="96", unit="kg"),
        Happening(4, "09:00", "fan", note="baffle at the high side closed; board 9 stands in the draught"),
    ),
    notes="White maple: keep it moving, keep it under the limit.",
)
PLANNED_WALNUT = ChargePlan(
    "2026-16",
    ORCHARD_KILN,
    OAK_84,
    "",
    (
        LotPlan(
            "A", wood.WALNUT, "walnut", "8/4", "410", "Vintrey & Daughter", limits=("7", "9", "the order")
        ),
    ),
    target_mc_pct=8,
    notes="Comes in December, after the soft maple. Cut sample boards long enough for a recut.",
)
SOFT_MAPLE_IN_OVEN = ChargePlan(
    "2026-17",
    ORCHARD_KILN,
    ORCHARD,
    "2026-11-24 15:40",
    (LotPlan("A", wood.SOFT_MAPLE, "soft maple", "4/4", "390", "Łucja & Søren Brækhus"),),
    tuple(
        BoardPlan(str(index + 1), PLACES[index], wood="sap", cut_on_day=0, cut_at="08:30")
        for index in range(4)
    ),
    last_day=0,
    in_oven=True,
    notes="Sections went into the oven on the day of loading.",
)

CHARGES_OPEN = (RED_OAK, HARD_MAPLE, PLANNED_WALNUT, SOFT_MAPLE_IN_OVEN)
