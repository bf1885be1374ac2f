"""Everything a close-out found, in brief, as it will stand on the record: for a last look at it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kilnlog.drying.closing.figures import FinalMoisture, SeriesFigures, SeriesKind
from kilnlog.drying.closing.stress import stress_of
from kilnlog.logbook import figures, final_words
from kilnlog.logbook.close_out_steps import CloseOut, Step, StepState
from kilnlog.logbook.close_out_words import (
    SERIES_NAMES,
    TITLES,
    asked_for_words,
    asked_words,
    consequence,
    step_line,
    tolerance_words,
)
from kilnlog.logbook.register_words import OWN_STOCK
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.version import Entry, current_entries


@dataclass(frozen=True, slots=True)
class Part:
    """One section: its title, rows of name and figure, and sentences below them."""

    title: str
    rows: tuple[tuple[str, str], ...]
    sentences: tuple[str, ...] = ()


def review(
    close_out: CloseOut, record: ChargeRecord, now: Moment, *, sealed: bool = False
) -> tuple[Part, ...]:
    """The charge, then each lot by itself; as it will stand, or as it stands under the seal."""
    lots = (_lot(close_out, record, lot, now, sealed=sealed) for lot in close_out.lots)
    return (_charge(close_out, record, now, sealed=sealed), *lots)


def _charge(close_out: CloseOut, record: ChargeRecord, now: Moment, *, sealed: bool) -> Part:
    rows = tuple(
        (TITLES[step], step_line(close_out.line(step), now, sealed=sealed) or figures.EMPTY)
        for step in (Step.UNLOADING, Step.HEAT)
    )
    notes = record.particulars.notes
    return Part(f"Charge {record.particulars.charge}", rows, (f"Notes: {notes}",) if notes else ())


def _lot(close_out: CloseOut, record: ChargeRecord, lot: Entry[Lot], now: Moment, *, sealed: bool) -> Part:
    fact = lot.fact
    wood = " ".join(part for part in (fact.thickness, fact.species) if part)
    what = ", ".join(part for part in (wood, fact.owner or OWN_STOCK) if part)
    final = close_out.finals.get(lot.entity)
    rows = [("Asked for", asked_words(final.limits))] if final is not None else []
    sentences: list[str] = []
    if final is not None:
        rows += [(f"Final moisture, {SERIES_NAMES[one.kind]}", _series(one)) for one in final.series]
        sentences += _moisture_sentences(final)
    rows += list(_tests(record, lot.entity))
    rows += [
        (TITLES[line.step], step_line(line, now))
        for line in close_out.of_lots[lot.entity]
        if line.step in (Step.DEFECTS, Step.TALLY) and line.state in (StepState.DONE, StepState.NONE_FOUND)
    ]
    own = [one for one in close_out.before if one.lot == lot.entity and one.answer is not None]
    own += [one for one in close_out.missing if one.lot == lot.entity]
    sentences += [consequence(one, sealed=sealed) for one in own]
    return Part(f"Lot {fact.lot}, {what}", tuple(rows), tuple(dict.fromkeys(sentences)))


def _series(series: SeriesFigures) -> str:
    whole = series.whole
    inside = f", {whole.inside} inside" if whole.inside is not None else ""
    over = f", {whole.over} over 30 %" if whole.over else ""
    spread = f", SD {figures.number(whole.sd_pct, 2)}" if whole.sd_pct is not None else ""
    what = "board" if series.kind is SeriesKind.SAMPLE_BOARDS else "piece"
    return f"{figures.count(whole.n, what)}{inside}{over}; mean {figures.mc(whole.mean_pct)} %{spread}"


def _moisture_sentences(final: FinalMoisture) -> Iterator[str]:
    for series in final.series:
        yield from tolerance_words(series)
        yield from (final_words.series_remark(remark) for remark in series.remarks)
    if final.asked_for is not None:
        # Sample boards were picked, not drawn: they are none of the pieces asked for.
        drawn = [one.whole.n for one in final.series if one.kind is not SeriesKind.SAMPLE_BOARDS]
        yield asked_for_words(max(drawn, default=0), final.asked_for)
    yield from final_words.limits_remarks(final.limits)


def _tests(record: ChargeRecord, lot: str) -> Iterator[tuple[str, str]]:
    tests = [entry.fact for entry in current_entries(record.stress_test) if entry.fact.lot == lot]
    if tests:
        for count in stress_of(tests).counts:
            yield f"Stress, {count.kind.value}", f"{count.passed} of {count.tested} passed"
