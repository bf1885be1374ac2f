"""The charge register: one line for every charge, with all that its view needs to search, filter and sort."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any
from weakref import WeakKeyDictionary

from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import ChargeState
from kilnlog.drying.finding import Finding, Severity
from kilnlog.logbook import register_words as words
from kilnlog.logbook.air_in_hand import air_digest
from kilnlog.logbook.closing import sealed_figures
from kilnlog.logbook.kiln_stays import clashes, names_of_kilns, with_clashes
from kilnlog.logbook.lot_kinds import LotKind, lot_kind
from kilnlog.logbook.outcome import Outcome, outcome_of
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.units import weight_unit_of
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import closings_in_force
from kilnlog.records.closing import Closing
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.owner_name import distinct_owners
from kilnlog.records.version import Entry, History, current_entries, histories
from kilnlog.records.words import VolumeUnit
from kilnlog.reference.tables import Reference
from kilnlog.store.logbook_file import LogbookFile


@dataclass(frozen=True)
class RegisterLine:
    """One charge in the register."""

    entity: str
    number: str
    state: ChargeState
    kiln: str | None
    what: str  # "4/4 red oak"; "5/4 ash, 4/4 ash"
    whose: str  # one owner's name, "two owners", "own stock"
    volume: float | None  # [volume_unit], of all lots; None where none says
    volume_unit: VolumeUnit | None
    loaded_at: Moment | None
    day: float | None  # days of 24 h since loading, until unloading
    control_mc_pct: float | None
    target_mc_pct: float | None
    way_to_target: float | None  # 0 at the start, 1 at the target; only for running charges
    step: int | None  # of the schedule, in force
    state_words: str  # "drying, step 2"; "closed 1 Nov"
    due: str | None  # what is due, in words
    severity: Severity | None  # of what is due, or of the most urgent finding nobody answered
    closed_at: Moment | None
    notes: str | None
    owners: tuple[str, ...]
    lots: tuple[LotKind, ...]  # in the order written
    outcome: Outcome
    findings: tuple[Finding, ...]  # nobody answered, most urgent first, kiln clashes included
    searchable: str  # case folded: number, kiln, species, thickness, owners, notes
    clashes: tuple[Finding, ...] = ()  # with other charges in its kiln, answered or not
    seal_fits: bool = True  # a closed charge's seal stands as it was written

    @property
    def is_open(self) -> bool:
        """Whether the charge still takes rows."""
        return self.state not in (ChargeState.CLOSED, ChargeState.TAKEN_BACK)


def register(
    book: Logbook, reference: Reference, at: Moment, *, without_air: bool = False
) -> tuple[RegisterLine, ...]:
    """Every charge: open ones first, the newest of each kind leading.

    An open charge is assessed at ``at``; a closed one shows the figures sealed with it. ``without_air``:
    quickly, for what the air needs takes longer to load than all the rest to be worked out; the findings are
    then not all of them.
    """
    charges = book.file.charges()
    closings = closings_in_force(book.file.entries("closing"))
    lots: dict[str, list[Lot]] = {}
    for entry in current_entries(histories(book.file.entries("lot"))):
        lots.setdefault(entry.fact.charge, []).append(entry.fact)
    kilns = names_of_kilns(book.file.entries("kiln"))
    clashing = clashes(charges, histories(book.file.entries("stay")), closings, kilns, at)
    lines = [
        _line(
            book,
            reference,
            at,
            charge,
            lots.get(charge.entity, []),
            closings.get(charge.entity),
            kilns,
            clashing,
            without_air=without_air,
        )
        for charge in charges
    ]
    return tuple(sorted(lines, key=_place, reverse=True))


def matching(lines: Iterable[RegisterLine], typed: str) -> tuple[RegisterLine, ...]:
    """The lines in which every typed word occurs, in any order and any case."""
    asked = typed.casefold().split()
    return tuple(line for line in lines if all(word in line.searchable for word in asked))


def counts(lines: Iterable[RegisterLine]) -> Mapping[ChargeState, int]:
    """How many charges stand in each state; 0 for the others."""
    return Counter(line.state for line in lines)


def _place(line: RegisterLine) -> tuple[bool, bool, float, str]:
    """Open before past; among the open the planned last; then by loading or closing, the newest first."""
    moment = line.closed_at or line.loaded_at
    return (line.is_open, line.loaded_at is not None, moment.utc.timestamp() if moment else 0.0, line.number)


def _line(
    book: Logbook,
    reference: Reference,
    at: Moment,
    charge: History[Charge],
    lots: Sequence[Lot],
    closing: Entry[Closing] | None,
    kilns: Mapping[str, str],
    clashing: Mapping[str, tuple[Finding, ...]],
    *,
    without_air: bool,
) -> RegisterLine:
    fact = (charge.current or charge.entries[0]).fact
    shared = _described(charge.entity, fact, lots, kilns, reference)
    clash = clashing.get(charge.entity, ())
    if charge.is_void:
        return RegisterLine(
            **shared,
            **_empty(),
            state=ChargeState.TAKEN_BACK,
            outcome=Outcome.TAKEN_BACK,
            state_words="taken back",
            severity=None,
            findings=(),
        )
    if closing is not None:
        return _closed(book, shared, closing, lots, at, clash)
    return _open(shared, book, charge.entity, reference, at, clash, without_air=without_air)


@dataclass(frozen=True, slots=True)
class _Sealed:
    """What the register tells of a seal."""

    days: float | None
    control_mc_pct: float | None
    kiln: str | None
    outcome: Outcome
    fits: bool


#: By file and version of the closing: a seal never changes, and reading hundreds of them after every weight
#: would keep the next weight waiting.
_known: WeakKeyDictionary[LogbookFile, dict[str, _Sealed]] = WeakKeyDictionary()


#: Found once for each file: a seal that somebody alters while it is open is found when it is opened again.
_unfit_in: WeakKeyDictionary[LogbookFile, frozenset[str]] = WeakKeyDictionary()


def _unfit(book: Logbook) -> frozenset[str]:
    if (unfit := _unfit_in.get(book.file)) is None:
        unfit = _unfit_in[book.file] = book.file.unfit_closings()
    return unfit


def _sealed(
    book: Logbook, closing: Entry[Closing], lots: Sequence[Lot], target_mc_pct: float | None
) -> _Sealed:
    known = _known.setdefault(book.file, {})
    if (kept := known.get(closing.version.uid)) is not None:
        return kept
    figures = sealed_figures(closing.fact)
    known[closing.version.uid] = made = _Sealed(
        days=figures.get("days"),
        control_mc_pct=figures.get("status", {}).get("control", {}).get("mc_pct"),
        kiln=figures.get("kiln"),
        outcome=outcome_of(figures, lots, target_mc_pct),
        fits=closing.version.uid not in _unfit(book),
    )
    return made


def _closed(
    book: Logbook,
    shared: dict[str, Any],
    closing: Entry[Closing],
    lots: Sequence[Lot],
    at: Moment,
    clash: tuple[Finding, ...],
) -> RegisterLine:
    sealed = _sealed(book, closing, lots, shared["target_mc_pct"])
    figures = _empty() | {
        "day": sealed.days,
        "control_mc_pct": sealed.control_mc_pct,
        "closed_at": closing.at,
    }
    if sealed.kiln:
        shared |= {"kiln": sealed.kiln}
    return RegisterLine(
        **shared,
        **figures,
        state=ChargeState.CLOSED,
        outcome=sealed.outcome,
        state_words=words.closed(closing.at, at, fits=sealed.fits),
        severity=(clash[0].severity if clash else None) if sealed.fits else Severity.ACT,
        findings=clash,
        seal_fits=sealed.fits,
    )


def _open(
    shared: dict[str, Any],
    book: Logbook,
    charge: str,
    reference: Reference,
    at: Moment,
    clash: tuple[Finding, ...],
    *,
    without_air: bool,
) -> RegisterLine:
    record = book.file.charge_record(charge)
    if without_air:
        assessment = assess(replace(record, air_reading=(), logger_batch=()), reference, at)
    else:
        assessment = assess(record, reference, at, air_digest(book, record, reference, at))
    assessment = with_clashes(record, assessment, clash)
    findings = tuple(finding for finding in assessment.findings if not finding.answered)
    due = words.due(assessment, findings, at, weight_unit_of(record))
    urgent = [due[1]] if due and due[1] else []
    urgent += [finding.severity for finding in findings]
    return RegisterLine(
        **shared | {"kiln": assessment.kiln},
        state=assessment.state,
        outcome=Outcome.OPEN,
        day=assessment.days,
        control_mc_pct=assessment.control.mc_pct,
        way_to_target=words.way_to_target(assessment),
        step=assessment.schedule.step if assessment.schedule else None,
        state_words=words.state(assessment),
        due=due[0] if due else None,
        severity=min(urgent, key=list(Severity).index, default=None),
        closed_at=None,
        findings=findings,
        clashes=clash,
    )


def _described(
    entity: str, fact: Charge, lots: Sequence[Lot], kilns: Mapping[str, str], reference: Reference
) -> dict[str, Any]:
    """What the charge's own particulars and lots say, whatever state it is in."""
    kiln = kilns.get(fact.kiln or "")
    owners = distinct_owners(lot.owner for lot in lots)
    volume, unit = words.volume_of(lots)
    species = [text for lot in lots for text in (lot.species, lot.thickness) if text]
    texts = [fact.charge, kiln, *species, *owners, fact.notes, words.what(lots)]
    return {
        "entity": entity,
        "number": fact.charge,
        "kiln": kiln,
        "what": words.what(lots),
        "whose": words.whose(lots),
        "volume": volume,
        "volume_unit": unit,
        "loaded_at": fact.loaded_at,
        "target_mc_pct": fact.target_mc_pct,
        "notes": fact.notes,
        "owners": owners,
        "lots": tuple(lot_kind(lot, reference) for lot in lots),
        "searchable": "\n".join(text.casefold() for text in texts if text),
    }


def _empty() -> dict[str, Any]:
    """The figures of a charge nobody assesses."""
    figures = ("day", "control_mc_pct", "way_to_target", "step", "due", "closed_at")
    return dict.fromkeys(figures)
