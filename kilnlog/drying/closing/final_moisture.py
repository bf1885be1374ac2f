"""A lot's final moisture: every series by itself, against the lot's limits, and how many pieces it takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kilnlog.drying.closing.figures import (
    FinalMoisture,
    Limits,
    NoSample,
    PairFigures,
    ReadingFigures,
    SampleFigures,
    SeriesFigures,
    SeriesKind,
    SeriesRemark,
    Withheld,
)
from kilnlog.drying.closing.intervals import intervals_of
from kilnlog.drying.closing.limits import limits_of
from kilnlog.drying.closing.readings import board_readings, method_of, pairs_of, read_twice, reading_figures
from kilnlog.drying.closing.sampling_plan import pieces_tallied, sample_asked_for
from kilnlog.drying.closing.statistics import average_inside, pack_figures, packs_of, share_reached
from kilnlog.drying.facts_at import Seen, in_order
from kilnlog.drying.figures import BoardFigures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.moment import Moment
from kilnlog.records.words import TemperatureRule
from kilnlog.reference.reading import plain_name
from kilnlog.reference.tables import Reference

#: The scale that the published equation is for.
_EQUATION_SCALE = "douglas fir"


def final_moisture(
    record: ChargeRecord,
    lot_entity: str,
    boards: Sequence[BoardFigures],
    reference: Reference,
    at: Moment,
    *,
    pieces: int | None = None,
) -> FinalMoisture:
    """What is known of a lot's final moisture.

    Intervals hold the share that the limits name, else ``tolerance_share_pct`` (90 %), with
    ``tolerance_confidence_pct`` (95 %): both common practice, no source.

    Args:
        record: The charge.
        lot_entity: The lot; KeyError where it is none of the charge, or was taken back.
        boards: The sample boards, as assessed at ``at``.
        reference: The published tables.
        at: Only what had been observed by then counts.
        pieces: In the lot; None: as its tally says, where that counts them.
    """
    line = next((line for line in record.lot if line.entity == lot_entity), None)
    lot = None if line is None else line.at(at, particulars=True)
    if lot is None:
        raise KeyError(lot_entity)
    charge = record.charge[0].at(at, particulars=True)
    limits = limits_of(lot.fact, (record.particulars if charge is None else charge.fact).target_mc_pct)
    if pieces is None:
        tally = (seen.fact for seen in in_order(record.tally_line, at))
        pieces = pieces_tallied([line for line in tally if line.lot == lot_entity])
    asked = sample_asked_for(pieces)
    asked_for = asked if isinstance(asked, SampleFigures) else None
    by_kind = _by_kind(in_order(record.final_reading, at), lot_entity, reference)
    by_kind[SeriesKind.SAMPLE_BOARDS] = board_readings(boards, lot_entity, lot.fact.out_at)
    return FinalMoisture(
        lot_entity=lot_entity,
        limits=limits,
        series=tuple(
            series_figures(kind, readings, limits, asked_for, reference)
            for kind, readings in by_kind.items()
            if readings
        ),
        pairs=tuple(_pairs(by_kind)),
        asked_for=asked_for,
        not_asked_because=asked if isinstance(asked, NoSample) else None,
    )


def series_figures(
    kind: SeriesKind,
    readings: Sequence[ReadingFigures],
    limits: Limits,
    asked_for: SampleFigures | None,
    reference: Reference,
) -> SeriesFigures:
    """The figures of one series, of one reading or more."""
    whole = pack_figures(readings, limits)
    remarks = tuple(_remarks(kind, readings))
    barred = Withheld.TWICE if SeriesRemark.PIECE_TWICE in remarks else None
    is_sample = kind is not SeriesKind.SAMPLE_BOARDS
    intervals = intervals_of(
        whole,
        limits,
        reference.limit("tolerance_share_pct") if limits.share_pct is None else limits.share_pct,
        reference.limit("tolerance_confidence_pct"),
        barred_by=barred if is_sample else Withheld.CHOSEN,
    )
    return SeriesFigures(
        kind=kind,
        method=method_of(kind, readings),
        readings=tuple(readings),
        whole=whole,
        packs=tuple(packs_of(readings, limits)),
        intervals=intervals.stated,
        withheld=intervals.withheld,
        bound=intervals.bound,
        remarks=remarks,
        average_inside=average_inside(whole, limits),
        share_reached=share_reached(whole, limits),
        read_enough=whole.n >= asked_for.pieces if asked_for is not None and is_sample else None,
    )


def _by_kind(
    seen: Sequence[Seen[FinalReading]], lot_entity: str, reference: Reference
) -> dict[SeriesKind, list[ReadingFigures]]:
    by_kind: dict[SeriesKind, list[ReadingFigures]] = {kind: [] for kind in SeriesKind}
    for reading in seen:
        if reading.fact.lot == lot_entity:
            by_kind[SeriesKind(reading.fact.kind.value)].append(reading_figures(reading, reference))
    return by_kind


def _pairs(by_kind: dict[SeriesKind, list[ReadingFigures]]) -> Iterator[PairFigures]:
    for kind in (SeriesKind.PIN_METER, SeriesKind.PINLESS_METER):
        yield from pairs_of(kind, by_kind[kind], by_kind[SeriesKind.OVEN_DRY])


def _remarks(kind: SeriesKind, readings: Sequence[ReadingFigures]) -> Iterator[SeriesRemark]:
    if any(reading.calibration_is_default for reading in readings):
        yield SeriesRemark.DEFAULT_CALIBRATION
    by_equation = [reading for reading in readings if reading.temperature_rule is TemperatureRule.EQUATION]
    settings = {plain_name(reading.species_setting) for reading in by_equation if reading.species_setting}
    if any(_EQUATION_SCALE not in setting for setting in settings):
        yield SeriesRemark.EQUATION_ON_SETTING
    if by_equation and kind is SeriesKind.PINLESS_METER:
        yield SeriesRemark.EQUATION_ON_PINLESS
    if read_twice(readings):
        yield SeriesRemark.PIECE_TWICE
