"""Every version of a fact in words: when it was written, by whom, what it changed and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from kilnlog.logbook import figures
from kilnlog.records.charge import Charge
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, History, VersionKind
from kilnlog.records.weight import Weight

_KINDS = {
    VersionKind.FIRST: "written",
    VersionKind.CORRECTION: "corrected, counts from the start",
    VersionKind.CHANGE: "changed from then on",
    VersionKind.VOID: "taken back",
}


@dataclass(frozen=True, slots=True)
class VersionWords:
    """One version."""

    entered: Moment  # when it was written down, by the machine's clock
    observed: Moment  # when it happened, as the operator's clock said
    kind: str
    who: str
    reason: str
    changes: tuple[str, ...]  # "target MC, %: 8 → 7"; of a first version, what it said
    superseded: bool


def version_words(history: History[Any], names: Mapping[str, str]) -> tuple[VersionWords, ...]:
    """The versions of one fact, oldest first.

    Args:
        history: The fact.
        names: The names of what its references point to, by entity.
    """
    told: list[VersionWords] = []
    before: Entry[Any] | None = None
    for entry in history.entries:
        version = entry.version
        told.append(
            VersionWords(
                entered=Moment(version.entered_utc, entry.at.zone),
                observed=entry.at,
                kind=_KINDS[version.kind],
                who=version.entered_by,
                reason=version.reason or "",
                changes=_changes(before, entry, names),
                superseded=entry is not history.newest,
            )
        )
        before = entry
    return tuple(told)


def _changes(before: Entry[Any] | None, entry: Entry[Any], names: Mapping[str, str]) -> tuple[str, ...]:
    told = []
    for field in fields(entry.fact):
        if field.name == "charge" and not isinstance(entry.fact, Charge):
            continue  # a fact of a charge never moves to another
        new = getattr(entry.fact, field.name)
        old = getattr(before.fact, field.name) if before is not None else None
        if before is None and new not in (None, False):
            told.append(f"{_name(field.name)}: {_value(new, names)}")
        elif before is not None and new != old:
            told.append(f"{_name(field.name)}: {_value(old, names)} → {_value(new, names)}")
    if before is not None and before.at != entry.at:
        told.append(f"time: {before.at.text()} → {entry.at.text()}")
    return tuple(told)


def _name(column: str) -> str:
    """A column's name in words: ``target_mc_pct`` is ``target MC, %``."""
    for ending, unit in (
        ("_pct_per_day", ", % a day"),
        ("_pct", ", %"),
        ("_m3_per_h", ", m³/h"),
        ("_m", ", m"),
    ):
        if column.endswith(ending):
            column = column.removesuffix(ending) + unit
            break
    return column.replace("_at", "").replace("_", " ").replace(" mc", " MC").replace("mc ", "MC ")


def _value(value: object, names: Mapping[str, str]) -> str:
    if value is None:
        return figures.EMPTY
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Moment):
        return value.text()
    if isinstance(value, Weight):
        return figures.as_typed(value)
    if isinstance(value, float):
        return figures.trimmed(value)
    return names.get(str(value), str(value))
