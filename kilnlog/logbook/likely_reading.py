"""A final reading beyond what meters show or wood holds, and what would fit had a decimal mark slipped."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from kilnlog.drying.moisture_content import moisture_content_pct
from kilnlog.logbook import figures
from kilnlog.records.final_reading import FinalReading

#: Finished wood is hardly drier [% MC]: below it a slip explains nothing. Common practice, no source.
DRIEST_PCT = 4.0
_SLIPS = (10, 100)


def reading_doubts(fact: FinalReading, most_pct: float, wettest_pct: float) -> Iterator[str]:
    """Of a meter's figure above ``most_pct``, more so above ``wettest_pct``."""
    read = fact.reading_pct
    if read is None or read <= most_pct:
        return
    likely = next((read / slip for slip in _SLIPS if DRIEST_PCT <= read / slip <= most_pct), None)
    meant = f" Was {figures.trimmed(likely, 4)} % meant? Then type that." if likely is not None else ""
    shown, most = figures.trimmed(read), figures.trimmed(most_pct)
    kept = "it is kept, shown as “over 30”, counted outside and enters no mean."
    if read > wettest_pct:
        yield (
            f"{shown} % is far above {most} %, which a meter measures to, and above "
            f"{figures.trimmed(wettest_pct)} %, which wood hardly ever holds.{meant} Insisted on, {kept}"
        )
    else:
        yield f"{shown} % is above {most} %, which a meter does not measure.{meant} Insisted on, {kept}"


def oven_doubts(fact: FinalReading, most_pct: float, wettest_pct: float) -> Iterator[str]:
    """Of an oven-dried piece whose two weights make it wetter than wood is."""
    wet, dry = fact.wet_weight, fact.oven_dry_weight
    if wet is None or dry is None or not dry.grams:
        return
    found = moisture_content_pct(float(wet.grams), float(dry.grams))
    if found <= wettest_pct:
        return
    meant = ""
    for name, first, second in _slipped(wet.grams, dry.grams):
        likely = moisture_content_pct(float(first), float(second))
        if 0 <= likely <= most_pct:
            meant = f" With the decimal mark of {name} moved it would be {figures.mc(likely)} %."
            break
    yield (
        f"{wet.text} wet and {dry.text} oven-dry make {figures.trimmed(found, 0)} % MC; above "
        f"{figures.trimmed(wettest_pct)} % is hardly ever seen.{meant} Are both as the scale showed them?"
    )


def _slipped(wet: Decimal, dry: Decimal) -> Iterator[tuple[str, Decimal, Decimal]]:
    for slip in _SLIPS:
        yield "the oven-dry weight", wet, dry * slip
        yield "the wet weight", wet / slip, dry
