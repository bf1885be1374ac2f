"""Final readings as what they mean: a meter's figure with its corrections, an oven-dried piece, a board."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from kilnlog.drying.closing.figures import PairFigures, ReadingFigures, SeriesKind, SeriesMethod
from kilnlog.drying.closing.statistics import same_name
from kilnlog.drying.closing.temperature_correction import temperature_correction
from kilnlog.drying.facts_at import Seen
from kilnlog.drying.figures import BoardFigures, BoardState
from kilnlog.drying.moisture_content import moisture_content_pct
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.moment import Moment
from kilnlog.records.words import ReadingKind
from kilnlog.reference.tables import Reference

#: Decimals that are kept: beyond them there is only what binary fractions leave, and that would decide on
#: which side of a limit an exact half of a tenth is counted, as half a point in ten degrees often makes one.
_DECIMALS = 9


def reading_figures(seen: Seen[FinalReading], reference: Reference) -> ReadingFigures:
    """One final reading. Corrections add up: the temperature's first, then the species'.

    A meter reading is over where the figure it showed, or what the corrections make of it, is above
    ``meter_most_pct`` (30 %, Wood Handbook FPL-GTR-190, chapter 13): its MC is then not told.
    """
    fact = seen.fact
    if fact.kind is ReadingKind.OVEN_DRY:
        return _oven_dried(seen)
    shown = fact.reading_pct or 0.0
    correction = temperature_correction(fact, reference)
    mc_pct = round(shown + (correction.points or 0) + (fact.species_correction_pct or 0), _DECIMALS)
    over = max(shown, mc_pct) > reference.limit("meter_most_pct")
    return ReadingFigures(
        entity=seen.entity,
        pack=fact.pack,
        piece=fact.piece,
        read_at=seen.at,
        reading_pct=fact.reading_pct,
        mc_pct=None if over else mc_pct,
        over=over,
        extrapolated=correction.extrapolated,
        wood_temperature=fact.wood_temperature,
        temperature_unit=fact.temperature_unit,
        temperature_rule=fact.temperature_rule,
        calibration_temperature=correction.calibration_temperature,
        calibration_is_default=correction.calibration_is_default,
        temperature_correction_pct=correction.points,
        species_correction_pct=fact.species_correction_pct,
        instrument=fact.instrument,
        depth=fact.depth,
        species_setting=fact.species_setting,
        note=fact.note,
    )


def _oven_dried(seen: Seen[FinalReading]) -> ReadingFigures:
    fact = seen.fact
    wet, dry = fact.wet_weight, fact.oven_dry_weight
    return ReadingFigures(
        entity=seen.entity,
        pack=fact.pack,
        piece=fact.piece,
        read_at=seen.at,
        reading_pct=None,
        mc_pct=None if wet is None or dry is None else round(moisture_content_pct(wet.g, dry.g), _DECIMALS),
        instrument=fact.instrument,
        wet_weight=wet,
        oven_dry_weight=dry,
        note=fact.note,
    )


def board_readings(
    boards: Iterable[BoardFigures], lot_entity: str, left_at: Moment | None = None
) -> list[ReadingFigures]:
    """The last MC of a lot's sample boards in the kiln, those withdrawn left out, in walking order."""
    return [
        ReadingFigures(
            entity=board.entity,
            pack=None,
            piece=board.board,
            read_at=last[0],
            reading_pct=None,
            mc_pct=last[1],
        )
        for board in boards
        if board.lot_entity == lot_entity
        and board.state is not BoardState.WITHDRAWN
        and (last := _last_mc(board, left_at)) is not None
    ]


def _last_mc(board: BoardFigures, left_at: Moment | None) -> tuple[Moment, float] | None:
    """When a board was last weighed in the kiln, and its MC then."""
    if board.mc_pct is None or board.since is None:
        return None
    if left_at is None or board.since <= left_at:
        return board.since, board.mc_pct
    known = [
        (point.at, point.mc_pct) for point in board.points if point.at <= left_at and point.mc_pct is not None
    ]
    return known[-1] if known else None


def method_of(kind: SeriesKind, readings: Sequence[ReadingFigures]) -> SeriesMethod:
    """How a series was read."""
    is_meter = kind in (SeriesKind.PIN_METER, SeriesKind.PINLESS_METER)
    return SeriesMethod(
        instruments=_each_once(reading.instrument for reading in readings),
        depths=_each_once(reading.depth for reading in readings),
        species_settings=_each_once(reading.species_setting for reading in readings),
        temperature_rules=tuple(dict.fromkeys(reading.temperature_rule for reading in readings if is_meter)),
    )


def _each_once(words: Iterable[str | None]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for word in words if word))


def read_twice(readings: Iterable[ReadingFigures]) -> bool:
    """Whether a piece, by pack and name, was read more than once; pieces of no name are different ones."""
    names = [_piece(reading) for reading in readings if same_name(reading.piece)]
    return len(set(names)) < len(names)


def pairs_of(
    kind: SeriesKind, by_meter: Iterable[ReadingFigures], by_oven: Sequence[ReadingFigures]
) -> list[PairFigures]:
    """Meter readings whose piece was oven-dried as well: same pack, same name, dried once.

    Readings over the range make no pair.
    """
    dried: dict[tuple[str, str], list[float]] = {}
    for reading in by_oven:
        if reading.mc_pct is not None and same_name(reading.piece):
            dried.setdefault(_piece(reading), []).append(reading.mc_pct)
    pairs = []
    for reading in by_meter:
        oven = dried.get(_piece(reading), [])
        if reading.mc_pct is not None and reading.piece is not None and len(oven) == 1:
            pairs.append(PairFigures(kind, reading.pack, reading.piece, reading.mc_pct, oven[0]))
    return pairs


def _piece(reading: ReadingFigures) -> tuple[str, str]:
    return same_name(reading.pack), same_name(reading.piece)
