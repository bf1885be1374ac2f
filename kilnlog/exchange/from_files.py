"""From what stood in the files to entries a logbook can keep: all of them, or none and the reasons why."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from kilnlog.exchange.closings import check_closings, closing_drafts
from kilnlog.exchange.columns import Column, FileTable
from kilnlog.exchange.draft import Draft
from kilnlog.exchange.errors import (
    ClosedChargeGrows,
    ClosedLotGrows,
    MovedCharge,
    NoOrder,
    ReplacesItself,
    TakenBackName,
    UnknownUid,
)
from kilnlog.exchange.finish_tables import FINISH_TABLES
from kilnlog.exchange.known_rows import check_known, check_repeats, settle_particulars
from kilnlog.exchange.lots_of_rows import LotsOfRows
from kilnlog.exchange.names import KEY_OF_REFERENCE, Names, key_of
from kilnlog.exchange.raw_tables import Problems, RawTables
from kilnlog.exchange.read_rows import drafts_from
from kilnlog.exchange.successions import settle_versions
from kilnlog.exchange.tables import FILE_TABLES
from kilnlog.exchange.writing_order import writing_order
from kilnlog.records.closing import Closing
from kilnlog.records.errors import KilnlogError, MissingValue, SectionsSwapped, WetAboveDry
from kilnlog.records.facts import TABLES
from kilnlog.records.later_note import LaterNote
from kilnlog.records.measures import thickness_mm
from kilnlog.records.moment import Moment
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.version import Entry, VersionKind, histories
from kilnlog.records.words import TallyTime

Existing = Mapping[str, Sequence[Entry[Any]]]


def entries_from(
    raw: RawTables,
    existing: Existing,
    *,
    new_uid: Callable[[], str],
    now: datetime,
    who: str,
    zone: str,
) -> list[Entry[Any]]:
    """The entries to write, in an order a logbook accepts; rows it holds already are left out.

    Args:
        raw: What stood in the files.
        existing: All the logbook holds, by table, in the order written.
        new_uid: Makes a uid.
        now: When the rows are written down [UTC], where the files do not say.
        who: Who writes them down, where the files do not say.
        zone: The zone of what belongs to no charge and of charges that name none.

    Raises:
        ImportRefused: With every problem found, up to ``MOST_PROBLEMS``.
    """
    return _Import(raw, existing, new_uid, now, who, zone).entries()


@dataclass
class _Import:
    raw: RawTables
    existing: Existing
    new_uid: Callable[[], str]
    now: datetime
    who: str
    zone: str
    problems: Problems = field(default_factory=Problems)
    names: Names = field(default_factory=Names)
    used_uids: dict[str, Draft] = field(default_factory=dict)

    def entries(self) -> list[Entry[Any]]:
        drafts = drafts_from(self.raw, self._charge_zones(), self.zone, self.problems)
        self.names.put_entries(self.existing)
        for name, table in FILE_TABLES.items():
            drafts[name] = settle_versions(
                drafts[name], self.existing.get(table.table, ()), self.used_uids, self.new_uid, self.problems
            )
            self._settle_table(table, drafts[name])
        self._check_parents(drafts)
        self.problems.refuse_any()
        told, closed_before = drafts.pop("closings"), self.existing.get("closing", ())
        closings = told + closing_drafts(
            drafts["charges"], told, closed_before, self.used_uids, self.new_uid, self.problems
        )
        check_closings(closings, closed_before, self.problems)
        lots = LotsOfRows.of(self.existing.get("board", ()), drafts["boards"])
        new = [[draft for draft in rows if draft.known is None] for rows in (*drafts.values(), closings)]
        self._check_closed(new, lots)
        self.problems.refuse_any()
        return self._in_writing_order(new, lots)

    def _charge_zones(self) -> dict[str, str]:
        return {entry.fact.charge: entry.fact.zone for entry in self.existing.get("charge", ())}

    def _settle_table(self, table: FileTable, drafts: list[Draft]) -> None:
        """Find what the rows refer to, make their facts, and note the names they declare."""
        to_itself = tuple(column for column in table.references if column.refers_to == table.table)
        for draft in drafts:
            for column in table.references:
                if column not in to_itself:
                    self._refer(draft, column)
            if not table.keys:
                continue
            if draft.known is None and draft.supersedes is None:
                settle_particulars(draft, self.existing.get(table.table, ()))
            key = key_of(table, draft.given)
            self.names.put(table.table, draft.entity, key, is_void=draft.kind is VersionKind.VOID)
        for draft in drafts:
            for column in to_itself:
                self._refer(draft, column)
                if draft.references[column.name] == draft.entity:
                    self._problem(draft, column.name, ReplacesItself(name=draft.name(column.name)))
        self._check_charges(table, drafts)
        observed = _ObservedWhen(self.existing, self.used_uids, Moment(self.now, self.zone))
        for draft in drafts:
            draft.observed = draft.observed or observed.of(draft)
            self._make_fact(draft)
        check_known(drafts, self.problems)
        check_repeats(table, drafts, self.existing.get(table.table, ()), self.names, self.problems)

    def _check_charges(self, table: FileTable, drafts: list[Draft]) -> None:
        """A row stays in the charge of the row it succeeds."""
        if not table.belongs_to_charge:
            return
        charges = {entry.version.uid: entry.fact.charge for entry in self.existing.get(table.table, ())}
        charges |= {draft.uid: draft.references["charge"] for draft in drafts if draft.uid}
        for draft in drafts:
            charge = draft.references["charge"]
            if draft.supersedes and charge != charges.get(draft.supersedes, charge):
                self._problem(draft, "charge", MovedCharge(uid=draft.supersedes))

    def _refer(self, draft: Draft, column: Column) -> None:
        """Find the entity a column names."""
        assert column.refers_to is not None
        draft.references[column.name] = None
        if not draft.name(column.name):
            return
        *within, _ = KEY_OF_REFERENCE[column.name]
        scope = tuple(draft.references[part] for part in within)
        if None in scope:
            return  # what it lies within is unknown, and was noted
        key = (*scope, draft.name(column.name))
        if (uid := draft.named_uids.get(column.name)) is not None:
            if self.names.bears(column.refers_to, uid, key):
                draft.references[column.name] = uid
            else:
                self._problem(draft, f"{column.name}_uid", UnknownUid(uid=uid))
            return
        try:
            draft.references[column.name] = self.names.find(column.refers_to, key)
        except KilnlogError as error:
            self._problem(draft, column.name, error)

    def _make_fact(self, draft: Draft) -> None:
        given = {name: value for name, value in draft.given.items() if value is not None}
        given = {draft.table.field_of(name): value for name, value in given.items()}
        needed = (column for column in draft.table.columns if column.required)
        if any(column.field not in given and column.name in draft.values for column in needed):
            return  # noted where the cell was read or the name looked for
        try:
            draft.fact = TABLES[draft.table.table](**given)
        except SectionsSwapped as error:
            column = "section_oven_dry" if draft.table.name == "recuts" else "oven_dry_weight"
            self._problem(draft, column, error)
        except WetAboveDry as error:
            self._problem(draft, "wet_bulb", error)
        except MissingValue as error:
            self._problem(draft, str(error.values["column"]), error)
        if isinstance(draft.fact, TallyLine):
            self._check_thickness(draft, draft.fact)

    def _check_thickness(self, draft: Draft, line: TallyLine) -> None:
        """Where a volume is worked out from it; one that nobody can read would keep a charge from closing."""
        if line.volume is not None or line.thickness is None or draft.kind is VersionKind.VOID:
            return
        try:
            thickness_mm(line.thickness)
        except KilnlogError as error:
            self._problem(draft, "thickness", error)

    def _check_parents(self, drafts: Mapping[str, list[Draft]]) -> None:
        """Nothing that counts may refer to what was taken back."""
        for rows in drafts.values():
            for draft in {draft.entity: draft for draft in rows}.values():
                if draft.kind is VersionKind.VOID:
                    continue
                for column in draft.table.references:
                    entity, kind = draft.references.get(column.name), column.refers_to
                    if entity and kind and self.names.is_void(kind, entity):
                        self._problem(
                            draft, column.name, TakenBackName(what=kind, name=draft.name(column.name))
                        )

    def _check_closed(self, new: Sequence[Sequence[Draft]], lots: LotsOfRows) -> None:
        """Nothing but notes joins what is closed in the logbook, unless the files reopen it."""
        reopened = {
            (draft.fact.charge, draft.fact.lot)
            for rows in new
            for draft in rows
            if isinstance(draft.fact, Closing) and draft.fact.reopened
        }
        lines = histories(self.existing.get("closing", ()))
        closed = {
            (line.newest.fact.charge, line.newest.fact.lot) for line in lines if not line.newest.fact.reopened
        } - reopened
        for draft in (draft for rows in new for draft in rows):
            if isinstance(draft.fact, LaterNote) or (
                isinstance(draft.fact, Closing) and draft.kind is not VersionKind.FIRST
            ):
                continue
            charge = draft.references.get("charge") or draft.entity
            if (charge, None) in closed:
                self._problem(draft, "charge", ClosedChargeGrows(charge=draft.name("charge")))
            for lot in lots.of_row(draft):
                if (charge, lot) in closed:
                    cause = ClosedLotGrows(charge=draft.name("charge"), lot=self.names.name_of("lot", lot))
                    self._problem(draft, "lot" if draft.name("lot") else "board", cause)

    def _in_writing_order(self, new: Sequence[Sequence[Draft]], lots: LotsOfRows) -> list[Entry[Any]]:
        ordered = writing_order(new, lots)
        placed = set(ordered)
        for draft in (draft for rows in new for draft in rows):
            if draft not in placed:
                self._problem(draft, None, NoOrder())
        self.problems.refuse_any()
        return [draft.entry(self.now, self.who) for draft in ordered]

    def _problem(self, draft: Draft, column: str | None, cause: KilnlogError) -> None:
        self.problems.add(draft.file, draft.number, column, cause)


@dataclass
class _ObservedWhen:
    """When a row was observed whose file does not say."""

    existing: Existing
    drafts: Mapping[str, Draft]
    now: Moment

    def of(self, draft: Draft) -> Moment:
        if draft.known is not None:
            return draft.known.at
        if draft.supersedes and (before := self._at("", draft.supersedes, draft.table.table)):
            return before
        told = None
        if draft.table.name == "charges":
            told = draft.values.get("loaded_at")
        elif draft.table.name == "logger_batches":
            told = draft.values.get("first_at")
        elif draft.table.name == "sections":
            told = self._at("board", draft.references.get("board"), "board")
        elif draft.table.name == "lots":
            told = self._at("loaded_at", draft.references.get("charge"), "charge")
        elif draft.table in FINISH_TABLES:
            told = self._as_it_came_out(draft)
        return told or Moment(self.now.utc, draft.zone)

    def _as_it_came_out(self, draft: Draft) -> Moment | None:
        """What is told of a finished charge was seen as it came out; a green tally as it went in."""
        charge = draft.references.get("charge")
        is_green = draft.values.get("when") is TallyTime.GREEN
        out = None if is_green else self._at("unloaded_at", charge, "charge")
        return out or self._at("loaded_at", charge, "charge")

    def _at(self, field_name: str, uid: str | None, table: str) -> Moment | None:
        """The moment a row of the files or of the logbook was observed, or another moment it tells of."""
        if uid is None:
            return None
        fact_field = field_name if field_name in ("loaded_at", "unloaded_at") else None
        if (draft := self.drafts.get(uid)) is not None:
            return draft.values.get(fact_field) if fact_field else draft.observed
        for entry in self.existing.get(table, ()):
            if entry.version.uid == uid:
                return getattr(entry.fact, fact_field) if fact_field else entry.at
        return None
