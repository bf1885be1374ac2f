"""The register as text and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kilnlog.cli.text_table import text_table
from kilnlog.logbook import figures
from kilnlog.logbook.register import RegisterLine
from kilnlog.records.moment import Moment

_HEADINGS = ("charge", "kiln", "what", "whose", "volume", "day", "MC, %", "state", "due")


def register_text(lines: Sequence[RegisterLine], now: Moment) -> str:
    """One line per charge; says the first step where there is none."""
    if not lines:
        return "This logbook has no charge yet. Open it to register one, or import a folder of CSV files."
    rows = [
        (
            line.number,
            line.kiln or figures.EMPTY,
            line.what or figures.EMPTY,
            line.whose,
            figures.volume(line.volume, line.volume_unit),
            figures.days(line.loaded_at, line.day),
            figures.mc(line.control_mc_pct),
            line.state_words,
            line.due or "",
        )
        for line in lines
    ]
    return text_table(_HEADINGS, rows, frozenset({4, 5, 6}))


def register_json(line: RegisterLine) -> dict[str, Any]:
    """One charge for other programs; what is not known is null."""
    return {
        "charge": line.number,
        "state": line.state.value,
        "kiln": line.kiln,
        "what": line.what,
        "owners": list(line.owners),
        "volume": line.volume,
        "volume_unit": line.volume_unit.value if line.volume_unit else None,
        "loaded_at": line.loaded_at.iso() if line.loaded_at else None,
        "closed_at": line.closed_at.iso() if line.closed_at else None,
        "days": line.day,
        "control_mc_pct": line.control_mc_pct,
        "target_mc_pct": line.target_mc_pct,
        "step": line.step,
        "due": line.due,
        "severity": line.severity.value if line.severity else None,
        "notes": line.notes,
    }
