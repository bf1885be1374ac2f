"""The charges of the first year: all closed."""

from __future__ import annotations

from tests.sample_logbook import wood
from tests.sample_logbook.mill import (
    BEECH_27,
    LONG,
    NORTH,
    OAK_44,
    OAK_84,
    ORCHARD,
    ORCHARD_KILN,
    POPLAR_44,
)
from tests.sample_logbook.plan import (
    BoardPlan,
    BreakPlan,
    ChargePlan,
    Happening,
    LotPlan,
    Misread,
    RecutPlan,
    WithdrawalPlan,
)

PLACES = (
    "door, left, low",
    "door, left, high",
    "middle, left",
    "rear, left",
    "rear, right",
    "middle, right",
    "door, right, high",
    "door, right, low",
)


def boards(count: int, lot: str = "A", first: int = 1, wood_part: str = "heart") -> tuple[BoardPlan, ...]:
    """So many ordinary boards, in walking order."""
    return tuple(
        BoardPlan(str(first + index), PLACES[(first + index - 1) % len(PLACES)], lot=lot, wood=wood_part)
        for index in range(count)
    )


WHITE_OAK = ChargePlan(
    "2025-02",
    NORTH,
    OAK_44,
    "2025-01-13 10:00",
    (LotPlan("A", wood.WHITE_OAK, "white oak", "4/4", "1040", "own stock"),),
    boards(6),
    scale=wood.POUND_SCALE,
    celsius_oven=False,
    every_day_until=18,
    happenings=(
        Happening(9, "06:40", "power cut", "start", note="ice on the line"),
        Happening(9, "15:20", "power cut", "end"),
    ),
    closing="six boards at {low:.1f} to {high:.1f} %, sold to the shop",
    notes="Numbers run on through firewood loads, which have no sample boards and are not kept here.",
)
AIR_DRIED_ASH = ChargePlan(
    "2025-03",
    ORCHARD_KILN,
    ORCHARD,
    "2025-02-28 11:00",
    (
        LotPlan(
            "A",
            wood.ASH,
            "white ash",
            "5/4",
            "540",
            "Rowan Joinery",
            slowed_by=1.35,
            governs="yes",
            thickness_m=0.034,
        ),
        LotPlan("B", wood.ASH, "white ash", "4/4", "440", "own stock"),
    ),
    (*boards(3), *boards(3, "B", 4)),
    scale=wood.OUNCE_SCALE,
    celsius_oven=False,
    first_step=5,
    closing="handed over",
    notes="Air-dried one summer under roof, both thicknesses in one stack. The 5/4 governs.",
)
POPLAR = ChargePlan(
    "2025-04",
    LONG,
    POPLAR_44,
    "2025-03-17 09:30",
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
        Happening(4, "08:10", "water collected", value="212", unit="kg"),
        Happening(8, "08:10", "water collected", value="164", unit="kg"),
    ),
    closing="handed over",
)
THICK_RED_OAK = ChargePlan(
    "2025-07",
    NORTH,
    OAK_84,
    "2025-04-07 10:20",
    (
        LotPlan(
            "A",
            wood.RED_OAK,
            "red oak",
            "8/4",
            "890",
            "Vintrey & Daughter",
            slowed_by=1.75,
            limits=("7", "9", "the order"),
            thickness_m=0.056,
        ),
    ),
    (
        BoardPlan("1", PLACES[0]),
        BoardPlan("2", PLACES[3], section_bias_pct=4.5),
        BoardPlan("3", PLACES[4]),
        BoardPlan("4", PLACES[6]),
        BoardPlan("5", PLACES[2], sawn="quarter"),
    ),
    target_mc_pct=8,
    every_day_until=21,
    celsius_oven=False,
    recuts=(RecutPlan("2", 69, coating="9", section_g=212), RecutPlan("4", 69, coating="8", section_g=205)),
    breaks=(BreakPlan("3", 45, 0.034, "corner caught on the track"),),
    misreads=(Misread("5", 12, "4498", "digits turned"),),
    closing="five boards at {low:.1f} to {high:.1f} %",
    notes="Slow on purpose: three months, no honeycomb in the test cuts.",
)
METRIC_BEECH = ChargePlan(
    "2025-08",
    ORCHARD_KILN,
    BEECH_27,
    "2025-05-19 08:30",
    (
        LotPlan(
            "A",
            wood.BEECH,
            "European beech",
            "27 mm",
            "1.55",
            "Åsa Wróblewska, Möbelbau",
            unit="m3",
            limits=("7", "9", "the order"),
            thickness_m=0.027,
        ),
    ),
    boards(6),
    target_mc_pct=8,
    section_scale=wood.FINE_BALANCE,
    closing="delivered, 1.55 m3",
    notes="Planks from a dealer, 27 mm, limits as ordered.",
)
SOFT_MAPLE = ChargePlan(
    "2025-11",
    LONG,
    POPLAR_44,
    "2025-07-07 09:00",
    (LotPlan("A", wood.SOFT_MAPLE, "soft maple", "4/4", "1900", "own stock"),),
    boards(6, wood_part="sap"),
    control_rule="wettest board",
    happenings=(Happening(3, "17:30", "fan", note="second fan wired the right way round at last"),),
    closing="shop stock",
)
STOPPED_BASSWOOD = ChargePlan(
    "2025-12",
    ORCHARD_KILN,
    ORCHARD,
    "2025-09-08 13:30",
    (LotPlan("A", wood.BASSWOOD, "basswood", "5/4", "300", "own stock", slowed_by=1.35, thickness_m=0.034),),
    boards(4, wood_part="both"),
    scale=wood.COARSE_POUND_SCALE,
    celsius_oven=False,
    stopped_on_day=10,
    decisions=((1, "07:40", "coarse-scale", "board 2", "the other scale is out for checking"),),
    happenings=(Happening(6, "08:00", "vent", note="grey bloom on the low courses, vents wide open"),),
    closing="stopped: mould, air too damp for days; re-stacked outside",
)
REPLACED_BOARD = ChargePlan(
    "2025-15",
    NORTH,
    OAK_44,
    "2025-09-29 09:45",
    (LotPlan("A", wood.RED_OAK, "red oak", "4/4", "1120", "own stock"),),
    (*boards(6), BoardPlan("3b", PLACES[2], replaces="3", cut_on_day=8)),
    withdrawals=(WithdrawalPlan("3", 8, "split along the pith, lost a wedge nobody weighed"),),
    late_days=(17,),
    closing="six boards at {low:.1f} to {high:.1f} %",
)

CHARGES_2025 = (
    WHITE_OAK,
    AIR_DRIED_ASH,
    POPLAR,
    THICK_RED_OAK,
    METRIC_BEECH,
    SOFT_MAPLE,
    STOPPED_BASSWOOD,
    REPLACED_BOARD,
)
