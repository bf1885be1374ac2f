"""How many pieces of a lot should be read, by a published plan; nothing is guessed from a volume."""

from __future__ import annotations

from collections.abc import Sequence

from kilnlog.drying.closing.figures import NoSample, SampleFigures
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.words import TallyTime
from kilnlog.reference.final_moisture import sampling_plan


def pieces_tallied(lines: Sequence[TallyLine]) -> int | None:
    """The pieces of a lot by its tally: net, else green; None where any line of it is a volume alone."""
    for when in (TallyTime.NET, TallyTime.GREEN):
        counted = [line.pieces for line in lines if line.when is when]
        known = [pieces for pieces in counted if pieces is not None]
        if known and len(known) == len(counted):
            return sum(known)
    return None


def sample_asked_for(pieces: int | None) -> SampleFigures | NoSample:
    """What the plan asks for of a lot of so many pieces, or why it is not known."""
    if pieces is None:
        return NoSample.UNKNOWN
    rows = sampling_plan()
    for row in rows:
        if row.lot_from_pieces <= pieces <= row.lot_to_pieces:
            return SampleFigures(
                pieces=row.pieces,
                accepted_outside=row.accepted_outside,
                of_lot_of=pieces,
                named=row.plan,
                standing=row.standing,
                source=row.source,
            )
    return NoSample.SMALLER if pieces < rows[0].lot_from_pieces else NoSample.LARGER
