"""Import folders for tests: a small whole one, and the same with some tables put otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

from kilnlog.exchange.errors import ImportRefused
from kilnlog.exchange.from_files import entries_from
from kilnlog.exchange.read_source import read
from kilnlog.records.facts import TABLE_OF, TABLES
from kilnlog.records.version import Entry

NOW = datetime(2025, 6, 1, 9, 30, 15, tzinfo=UTC)
ZONE = "America/New_York"

#: An invented charge: two lots, three boards, one of each kind of row.
SMALL: Mapping[str, str] = {
    "kilns": (
        "kiln,heat,air_control,capacity,capacity_unit,altitude_m\nNorth,hot water,wet bulb,1200,bf,240\n"
    ),
    "instruments": (
        "instrument,kind,division,unit,checked_at\nbench,scale,0.1,g,2025-01-05\npins,meter,0.5,%,\n"
    ),
    "settings": "setting,value\nconstant_weight_rule,0.1 % in 2 h\n",
    "schedule_steps": (
        "schedule,step,from_mc_pct,to_mc_pct,dry_bulb,wet_bulb,temperature_unit\n"
        "Slow,1,,50,110,106,F\nSlow,2,50,40,110,104,F\n"
    ),
    "charges": (
        "charge,kiln,loaded_at,zone,target_mc_pct,control_rule,schedule,unloaded_at,closed_at,notes\n"
        "7,North,2025-03-01 08:00,America/New_York,8,wettest half,Slow,,,\n"
    ),
    "stays": "charge,kiln,in_at,out_at\n7,North,2025-03-01 08:00,\n",
    "lots": (
        "charge,lot,owner,species,thickness,volume,volume_unit,mc_low_pct,mc_high_pct,governs\n"
        "7,A,Ash & Daughters,white ash,4/4,540,bf,7,9,yes\n7,B,Brook Mill,red oak,27 mm,1.2,m3,,,no\n"
    ),
    "boards": (
        "charge,board,lot,cut_at,start_weight,weight_unit,coating_weight,coated,replaces\n"
        "7,1,A,2025-02-28 10:00,1842.50,g,3.1,yes,\n"
        "7,2,B,2025-02-28 10:20,4.46,lb,,no,\n"
        '7,3,A,2025-03-10 10:20,"10 lb 13.6 oz",,,,1\n'
    ),
    "sections": (
        "charge,board,section,taken_at,wet_weight,oven_dry_weight,dried_at,weight_unit\n"
        "7,1,a,2025-02-28 10:00,120.4,80.2,2025-03-01 10:00,g\n7,2,a,2025-02-28 10:20,100.0,,,g\n"
    ),
    "oven_weighings": "charge,board,section,weighed_at,weight,weight_unit\n7,2,a,2025-03-01 10:00,70.3,g\n",
    "weighings": (
        "charge,board,weighed_at,weight,weight_unit\n"
        "7,1,2025-03-02 07:00,1801.0,g\n7,2,2025-03-02 07:01,4.30,lb\n7,1,2025-03-03 07:00,1770.5,g\n"
    ),
    "recuts": (
        "charge,board,cut_at,weight_before,section_wet,section_oven_dry,weight_after,weight_unit\n"
        "7,1,2025-03-05 07:00,1700,101.2,78.9,1590,g\n"
    ),
    "breaks": (
        "charge,board,at,weight_before,weight_after,weight_unit,reason\n"
        "7,2,2025-03-06 07:00,4.1,3.9,lb,fork\n"
    ),
    "withdrawals": "charge,board,at,reason\n7,2,2025-03-20 07:00,split\n",
    "events": "charge,at,kind,state,value,unit,note\n7,2025-03-04 12:00,power cut,start,,,storm\n",
    "steps_taken": "charge,at,step,reason\n7,2025-03-08 07:30,2,\n",
    "decisions": "charge,at,code,subject,note\n7,2025-03-08 07:31,too-fast,board 1,seen\n",
    "air": (
        "charge,read_at,sensor,dry_bulb,wet_bulb,depression,rh_pct,temperature_unit\n"
        "7,2025-03-02 07:10,fan side,109.5,105.0,,,F\n7,2025-03-03 07:10,,,,,86.5,\n"
    ),
    "set_points": (
        "charge,set_at,dry_bulb,wet_bulb,depression,rh_pct,temperature_unit\n"
        "7,2025-03-01 08:00,110,106,,,F\n7,2025-03-08 07:30,110,,6,,F\n"
    ),
    "meter_checks": (
        "charge,board,read_at,instrument,reading_pct,wood_temperature,temperature_unit,corrected_pct\n"
        "7,1,2025-03-20 07:20,pins,24.5,108,F,21.0\n7,1,2025-03-21 07:20,,22.5,,,\n"
    ),
    "final_readings": (
        "charge,lot,pack,piece,read_at,kind,instrument,depth,species_setting,reading_pct,wood_temperature,"
        "temperature_unit,temperature_correction_pct,species_correction_pct,wet_weight,oven_dry_weight,weight_unit\n"
        "7,A,1,,2025-04-20 09:00,pin meter,pins,1/4 in,white ash,8.5,50,F,0.8,-0.5,,,\n"
        "7,A,1,,2025-04-20 09:00,pin meter,pins,1/4 in,white ash,8.5,50,F,0.8,-0.5,,,\n"
        "7,A,2,12,2025-04-20 09:05,pinless meter,,,,31.0,,,,,,,\n"
        "7,B,,1,2025-04-20 10:00,oven-dry,,,,,,,,,54.2,50.1,g\n"
    ),
    "stress_tests": (
        "charge,lot,piece,kind,value,unit,limit\n7,A,3,prong,0.05,in,0.08\n7,B,,slice,-1.5,mm,2\n"
    ),
    "defects": (
        "charge,lot,kind,severity,pieces,volume,volume_unit,note\n"
        "7,A,end checks,slight,4,,,\n7,B,other,,,0.05,m3,fork holes\n"
    ),
    "probes": (
        "charge,read_at,probe,placed_in,temperature,temperature_unit\n"
        "7,2025-04-19 09:00,p1,core,134,F\n7,2025-04-19 09:00,hall,air,141,F\n"
    ),
    "tally": (
        "charge,lot,class,thickness,width,width_unit,length,length_unit,pieces,when,volume,volume_unit\n"
        "7,A,FAS,4/4,6,in,8,ft,20,green,,\n7,A,FAS,4/4,6,in,8,ft,19,net,,\n"
        "7,A,FAS,4/4,6,in,8,ft,19,net,,\n7,B,,,,,,,,net,1.11,m3\n"
    ),
    "heat_choices": "charge,at_least,temperature_unit,for_minutes,limits_from\n7,56,C,30,the order\n",
    "step_answers": "charge,step,answer,lot,note\n7,stress,left out,B,no saw at hand\n",
}


def folder(path: Path, tables: Mapping[str, str | bytes] = SMALL, **changed: str | bytes | None) -> Path:
    """Write the tables as CSV files; ``changed`` ones take the place of the others, None leaves one out."""
    path.mkdir(exist_ok=True)
    for name, text in {**tables, **changed}.items():
        if text is not None:
            data = text if isinstance(text, bytes) else text.encode()
            (path / f"{name}.csv").write_bytes(data)
    return path


def replaced(table: str, old: str, new: str) -> dict[str, str]:
    """The small folder's table with one piece of text put otherwise."""
    assert SMALL[table].count(old) == 1, f"{old!r} stands {SMALL[table].count(old)} times in {table}"
    return {table: SMALL[table].replace(old, new)}


def taken_in(
    source: Path, existing: Mapping[str, Sequence[Entry[Any]]] | None = None, *, zone: str = ZONE
) -> list[Entry[Any]]:
    """The entries a source gives, with uids counted up."""
    numbers = count(1)
    prefix = "more" if existing else "new"  # no uid is given twice
    return entries_from(
        read(source),
        existing or {},
        new_uid=lambda: f"{prefix}-{next(numbers)}",
        now=NOW,
        who="tester",
        zone=zone,
    )


def by_table(entries: Sequence[Entry[Any]]) -> dict[str, list[Entry[Any]]]:
    """Entries by table, each in the order given."""
    tables: dict[str, list[Entry[Any]]] = {table: [] for table in TABLES}
    for entry in entries:
        tables[TABLE_OF[type(entry.fact)]].append(entry)
    return tables


def refusal(source: Path, existing: Mapping[str, Sequence[Entry[Any]]] | None = None) -> ImportRefused:
    """How a source is refused; that it is taken in is a failure."""
    try:
        entries = taken_in(source, existing)
    except ImportRefused as refused:
        return refused
    raise AssertionError(f"taken in: {len(entries)} entries")


def places(refused: ImportRefused) -> set[tuple[str, int | None, str | None, str]]:
    """Where and why: file, row, column and code of every problem."""
    return {(problem.file, problem.row, problem.column, problem.cause.code) for problem in refused.problems}
