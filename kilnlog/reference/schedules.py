"""The handbook's general schedules for hardwoods, as one list of steps.

A code such as T4-D2 names two tables: the temperature schedule T4, whose dry bulb rises at fixed moisture
contents, and the depressions of moisture class D, number 2, which change at the class's own. Merged, a step
begins wherever either brings a change. All of it stands from memory but for a few codes: a default to check
against one's own handbook, and ``standing`` says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from types import MappingProxyType
from typing import TypeVar

from kilnlog.records.errors import KilnlogError
from kilnlog.records.measures import thickness_mm
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.words import TemperatureUnit
from kilnlog.reference.reading import number, plain_name, rows_of
from kilnlog.reference.rows import Standing
from kilnlog.reference.tables import SAME_THICKNESS_MM, load

#: Modified schedules keep the wet bulb from falling below this [F]: vents seldom bring it lower.
#: Wengert, Hardwood Lumber Kiln Schedules (online article): the 90 F rule of the codes marked m.
MODIFIED_WET_BULB_F = 90.0

_CODE = re.compile(r"(?P<temperature>T\d{1,2})-(?P<mc_class>[A-F])(?P<number>\d)", re.ASCII | re.IGNORECASE)

Key = TypeVar("Key")


class NoHandbookSchedule(KilnlogError):
    """No general hardwood schedule for this. Values: why, and what was asked for.

    why: ``species``, ``thickness`` (with species; known: the thicknesses listed), ``softwood`` (species),
    ``code``.
    """

    code = "no-handbook-schedule"


@dataclass(frozen=True, slots=True)
class HandbookSchedule:
    """A general schedule, ready to be kept as the operator's own."""

    name: str  # T4-D2; T4-D2 m where the wet bulb is kept from falling further
    steps: tuple[ScheduleStep, ...]
    source: str
    standing: Standing  # that of its weakest figure
    of: str = ""  # species and thickness, as the index has them; empty where it was asked for by its code

    @property
    def own_name(self) -> str:
        """What it is kept as: whoever reads it later sees whose steps they are."""
        return f"{self.of[:1].upper()}{self.of[1:]}, handbook {self.name}".removeprefix(", ")


@dataclass(frozen=True, slots=True)
class IndexRow:
    """Which schedule a species and thickness takes."""

    species: str
    scientific_name: str
    thickness: str
    schedule: str
    wood_type: str  # hardwood, softwood
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True)
class _Setting:
    """One figure of a schedule, from a moisture content on; None from green."""

    from_mc_pct: float | None
    value_f: float
    source: str
    standing: Standing


@lru_cache(maxsize=1)
def schedule_index() -> tuple[IndexRow, ...]:
    """The index by species and thickness, softwoods included."""
    return tuple(
        IndexRow(
            species=row["species"],
            scientific_name=row["scientific_name"],
            thickness=row["thickness"],
            schedule=row["schedule"],
            wood_type=row["wood_type"],
            source=row["source"],
            standing=Standing(row["standing"]),
        )
        for row in rows_of("schedule_index")
    )


def handbook_schedule(species: str, thickness: str, *, modified: bool = False) -> HandbookSchedule:
    """The general schedule for a hardwood of that species and thickness.

    Args:
        species: Its common, scientific or trade name.
        thickness: As typed: ``4/4``, ``27 mm``; must be one the index lists for the species.
        modified: Whether the wet bulb is kept from falling below 90 F.

    Raises:
        NoHandbookSchedule: Not listed, or a softwood: the depressions are those of hardwoods.
        UnreadableNumber: The thickness cannot be read.
    """
    wanted = plain_name(species)
    trade = load().trade_names.get(wanted)
    names = {wanted} if trade is None else {wanted, plain_name(trade.species)}
    of_species = [
        row for row in schedule_index() if names & {plain_name(row.species), plain_name(row.scientific_name)}
    ]
    if not of_species:
        raise NoHandbookSchedule(why="species", species=species)
    if of_species[0].wood_type != "hardwood":
        raise NoHandbookSchedule(why="softwood", species=species)
    wanted_mm = thickness_mm(thickness)
    for row in of_species:
        if abs(thickness_mm(row.thickness) - wanted_mm) < SAME_THICKNESS_MM:
            merged = schedule_by_code(row.schedule, modified=modified)
            return HandbookSchedule(
                merged.name,
                merged.steps,
                f"{row.source}; {merged.source}",
                _weakest((row.standing, merged.standing)),
                f"{row.species} {row.thickness}",
            )
    known = tuple(dict.fromkeys(row.thickness for row in of_species))
    raise NoHandbookSchedule(why="thickness", species=species, thickness=thickness, known=known)


def schedule_by_code(code: str, *, modified: bool = False) -> HandbookSchedule:
    """The merged steps of a code: each with its dry bulb and wet bulb [F].

    Raises:
        NoHandbookSchedule: No such code.
    """
    parts = _CODE.fullmatch(code.strip())
    temperatures = _temperatures().get(parts["temperature"].upper()) if parts else None
    depressions = _depressions().get((parts["mc_class"].upper(), int(parts["number"]))) if parts else None
    if temperatures is None or depressions is None:
        raise NoHandbookSchedule(why="code", schedule=code)
    floor_f = MODIFIED_WET_BULB_F if modified else None
    name = code.strip().upper() + (" m" if modified else "")
    settings = (*temperatures, *depressions)
    return HandbookSchedule(
        name=name,
        steps=tuple(_steps(name, temperatures, depressions, floor_f)),
        source="; ".join(dict.fromkeys(setting.source for setting in settings)),
        standing=_weakest(setting.standing for setting in settings),
    )


def _steps(
    name: str, temperatures: tuple[_Setting, ...], depressions: tuple[_Setting, ...], floor_f: float | None
) -> Iterator[ScheduleStep]:
    settings = [
        (from_mc, *_set_points(temperatures, depressions, floor_f, from_mc))
        for from_mc in _falling({setting.from_mc_pct for setting in (*temperatures, *depressions)})
    ]
    changes = settings[:1] + [now for last, now in pairwise(settings) if now[1:] != last[1:]]
    ends = [from_mc for from_mc, _, _ in changes[1:]] + [None]
    for step, ((from_mc, dry_bulb, wet_bulb), to_mc) in enumerate(zip(changes, ends, strict=True), 1):
        yield ScheduleStep(
            schedule=name,
            step=step,
            from_mc_pct=from_mc,
            to_mc_pct=to_mc,
            dry_bulb=dry_bulb,
            wet_bulb=wet_bulb,
            temperature_unit=TemperatureUnit.FAHRENHEIT,
        )


def _falling(begins: set[float | None]) -> list[float | None]:
    return [None, *sorted((mc for mc in begins if mc is not None), reverse=True)]


def _set_points(
    temperatures: tuple[_Setting, ...],
    depressions: tuple[_Setting, ...],
    floor_f: float | None,
    mc_pct: float | None,
) -> tuple[float, float]:
    """Dry and wet bulb [F] from a moisture content down."""
    dry_bulb = _in_force(temperatures, mc_pct)
    wet_bulb = dry_bulb - _in_force(depressions, mc_pct)
    return dry_bulb, wet_bulb if floor_f is None else max(wet_bulb, floor_f)


def _in_force(settings: tuple[_Setting, ...], mc_pct: float | None) -> float:
    """What a table sets from a moisture content down; its first row from green."""
    reached = [
        setting
        for setting in settings
        if setting.from_mc_pct is None or (mc_pct is not None and mc_pct <= setting.from_mc_pct)
    ]
    return reached[-1].value_f


@lru_cache(maxsize=1)
def _temperatures() -> Mapping[str, tuple[_Setting, ...]]:
    return _grouped(
        (row["temperature_schedule"], _setting(row, "dry_bulb_f")) for row in rows_of("schedule_temperatures")
    )


@lru_cache(maxsize=1)
def _depressions() -> Mapping[tuple[str, int], tuple[_Setting, ...]]:
    return _grouped(
        ((row["mc_class"], int(row["depression_number"])), _setting(row, "depression_f"))
        for row in rows_of("schedule_depressions")
    )


def _grouped(pairs: Iterator[tuple[Key, _Setting]]) -> Mapping[Key, tuple[_Setting, ...]]:
    found: dict[Key, tuple[_Setting, ...]] = {}
    for key, setting in pairs:
        found[key] = (*found.get(key, ()), setting)
    return MappingProxyType(found)


def _setting(row: Mapping[str, str], column: str) -> _Setting:
    return _Setting(number(row["from_mc_pct"]), float(row[column]), row["source"], Standing(row["standing"]))


def _weakest(standings: Iterable[Standing]) -> Standing:
    return Standing.VERIFIED if all(one is Standing.VERIFIED for one in standings) else Standing.MEMORY
