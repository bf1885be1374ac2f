"""The headings of a close-out, how far each is, and what stands before the seal, as data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from kilnlog.drying.closing.figures import FinalMoisture
from kilnlog.drying.finding import Severity
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry
from kilnlog.records.words import CloseOutStep


class Step(StrEnum):
    """The headings, in the order they are gone through."""

    UNLOADING = "unloading"
    FINAL_MOISTURE = CloseOutStep.FINAL_MOISTURE.value
    STRESS = CloseOutStep.STRESS.value
    DEFECTS = CloseOutStep.DEFECTS.value
    TALLY = CloseOutStep.TALLY.value
    HEAT = CloseOutStep.HEAT.value
    NOTES = "notes"
    REVIEW = "review"
    SEAL = "seal"


class StepState(StrEnum):
    """How far a heading is; of several lots, the one that is least far tells."""

    DONE = "done"
    NONE_FOUND = "none found"
    LEFT_OUT = "left out"
    OPEN = "open"
    OPTIONAL = "optional"  # nothing is missing where it stays empty
    WAITING = "waiting"  # nothing is asked of it before the others


class Code(StrEnum):
    """What stands before the seal."""

    NOT_UNLOADED = "not-unloaded"
    NO_READINGS = "no-readings"
    NO_STRESS = "no-stress-test"
    NO_DEFECTS = "no-defects-noted"
    NO_TALLY = "no-tally"
    PROBES_NOT_ASKED = "probes-not-asked"  # probes were read, and nobody said what for
    LEFT_OUT = "left-out"
    TOO_FEW = "too-few-readings"
    OUTSIDE = "readings-outside"
    AVERAGE_OUTSIDE = "average-outside"
    NO_LIMITS = "no-limits"
    UNREADABLE_LIMITS = "unreadable-limits"
    METER_CHECKED = "meter-checked"
    METER_NOT_CHECKED = "meter-not-checked"
    MORE_NET = "more-net-than-green"
    NO_NAME = "no-name-on-papers"


class Way(StrEnum):
    """What can be done about it."""

    DO = "do"
    LEAVE_OUT = "leave out"
    NONE_FOUND = "none found"
    TAKE_UP = "take up"  # what was left out is looked at after all


@dataclass(frozen=True, slots=True)
class StepLine:
    """One heading. ``values`` are what its line says, by name; see ``close_out_words.step_line``."""

    step: Step
    state: StepState
    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Before:
    """One thing that stands before the seal; none of them bars it.

    ``lot`` is the entity of the lot it is of, None the whole charge. ``values`` fill its sentence; ``answer``
    is the entity of what the operator answered, where that can be taken back.
    """

    step: Step
    code: Code
    severity: Severity
    lot: str | None = None
    ways: tuple[Way, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict)
    answer: str | None = None


@dataclass(frozen=True)
class CloseOut:
    """A charge, or one lot of it (``lot``, its entity), on the way to its seal."""

    lot: str | None
    lots: tuple[Entry[Lot], ...]  # what is closed by it, in the order written
    lines: tuple[StepLine, ...]
    before: tuple[Before, ...]  # what is missing first, each in the order of the headings
    finals: Mapping[str, FinalMoisture]  # by the lot's entity
    of_lots: Mapping[str, tuple[StepLine, ...]]  # the headings that are gone through lot by lot, likewise

    def line(self, step: Step) -> StepLine:
        """The line of a heading."""
        return next(line for line in self.lines if line.step is step)

    @property
    def missing(self) -> tuple[Before, ...]:
        """What nobody answered yet."""
        return tuple(one for one in self.before if one.severity is not Severity.NOTE)

    @property
    def first_open(self) -> Step:
        """Where somebody who comes back goes on: the first heading nobody answered, else the review."""
        return next((line.step for line in self.lines if line.state is StepState.OPEN), Step.REVIEW)
