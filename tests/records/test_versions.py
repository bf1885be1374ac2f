"""Versions of a fact: corrections count from the start, changes from their own moment, voids never."""

from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.decision import Decision
from kilnlog.records.facts import TABLE_OF, TABLES
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.setting import Setting
from kilnlog.records.version import Entry, History, Version, VersionKind, current_entries, histories
from tests.builders import ENTERED, moment

MONDAY, TUESDAY, FRIDAY = (moment(f"2024-03-{day} 08:00") for day in ("04", "05", "08"))


class Rows:
    """Writes versions of lots; a lot's owner says which version it is."""

    def __init__(self) -> None:
        self.entries: list[Entry[Lot]] = []

    def write(self, kind: VersionKind, at: Moment, owner: str, entity: str = "lot") -> Entry[Lot]:
        """Append a version of the lot named ``entity``."""
        earlier = [entry.version.uid for entry in self.entries if entry.entity == entity]
        uid = f"{entity}-{len(earlier)}" if earlier else entity
        version = Version(uid, entity, earlier[-1] if earlier else None, kind, None, at, ENTERED, "Ada")
        self.entries.append(Entry(version, Lot("charge", entity, owner=owner)))
        return self.entries[-1]


def owner_at(history: History[Lot], at: Moment, *, particulars: bool = False) -> str | None:
    entry = history.at(at, particulars=particulars)
    return None if entry is None else entry.fact.owner


def changed_then_corrected() -> History[Lot]:
    rows = Rows()
    rows.write(VersionKind.FIRST, MONDAY, "first")
    rows.write(VersionKind.CORRECTION, MONDAY, "corrected")
    rows.write(VersionKind.CHANGE, FRIDAY, "changed")
    rows.write(VersionKind.CORRECTION, FRIDAY, "change corrected")
    return histories(rows.entries)[0]


def test_a_correction_counts_from_the_start_and_a_change_from_its_moment() -> None:
    history = changed_then_corrected()
    assert owner_at(history, MONDAY) == "corrected"
    assert owner_at(history, TUESDAY) == "corrected"
    assert owner_at(history, FRIDAY) == "change corrected"
    assert [entry.fact.owner for entry in history.spans] == ["corrected", "change corrected"]
    assert history.current is history.entries[-1]


def test_before_it_was_observed_only_a_particular_counts() -> None:
    history = changed_then_corrected()
    before = MONDAY.plus_hours(-1)
    assert owner_at(history, before) is None
    assert owner_at(history, before, particulars=True) == "corrected"


def test_a_void_never_was() -> None:
    rows = Rows()
    rows.write(VersionKind.FIRST, MONDAY, "first")
    rows.write(VersionKind.VOID, TUESDAY, "first")
    rows.write(VersionKind.FIRST, MONDAY, "other", entity="kept")
    void, kept = histories(rows.entries)
    assert (void.is_void, kept.is_void) == (True, False)
    assert void.current is None
    assert void.spans == ()
    assert owner_at(void, MONDAY, particulars=True) is None
    assert [entry.fact.owner for entry in current_entries((void, kept))] == ["other"]


def test_histories_keep_the_order_of_first_versions() -> None:
    rows = Rows()
    for entity in ("b", "a", "c"):
        rows.write(VersionKind.FIRST, MONDAY, entity, entity=entity)
    rows.write(VersionKind.CORRECTION, MONDAY, "b again", entity="b")
    assert [history.entity for history in histories(rows.entries)] == ["b", "a", "c"]


def test_a_record_written_row_by_row_is_the_record_read_at_once() -> None:
    rows = Rows()
    version = Version("charge", "charge", None, VersionKind.FIRST, None, MONDAY, ENTERED, "Ada")
    charge = Entry(version, Charge("24-07", "America/New_York"))
    grown = ChargeRecord.from_entries({"charge": [charge]})
    for kind, at, owner, entity in (
        (VersionKind.FIRST, MONDAY, "first", "a"),
        (VersionKind.FIRST, MONDAY, "second", "b"),
        (VersionKind.CHANGE, FRIDAY, "third", "a"),
        (VersionKind.VOID, FRIDAY, "second", "b"),
    ):
        grown = grown.with_entries([rows.write(kind, at, owner, entity)])
    assert grown == ChargeRecord.from_entries({"charge": [charge], "lot": rows.entries})
    assert [line.is_void for line in grown.lot] == [False, True]
    assert (grown.entity, grown.particulars.charge, grown.is_closed) == ("charge", "24-07", False)


def test_every_table_is_named_once_and_knows_its_fact() -> None:
    assert len(TABLES) == 30
    assert {TABLE_OF[kind] for kind in TABLES.values()} == set(TABLES)
    assert (TABLE_OF[Setting], TABLE_OF[Decision]) == ("setting", "decision")
