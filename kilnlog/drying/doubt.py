"""A doubt about a weight just typed: what is asked before it reaches the curve."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.finding import Finding
from kilnlog.records.weight import Weight


@dataclass(frozen=True, slots=True)
class Doubt:
    """One doubt.

    Attributes:
        finding: Code, severity, subject and figures, for the catalogue to word.
        likely: The likely truth, to be taken with one key; None where nothing, or more than one thing, fits.
        possible: Whether the weight can be kept on the operator's insistence.
        other_board: Entity of the board it may have been mixed up with.
    """

    finding: Finding
    likely: Weight | None = None
    possible: bool = True
    other_board: str | None = None
