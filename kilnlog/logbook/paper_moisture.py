"""Final moisture as papers tell of it: limits, series, intervals, pairs."""

from __future__ import annotations

from kilnlog.drying.closing.figures import (
    FinalMoisture,
    IntervalFigures,
    Limits,
    PackFigures,
    ReadingFigures,
    SeriesFigures,
)
from kilnlog.exchange.papers.contents import (
    IntervalPart,
    LimitsPart,
    PackPart,
    PairPart,
    ReadingPart,
    SamplePart,
    SeriesPart,
)
from kilnlog.logbook import figures, final_words
from kilnlog.logbook.paper_told import Told


def limits_part(limits: Limits) -> LimitsPart:
    """What the pieces were asked to be."""
    return {
        "target_mc_pct": limits.target_mc_pct,
        "low_pct": limits.low_pct,
        "high_pct": limits.high_pct,
        "average_low_pct": limits.average_low_pct,
        "average_high_pct": limits.average_high_pct,
        "share_pct": limits.share_pct,
        "named": limits.named,
        "standing": limits.standing.value if limits.standing is not None else None,
        "remark": " ".join(final_words.limits_remarks(limits)) or None,
    }


def series_parts(told: Told, final: FinalMoisture) -> list[SeriesPart]:
    """Every series by itself."""
    return [_series(told, one) for one in final.series]


def pair_parts(final: FinalMoisture) -> list[PairPart]:
    """The same piece by meter and by oven."""
    return [
        {
            "piece": f"{pair.pack} {pair.piece}" if pair.pack else pair.piece,
            "meter_pct": pair.meter_pct,
            "oven_pct": pair.oven_pct,
            "difference_pct": pair.difference_pct,
        }
        for pair in final.pairs
    ]


def asked_part(final: FinalMoisture) -> SamplePart | None:
    """How many pieces should have been read."""
    asked = final.asked_for
    if asked is None:
        return None
    return {
        "pieces": asked.pieces,
        "accepted_outside": asked.accepted_outside,
        "of_lot_of": asked.of_lot_of,
        "named": asked.named,
        "standing": asked.standing.value,
    }


def how_read(told: Told, series: SeriesFigures) -> str:
    """Instrument, depth, setting and rule of correction, in words."""
    method = series.method
    names = {line.entity: line.newest.fact.instrument for line in told.record.instrument}
    parts = [names[entity] for entity in method.instruments if entity in names]
    parts += [f"{depth} deep" for depth in method.depths]
    parts += [f"set to {setting}" for setting in method.species_settings]
    parts += [final_words.temperature_rule(rule) for rule in method.temperature_rules]
    return ", ".join(parts)


def _series(told: Told, series: SeriesFigures) -> SeriesPart:
    names = {line.entity: line.newest.fact.instrument for line in told.record.instrument}
    used = [names[entity] for entity in series.method.instruments if entity in names]
    intervals = [_interval(one) for one in series.intervals]
    if (bound := series.bound) is not None:
        intervals.append(
            {
                "kind": "normal",
                "low_pct": None if bound.is_upper else bound.at_pct,
                "high_pct": bound.at_pct if bound.is_upper else None,
                "share_pct": bound.share_pct,
                "confidence_pct": bound.confidence_pct,
                "factor": bound.factor,
            }
        )
    return {
        "kind": series.kind.value,
        "how": how_read(told, series),
        "instrument": ", ".join(used) or None,
        "instruments": used,
        "readings": [_reading(one) for one in series.readings],
        "whole": _pack(series.whole),
        "packs": [_pack(one) for one in series.packs],
        "intervals": intervals,
        "remarks": [final_words.series_remark(one) for one in series.remarks],
        "withheld": list(final_words.withheld(series.withheld)),
    }


def _reading(one: ReadingFigures) -> ReadingPart:
    return {
        "pack": one.pack,
        "piece": one.piece,
        "read_at": one.read_at.iso(),
        "reading_pct": one.reading_pct,
        "wood_temperature": one.wood_temperature,
        "temperature_unit": one.temperature_unit.value if one.temperature_unit is not None else None,
        "temperature_correction_pct": one.temperature_correction_pct,
        "species_correction_pct": one.species_correction_pct,
        "mc_pct": one.mc_pct,
        "over": one.over,
        "extrapolated": one.extrapolated,
        "wet_weight": figures.as_typed(one.wet_weight) if one.wet_weight is not None else None,
        "oven_dry_weight": figures.as_typed(one.oven_dry_weight) if one.oven_dry_weight is not None else None,
        "note": one.note,
    }


def _pack(pack: PackFigures) -> PackPart:
    return {
        "pack": pack.pack,
        "n": pack.n,
        "over": pack.over,
        "inside": pack.inside,
        "below": pack.below,
        "above": pack.above,
        "mean_pct": pack.mean_pct,
        "sd_pct": pack.sd_pct,
        "lowest_pct": pack.lowest_pct,
        "highest_pct": pack.highest_pct,
    }


def _interval(one: IntervalFigures) -> IntervalPart:
    return {
        "kind": one.kind.value,
        "low_pct": one.low_pct,
        "high_pct": one.high_pct,
        "share_pct": one.share_pct,
        "confidence_pct": one.confidence_pct,
        "factor": one.factor,
    }
