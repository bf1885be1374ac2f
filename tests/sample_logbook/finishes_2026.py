"""What was found of the second year's charges; of 2026-12 only as far as the mill has come with it."""

from __future__ import annotations

from dataclasses import replace

from tests.sample_logbook.finish import Answer, Defect, Finish, LotFinish, Meter, Series, Stress, Tally
from tests.sample_logbook.finishes_2025 import ASH, OAK, prongs, totals

WALNUT = Meter(species_pct=-0.1, wood=58)
THICK_WALNUT = Meter(species_pct=-0.1, depth="1/2 in", wood=68)
HARD_MAPLE = Meter(species_pct=-0.3, wood=66)
CHERRY = Meter(species_pct=-0.6)
WHITE_OAK = Meter(species_pct=-0.2, wood=64, calibrated=None, rule="equation")
POPLAR_BY_FIELD = Meter(
    "pinless meter",
    "pinless meter",
    depth="3/4 in",
    setting="0.40 specific gravity",
    wood=60,
    calibrated=None,
    rule="",
)
UNLOADED = "2026-12"
#: The readings of the charge that is being closed out: its lot A, which has been read, and B, begun.
LOT_A = (
    (7.0, 6.8, 7.2, 7.7, 6.2, 7.0, 7.5, 6.9, 7.3, 7.0, 6.8, 7.6),
    (7.2, 6.6, 7.0, 7.5, 8.3, 7.2, 6.9, 7.1, 7.2, 7.4, 7.5, 7.4),
)
LOT_B = ((7.1, 7.6, 6.9, 7.4, 7.2),)


def _sawn(grade: str, pieces: str, width: str, length: str) -> Tally:
    return Tally("net", grade=grade, pieces=pieces, thickness="4/4", width=width, length=length)


FINISHES_2026 = (
    Finish(
        "2026-01",
        (
            LotFinish(
                "A",
                (Series(replace(OAK, wood=52), (8, 8, 8), 7.0, 0.4),),
                prongs(5, casehardened=1),
                (
                    Defect("cup", "slight", "11"),
                    Defect("end checks", "slight", "14"),
                    Defect("surface checks", "moderate", "2", "9", "bf", note="both from the top course"),
                ),
                totals("2060", "1898"),
            ),
        ),
    ),
    Finish(
        "2026-03",
        (
            LotFinish(
                "A",
                (Series(WALNUT, (6, 7), 7.1, 0.35, oven=(4, 11), oven_off_pct=0.1),),
                prongs(2),
                tally=totals("430", "394", "68"),
                answers=(Answer("defects"),),
            ),
        ),
    ),
    Finish(
        "2026-05",
        (
            LotFinish(
                "A",
                (Series(THICK_WALNUT, (9,), 8.0, 0.42),),
                (Stress("shell and core", "2", value="7.4", core="8.9", unit="%", limit="2"),),
                (Defect("end checks", "moderate", "3", "11", "bf"),),
                totals("410", "376", "38"),
            ),
        ),
    ),
    Finish(
        "2026-06",
        (
            LotFinish(
                "A",
                (Series(HARD_MAPLE, (8, 8, 8), 7.2, 0.36, stray_pct=8.3),),
                prongs(3),
                (Defect("sticker stain", "slight", "4", note="light; gone at 1/32 in"),),
                totals("2240", "2022"),
            ),
        ),
    ),
    Finish(
        "2026-08",
        (
            LotFinish(
                "A",
                (Series(replace(CHERRY, wood=74), (10, 10), 7.0, 0.4),),
                prongs(3),
                (Defect("bow", "slight", "6"),),
                (
                    Tally("green", "760"),
                    _sawn("select", "42", "8", "10"),
                    _sawn("select", "40", "7", "8"),
                    _sawn("common", "45", "6", "10"),
                ),
            ),
            LotFinish(
                "B",
                (Series(replace(CHERRY, wood=74), (13,), 7.2, 0.45, minutes_later=30),),
                prongs(2),
                tally=(
                    Tally("green", "380"),
                    _sawn("select", "36", "8", "8"),
                    _sawn("common", "32", "6", "10"),
                ),
                answers=(Answer("defects"),),
            ),
        ),
        later_notes=(
            (
                "2026-08-19 09:15",
                "Rowan Joinery: two boards of 45 cupped a sixteenth after resawing. Both wide.",
            ),
        ),
    ),
    Finish(
        "2026-10",
        (
            LotFinish(
                "A",
                (Series(WHITE_OAK, (8, 8), 7.0, 0.38),),
                prongs(3),
                (Defect("surface checks", "slight", "5", note="in at loading, no worse now"),),
                totals("1010", "929"),
            ),
        ),
    ),
    Finish(
        "2026-11",
        (
            LotFinish(
                "A",
                (Series(POPLAR_BY_FIELD, (8, 8), 7.2, 0.5),),
                tally=totals("2150", "1990"),
                answers=(Answer("stress", "left out", "for crates, not resawn"), Answer("defects")),
            ),
        ),
    ),
    Finish(
        "2026-13",
        (
            LotFinish(
                "A",
                (Series(ASH, (6, 6), 7.1, 0.4),),
                prongs(2),
                (Defect("end checks", "slight", "2"),),
                totals("600", "578"),
            ),
            LotFinish(
                "B",
                (Series(replace(ASH, wood=80), (8,), 6.9, 0.33),),
                prongs(1, waited=""),
                tally=totals("380", "369", "44"),
                answers=(Answer("defects"),),
                closed="2026-10-22 15:10",
                closing="collected while the 5/4 goes on",
            ),
        ),
    ),
    Finish(
        UNLOADED,
        (
            LotFinish(
                "A",
                (Series(CHERRY, figures=LOT_A),),
                defects=(Defect("end checks", "slight", "7"), Defect("bow", "slight", "3")),
                tally=(
                    Tally("green", "420"),
                    Tally("net", "268", grade="select", pieces="78", thickness="4/4"),
                    Tally("net", "124", grade="common", pieces="40", thickness="4/4"),
                ),
            ),
            LotFinish(
                "B",
                (Series(CHERRY, figures=LOT_B, minutes_later=-60),),
                defects=(Defect("cup", "moderate", "2", "8", "bf"),),
                tally=totals("220", "205"),
            ),
        ),
        read_after_days=2,
        meter_checks=(("2", "2026-11-21 07:50", "9.6", "6.6"), ("5", "2026-11-21 07:52", "10.4", "7.4")),
        answers=(Answer("heat", "left out", "nobody asked for it"),),
    ),
)
