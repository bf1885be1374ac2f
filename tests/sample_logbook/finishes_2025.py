"""What was found of the first year's charges. The mill had no meter before March."""

from __future__ import annotations

from tests.sample_logbook.finish import (
    Answer,
    Defect,
    Finish,
    LotFinish,
    Meter,
    Reopened,
    Series,
    Stress,
    Tally,
)

OAK = Meter(species_pct=-0.3)
ASH = Meter(species_pct=-0.2)
POPLAR = Meter(species_pct=-0.4)
THICK_OAK = Meter(species_pct=-0.3, depth="1/2 in", wood=72)
BEECH = Meter(species_pct=-0.3, depth="7 mm", wood=19, calibrated=21, unit="C")
SOFT_MAPLE = Meter(
    "pinless meter",
    "pinless meter",
    depth="3/4 in",
    setting="0.49 specific gravity",
    wood=78,
    calibrated=None,
    rule="",
)


def prongs(count: int, *, casehardened: int = 0, waited: str = "20") -> tuple[Stress, ...]:
    """So many prong tests, the last of them casehardened."""
    return tuple(
        Stress(
            "prong",
            str(index + 1),
            "casehardened" if index >= count - casehardened else "free",
            waited=waited,
            note="teeth touch after a night" if index >= count - casehardened else "",
        )
        for index in range(count)
    )


def totals(green: str, net: str, pieces: str = "") -> tuple[Tally, ...]:
    """Green and net in board feet."""
    return (Tally("green", green), Tally("net", net, pieces=pieces))


FINISHES_2025 = (
    Finish(
        "2025-02",
        (
            LotFinish(
                "A",
                tally=totals("1040", "968"),
                answers=(
                    Answer(
                        "final moisture", "left out", "no meter in the mill yet; six sample boards tell it"
                    ),
                    Answer("stress", "left out", "saw blade away for sharpening, and the shop was waiting"),
                    Answer("defects"),
                ),
            ),
        ),
    ),
    Finish(
        "2025-03",
        (
            LotFinish(
                "A",
                (Series(ASH, (6, 6), 7.2),),
                prongs(2),
                (Defect("end checks", "slight", "3"),),
                totals("540", "522"),
            ),
            LotFinish(
                "B",
                (Series(ASH, (10,), 6.8, 0.36, stray_pct=5.8, minutes_later=20),),
                answers=(Answer("stress", "left out", "own stock, for flat work"), Answer("defects")),
                tally=totals("440", "428"),
            ),
        ),
    ),
    Finish(
        "2025-04",
        (
            LotFinish(
                "A",
                (Series(POPLAR, (8, 8, 8), 7.3, 0.5, stray_pct=9.2),),
                prongs(3),
                (Defect("blue stain", "slight", "9", note="sap edges, all from the wet side of the stack"),),
                totals("2150", "2004"),
            ),
        ),
    ),
    Finish(
        "2025-07",
        (
            LotFinish(
                "A",
                (Series(THICK_OAK, (6, 6), 8.0, 0.45, oven=(2, 5, 9), oven_off_pct=0.4),),
                (
                    *prongs(2, waited="24"),
                    Stress("shell and core", "3", value="7.3", core="8.6", unit="%", limit="2"),
                    Stress("shell and core", "4", value="7.1", core="8.3", unit="%", limit="2"),
                ),
                (
                    Defect("surface checks", "slight", "4", note="plane out"),
                    Defect("end checks", "moderate", "6", "18", "bf"),
                ),
                totals("890", "806", "47"),
            ),
        ),
    ),
    Finish(
        "2025-08",
        (
            LotFinish(
                "A",
                (Series(BEECH, (10, 10), 7.9, 0.4, oven=(3, 14), oven_off_pct=0.2),),
                tuple(
                    Stress("slice", piece, value=gap, unit="mm", limit="2", waited="48")
                    for piece, gap in (("1", "0.8"), ("2", "1.4"), ("3", "0.6"))
                ),
                tally=(
                    Tally(
                        "net",
                        "",
                        grade="A",
                        pieces="72",
                        thickness="27 mm",
                        width="150",
                        length="3",
                        width_unit="mm",
                        length_unit="m",
                    ),
                    Tally(
                        "net",
                        "",
                        grade="B",
                        pieces="56",
                        thickness="27 mm",
                        width="160",
                        length="2.8",
                        width_unit="mm",
                        length_unit="m",
                    ),
                ),
                answers=(Answer("defects"),),
            ),
        ),
    ),
    Finish(
        "2025-11",
        (
            LotFinish(
                "A",
                (Series(SOFT_MAPLE, (8, 8), 6.9, 0.4),),
                answers=(Answer("stress", "left out", "not resawn"), Answer("defects")),
                tally=totals("1900", "1757"),
            ),
        ),
    ),
    Finish(
        "2025-12",
        (
            LotFinish(
                "A",
                defects=(Defect("mould", "severe", volume="210", unit="bf", note="low courses, both sides"),),
                answers=(
                    Answer("final moisture", "left out", "stopped wet, at about 56 %"),
                    Answer("stress", "left out", "stopped wet"),
                    Answer("tally", "left out", "re-stacked outside as it stood"),
                ),
            ),
        ),
    ),
    Finish(
        "2025-15",
        (
            LotFinish(
                "A",
                (Series(OAK, (7, 7), 7.0, 0.38),),
                prongs(3),
                (Defect("cup", "slight", "5"),),
                totals("1120", "1031"),
            ),
        ),
        reopened=Reopened(
            3,
            5,
            "four pieces oven-dried after all, to see how the meter reads in oak",
            "six boards at 5.9 to 7.4 %, four pieces by the oven",
            "A",
            (("2", 0.3), ("5", 0.5), ("9", 0.1), ("12", 0.4)),
        ),
    ),
)
