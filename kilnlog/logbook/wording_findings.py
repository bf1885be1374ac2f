"""What each finding says: short words, a line with the figure in it, why, and what to do."""

from __future__ import annotations

from collections.abc import Mapping

from kilnlog.logbook.wording_doubts import DOUBTS, Wording

_CHARGE_FINDINGS: Mapping[str, Wording] = {
    "two-charges-in-kiln": (
        "kiln taken twice",
        "[{kiln} also holds {other} at this time|another charge holds this kiln at this time: {other}]",
        "Both were in it from {from_at}[ to {until_at}].",
        "Correct the kiln, or the times of loading and unloading, of one of them.",
    ),
}

FINDINGS: Mapping[str, Wording] = {**_CHARGE_FINDINGS, **DOUBTS}
