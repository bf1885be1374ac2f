"""What a charge's record says as of a moment: only what had been observed by then, in its latest wording.

Corrections count from the start, changes from their own moment, what was taken back never was.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from operator import attrgetter
from typing import Generic, Protocol, TypeVar

from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.decision import Decision
from kilnlog.records.event import Event
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.recut import Recut
from kilnlog.records.section import Section
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.version import History
from kilnlog.records.weighing import Weighing

F_co = TypeVar("F_co", covariant=True)
F = TypeVar("F")


@dataclass(slots=True)  # not frozen: a record holds a thousand, and freezing trebles the time to make one
class Seen(Generic[F_co]):
    """A fact that counts: when it happened and what it says."""

    entity: str
    at: Moment
    fact: F_co


class _OnBoard(Protocol):
    @property
    def board(self) -> str: ...


B = TypeVar("B", bound=_OnBoard)


@dataclass(frozen=True, slots=True)
class BoardFacts:
    """One board with everything that happened to it, each kind in order of time."""

    seen: Seen[Board]
    sections: tuple[Seen[Section], ...]
    oven_weighings: tuple[Seen[OvenWeighing], ...]
    weighings: tuple[Seen[Weighing], ...]
    recuts: tuple[Seen[Recut], ...]
    breaks: tuple[Seen[Breakage], ...]
    withdrawn_at: Moment | None

    @property
    def entity(self) -> str:
        """What other facts refer to the board by."""
        return self.seen.entity

    @property
    def label(self) -> str:
        """The board's label."""
        return self.seen.fact.board


@dataclass(frozen=True)
class FactsAt:
    """A charge as of ``at``."""

    record: ChargeRecord
    at: Moment
    charge: Charge
    boards: tuple[BoardFacts, ...]  # in walking order
    lots: tuple[tuple[History[Lot], Lot], ...]  # with what counts of each at ``at``
    steps_taken: tuple[Seen[StepTaken], ...]
    events: tuple[Seen[Event], ...]
    decisions: tuple[Seen[Decision], ...]

    def setting(self, name: str) -> str | None:
        """The value of a setting of the logbook, or None where it was never set."""
        for line in self.record.setting:
            entry = line.at(self.at, particulars=True)
            if entry is not None and entry.fact.setting == name:
                return entry.fact.value
        return None


def facts_at(record: ChargeRecord, at: Moment) -> FactsAt:
    """The record as of ``at``."""
    entry = record.charge[0].at(at, particulars=True)
    return FactsAt(
        record=record,
        at=at,
        charge=record.particulars if entry is None else entry.fact,
        boards=_boards(record, at),
        lots=tuple(
            (line, counting.fact)
            for line in record.lot
            if (counting := line.at(at, particulars=True)) is not None
        ),
        steps_taken=in_order(record.step_taken, at),
        events=in_order(record.event, at),
        decisions=in_order(record.decision, at),
    )


def seen_by(lines: Iterable[History[F]], at: Moment) -> list[Seen[F]]:
    """Those facts that had happened by ``at``, in the order written."""
    seen = []
    until = at.utc
    for line in lines:
        spans = line.spans
        if not spans or spans[0].version.observed_at.utc > until:
            continue
        # A correction stands in the span of the row it corrects, so the first span tells when it happened.
        counting = spans[0] if len(spans) == 1 else line.at(at)
        if counting is not None:
            first = spans[0].version
            seen.append(Seen(first.entity, first.observed_at, counting.fact))
    return seen


def in_order(lines: Iterable[History[F]], at: Moment) -> tuple[Seen[F], ...]:
    """Those facts that had happened by ``at``, by time; at one moment, in the order written."""
    seen = seen_by(lines, at)
    seen.sort(key=attrgetter("at.utc"))
    return tuple(seen)


def _by_board(lines: Iterable[History[B]], at: Moment) -> dict[str, list[Seen[B]]]:
    groups: dict[str, list[Seen[B]]] = {}
    for seen in in_order(lines, at):
        groups.setdefault(seen.fact.board, []).append(seen)
    return groups


def _boards(record: ChargeRecord, at: Moment) -> tuple[BoardFacts, ...]:
    sections = _by_board(record.section, at)
    oven_weighings = _by_board(record.oven_weighing, at)
    weighings = _by_board(record.weighing, at)
    recuts = _by_board(record.recut, at)
    breaks = _by_board(record.breakage, at)
    withdrawals = _by_board(record.withdrawal, at)
    return tuple(
        BoardFacts(
            seen=seen,
            sections=tuple(sections.get(seen.entity, ())),
            oven_weighings=tuple(oven_weighings.get(seen.entity, ())),
            weighings=tuple(weighings.get(seen.entity, ())),
            recuts=tuple(recuts.get(seen.entity, ())),
            breaks=tuple(breaks.get(seen.entity, ())),
            withdrawn_at=withdrawals[seen.entity][0].at if seen.entity in withdrawals else None,
        )
        for seen in walking_order(seen_by(record.board, at))
    )


def walking_order(boards: Iterable[Seen[Board]]) -> list[Seen[Board]]:
    """Boards in the order they were written, a replacement right after the board it replaces."""
    order: list[Seen[Board]] = []
    for board in boards:
        replaced = next((n for n, other in enumerate(order) if other.entity == board.fact.replaces), None)
        order.insert(len(order) if replaced is None else replaced + 1, board)
    return order
