"""How many pieces to read: as the plan lists it, and nothing where it does not."""

import pytest

from kilnlog.drying.closing.figures import NoSample, SampleFigures
from kilnlog.drying.closing.sampling_plan import pieces_tallied, sample_asked_for
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import TallyTime, VolumeUnit
from kilnlog.reference.rows import Standing


# ISO 2859-1, general level II, AQL 6.5, normal inspection: from memory.
@pytest.mark.parametrize(
    ("lot", "pieces", "accepted"),
    [
        (26, 8, 1),
        (50, 8, 1),
        (51, 13, 2),
        (90, 13, 2),
        (91, 20, 3),
        (150, 20, 3),
        (151, 32, 5),
        (280, 32, 5),
        (281, 50, 7),
        (500, 50, 7),
        (501, 80, 10),
        (1200, 80, 10),
        (1201, 125, 14),
        (3201, 200, 21),
        (10000, 200, 21),
    ],
)
def test_the_plan(lot, pieces, accepted):
    asked = sample_asked_for(lot)
    assert isinstance(asked, SampleFigures)
    assert (asked.pieces, asked.accepted_outside, asked.of_lot_of) == (pieces, accepted, lot)
    assert asked.standing is Standing.MEMORY
    assert "ISO 2859-1" in asked.named


@pytest.mark.parametrize(
    ("lot", "why"),
    [(None, NoSample.UNKNOWN), (25, NoSample.SMALLER), (0, NoSample.SMALLER), (10001, NoSample.LARGER)],
)
def test_nothing_is_asked_for_where_the_plan_lists_nothing(lot, why):
    assert sample_asked_for(lot) is why


def line(when, pieces):
    return TallyLine(
        "charge-1", "lot-1", when, pieces=pieces, volume=100.0, volume_unit=VolumeUnit.BOARD_FEET
    )


GREEN, NET = TallyTime.GREEN, TallyTime.NET


@pytest.mark.parametrize(
    ("lines", "pieces"),
    [
        ([], None),
        ([line(GREEN, 60), line(GREEN, 55)], 115),
        ([line(GREEN, 115), line(NET, 60), line(NET, 50)], 110),  # five were lost
        ([line(NET, None)], None),  # a volume: how many pieces is not invented
        ([line(NET, 60), line(NET, None)], None),
        ([line(GREEN, 115), line(NET, 60), line(NET, None)], 115),
    ],
)
def test_the_pieces_of_a_lot_are_those_tallied(lines, pieces):
    assert pieces_tallied(lines) == pieces
