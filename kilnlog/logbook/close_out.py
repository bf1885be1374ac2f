"""How far a charge, or a lot that leaves early, is closed out, and what stands before its seal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kilnlog.drying.closing.figures import FinalMoisture, SeriesKind
from kilnlog.drying.closing.final_moisture import final_moisture
from kilnlog.drying.closing.stress import stress_of
from kilnlog.drying.closing.tally import TallyFigures, TallyRemark, tally_of
from kilnlog.drying.figures import Assessment
from kilnlog.drying.finding import Severity
from kilnlog.logbook.close_out_steps import Before, CloseOut, Code, Step, StepLine, StepState, Way
from kilnlog.logbook.paper_settings import MILL_NAME
from kilnlog.logbook.sealing import sealed_contents
from kilnlog.logbook.tally_setting import SETTING, rounding_from
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.version import Entry, current_entries
from kilnlog.records.words import AnswerKind, VolumeUnit
from kilnlog.reference.tables import Reference

#: What a heading says where nothing was written under it.
_EMPTY: Mapping[Step, Code] = {
    Step.FINAL_MOISTURE: Code.NO_READINGS,
    Step.STRESS: Code.NO_STRESS,
    Step.DEFECTS: Code.NO_DEFECTS,
    Step.TALLY: Code.NO_TALLY,
}
#: Worst first: of several lots the one least far is the heading's.
_LEAST_FAR = (StepState.OPEN, StepState.LEFT_OUT, StepState.NONE_FOUND, StepState.DONE)


def close_out(
    record: ChargeRecord,
    assessment: Assessment,
    reference: Reference,
    at: Moment,
    lot: str | None = None,
) -> CloseOut:
    """How far it is at ``at``. A lot that was closed by itself is no part of the charge's closing.

    Args:
        record: The charge.
        assessment: As of ``at``.
        reference: The published tables.
        at: Only what had been observed by then counts.
        lot: The entity of a lot that leaves early; None closes the charge with all lots still open.
    """
    lots = tuple(
        entry
        for entry in current_entries(record.lot)
        if entry.entity == lot or (lot is None and record.closing_of(entry.entity) is None)
    )
    finals = {
        entry.entity: final_moisture(record, entry.entity, assessment.boards, reference, at)
        for entry in lots
        if any(line.entity == entry.entity and line.at(at, particulars=True) for line in record.lot)
    }
    going = _Going(record, assessment, lot, lots, finals, at)
    lines = tuple(going.lines())
    before = sorted(going.before(), key=_order)
    of_lots = {entry.entity: tuple(going.lot_lines((entry,))) for entry in lots}
    return CloseOut(lot, lots, lines, tuple(before), finals, of_lots)


def _order(one: Before) -> tuple[int, int]:
    """What is missing before what is only to be known, each in the order of the headings."""
    return list(Severity).index(one.severity), list(Step).index(one.step)


@dataclass
class _Going:
    """One close-out being worked out."""

    record: ChargeRecord
    assessment: Assessment
    lot: str | None
    lots: tuple[Entry[Lot], ...]
    finals: Mapping[str, FinalMoisture]
    at: Moment

    def lines(self) -> Iterator[StepLine]:
        yield self._unloading()
        yield from self.lot_lines(self.lots)
        yield self._heat()
        notes = self.record.particulars.notes
        yield StepLine(Step.NOTES, StepState.DONE if notes else StepState.WAITING)
        yield StepLine(Step.REVIEW, StepState.WAITING)
        closing = self.record.closing_of(self.lot)
        yield StepLine(
            Step.SEAL,
            StepState.DONE if closing is not None else StepState.WAITING,
            {"at": closing.at} if closing is not None else {},
        )

    def lot_lines(self, lots: Sequence[Entry[Lot]]) -> Iterator[StepLine]:
        for step in _EMPTY:
            states = [self._state(step, entry.entity) for entry in lots]
            state = next((one for one in _LEAST_FAR if one in states), StepState.OPTIONAL)
            values = dict(self._values(step, lots))
            if state is StepState.OPEN and any(one is not StepState.OPEN for one in states):
                both = zip(lots, states, strict=True)
                values["open_lots"] = [lot.fact.lot for lot, one in both if one is StepState.OPEN]
            yield StepLine(step, state, values)

    def _unloading(self) -> StepLine:
        if self.lot is None:
            out_at = self.record.particulars.unloaded_at
            return StepLine(
                Step.UNLOADING, StepState.DONE if out_at is not None else StepState.OPEN, {"at": out_at}
            )
        out_at = self.lots[0].fact.out_at if self.lots else None
        state = StepState.DONE if out_at is not None else StepState.WAITING
        return StepLine(Step.UNLOADING, state, {"at": out_at})

    def _state(self, step: Step, lot: str) -> StepState:
        if self._is_written(step, lot):
            return StepState.DONE
        answer = self._answer(step, lot)
        if answer is None:
            return StepState.OPEN
        is_left_out = answer.fact.answer is AnswerKind.LEFT_OUT
        return StepState.LEFT_OUT if is_left_out else StepState.NONE_FOUND

    def _is_written(self, step: Step, lot: str) -> bool:
        """What was written under a heading goes before what was answered of it."""
        if step is Step.FINAL_MOISTURE:
            return bool(self._read(lot))
        lines: Mapping[Step, Iterable[Any]] = {
            Step.STRESS: self.record.stress_test,
            Step.DEFECTS: self.record.defect,
            Step.TALLY: self.record.tally_line,
        }
        return bool(_of_lot(lines[step], lot))

    def _read(self, lot: str) -> int:
        """Pieces read for it; sample boards are none."""
        final = self.finals.get(lot)
        series = final.series if final is not None else ()
        return sum(one.whole.n for one in series if one.kind is not SeriesKind.SAMPLE_BOARDS)

    def _answer(self, step: Step, lot: str | None) -> Entry[StepAnswer] | None:
        """The last answer for a lot, or for the whole charge, which answers for every lot."""
        found = [
            entry
            for entry in current_entries(self.record.step_answer)
            if entry.fact.step.value == step.value and entry.fact.lot in (lot, None)
        ]
        return found[-1] if found else None

    def _values(self, step: Step, lots: Sequence[Entry[Lot]]) -> Mapping[str, Any]:
        own = [entry.entity for entry in lots]
        if step is Step.FINAL_MOISTURE:
            return self._of_readings(lots)
        if step is Step.STRESS:
            tests = stress_of([one for lot in own for one in _of_lot(self.record.stress_test, lot)])
            judged = [test for test in tests.tests if test.passed is not None]
            return {
                "tests": len(tests.tests),
                "judged": len(judged),
                "passed": sum(bool(test.passed) for test in judged),
            }
        if step is Step.DEFECTS:
            return {"kinds": len({one.kind for lot in own for one in _of_lot(self.record.defect, lot)})}
        tallies = [tally for lot in lots if (tally := self._tally(lot)) is not None]
        if len({tally.unit for tally in tallies}) != 1:
            return {}  # board feet and cubic metres do not add up
        for name in ("net", "green"):
            volumes = [volume for tally in tallies if (volume := getattr(tally, name)) is not None]
            if volumes:
                return {"volume": sum(volumes), "unit": tallies[0].unit, "when": name}
        return {}

    def _of_readings(self, lots: Sequence[Entry[Lot]]) -> Mapping[str, Any]:
        """How many were read of how many asked for. Lots do not make up for each other: none is added up."""
        values: dict[str, Any] = {
            "readings": sum(self._read(lot.entity) for lot in lots),
            "asked_for": None,
        }
        asked = {
            lot.fact.lot: (self._pieces(final), final.asked_for.pieces)
            for lot in lots
            if (final := self.finals.get(lot.entity)) is not None and final.asked_for is not None
        }
        if len(lots) == 1:
            values["asked_for"] = next((many for _, many in asked.values()), None)
        else:
            values["short_lots"] = [lot for lot, (read, many) in asked.items() if read < many]
        return values

    @staticmethod
    def _pieces(final: FinalMoisture) -> int:
        """Pieces drawn and read. Those read by pins and again in the oven are no more pieces for it."""
        drawn = [one.whole.n for one in final.series if one.kind is not SeriesKind.SAMPLE_BOARDS]
        return max(drawn, default=0)

    def _tally(self, lot: Entry[Lot]) -> TallyFigures | None:
        lines = _of_lot(self.record.tally_line, lot.entity)
        if not lines:
            return None
        setting = next(
            (one.fact.value for one in current_entries(self.record.setting) if one.fact.setting == SETTING),
            None,
        )
        return tally_of(lines, lot.fact.volume_unit or VolumeUnit.BOARD_FEET, rounding_from(setting))

    def _heat(self) -> StepLine:
        if any(current_entries(self.record.heat_choice)):
            return StepLine(Step.HEAT, StepState.DONE)
        answer = self._answer(Step.HEAT, self.lot)
        return StepLine(Step.HEAT, StepState.OPTIONAL if answer is None else StepState.LEFT_OUT)

    def before(self) -> Iterator[Before]:
        if self.lot is None and self.record.particulars.unloaded_at is None:
            yield Before(Step.UNLOADING, Code.NOT_UNLOADED, Severity.LOOK, None, (Way.DO,))
        for entry in self.lots:
            for step in _EMPTY:
                yield from self._unanswered(step, entry.entity)
            yield from self._of_moisture(entry)
            yield from self._of_tally(entry)
        yield from self._of_meters()
        yield from self._of_heat()
        if not self._is_named():
            yield Before(Step.SEAL, Code.NO_NAME, Severity.NOTE)

    def _unanswered(self, step: Step, lot: str) -> Iterator[Before]:
        state = self._state(step, lot)
        if state is StepState.OPEN:
            ways = (Way.DO, Way.NONE_FOUND) if step is Step.DEFECTS else (Way.DO,)
            boards = self._boards(lot) if step is Step.FINAL_MOISTURE else 0
            yield Before(
                step, _EMPTY[step], Severity.LOOK, lot, (*ways, Way.LEAVE_OUT), values={"boards": boards}
            )
        elif state is StepState.LEFT_OUT:
            yield from self._left_out(step, lot)

    def _left_out(self, step: Step, lot: str | None) -> Iterator[Before]:
        answer = self._answer(step, lot)
        if answer is not None:
            boards = self._boards(lot) if lot is not None and step is Step.FINAL_MOISTURE else 0
            values = {"note": answer.fact.note or "", "boards": boards}
            yield Before(step, Code.LEFT_OUT, Severity.NOTE, lot, (Way.TAKE_UP,), values, answer.entity)

    def _boards(self, lot: str) -> int:
        series = self.finals[lot].series if lot in self.finals else ()
        return sum(one.whole.n for one in series if one.kind is SeriesKind.SAMPLE_BOARDS)

    def _of_moisture(self, entry: Entry[Lot]) -> Iterator[Before]:
        lot, step, final = entry.entity, Step.FINAL_MOISTURE, self.finals.get(entry.entity)
        if final is None:
            return
        limits, read = final.limits, self._pieces(final)
        if limits.refused is not None:
            values: Mapping[str, Any] = {"error": limits.refused}
            yield Before(step, Code.UNREADABLE_LIMITS, Severity.LOOK, lot, (Way.DO,), values)
        elif not limits.for_pieces and limits.average_low_pct is None and limits.average_high_pct is None:
            yield Before(step, Code.NO_LIMITS, Severity.NOTE, lot, (Way.DO,))
        if final.asked_for is not None and 0 < read < final.asked_for.pieces:
            values = {"read": read, "asked_for": final.asked_for.pieces, "named": final.asked_for.named}
            yield Before(step, Code.TOO_FEW, Severity.NOTE, lot, (Way.DO,), values)
        for series in final.series:
            if series.kind is SeriesKind.SAMPLE_BOARDS:
                continue
            whole = series.whole
            outside = whole.over if whole.inside is None else whole.n - whole.inside
            if outside:
                values = {"series": series, "limits": limits, "outside": outside}
                yield Before(step, Code.OUTSIDE, Severity.NOTE, lot, (), values)
            if series.average_inside is False:
                values = {"series": series, "limits": limits}
                yield Before(step, Code.AVERAGE_OUTSIDE, Severity.NOTE, lot, (), values)

    def _of_meters(self) -> Iterator[Before]:
        own = {entry.entity for entry in self.lots}
        used = [
            entry.fact.instrument
            for entry in current_entries(self.record.final_reading)
            if entry.fact.lot in own
        ]
        instruments = {entry.entity: entry.fact for entry in current_entries(self.record.instrument)}
        for one in dict.fromkeys(used):
            meter = instruments.get(one or "")
            if meter is None:
                continue
            code = Code.METER_NOT_CHECKED if meter.checked_at is None else Code.METER_CHECKED
            values = {"meter": meter.instrument, "checked_at": meter.checked_at, "at": self.at}
            yield Before(Step.FINAL_MOISTURE, code, Severity.NOTE, None, (), values)

    def _of_tally(self, entry: Entry[Lot]) -> Iterator[Before]:
        tally = self._tally(entry)
        if tally is not None and TallyRemark.GREW in tally.remarks:
            values = {"green": tally.green, "net": tally.net, "unit": tally.unit}
            yield Before(Step.TALLY, Code.MORE_NET, Severity.NOTE, entry.entity, (Way.DO,), values)

    def _is_named(self) -> bool:
        """Whether the papers name who hands them out; of what is sealed, whether they did by then."""
        closing = self.record.closing_of(self.lot)
        if closing is not None and (sealed := sealed_contents(closing.fact)) is not None:
            return bool((sealed.get("mill") or {}).get("name"))  # an altered text may lack it
        entries = (line.at(self.at, particulars=True) for line in self.record.setting)
        return any(e is not None and e.fact.setting == MILL_NAME and e.fact.value for e in entries)

    def _of_heat(self) -> Iterator[Before]:
        if any(current_entries(self.record.heat_choice)):
            return
        yield from self._left_out(Step.HEAT, self.lot)
        if self._answer(Step.HEAT, self.lot) is None and probes_read(self.record):
            yield Before(Step.HEAT, Code.PROBES_NOT_ASKED, Severity.NOTE, None, (Way.DO, Way.LEAVE_OUT))


def probes_read(record: ChargeRecord) -> bool:
    """Whether a probe of the wood, or of the air around it while it was heated, left any reading."""
    logged = any(entry.fact.placed_in is not None for entry in current_entries(record.logger_batch))
    return logged or any(current_entries(record.probe_reading))


def _of_lot(lines: Iterable[Any], lot: str) -> Sequence[Any]:
    return [entry.fact for entry in current_entries(lines) if entry.fact.lot == lot]
