"""The plain closing: a charge's last row, with its final figures sealed as text."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from kilnlog import __version__
from kilnlog.drying.assessment import assess
from kilnlog.drying.figures import Assessment
from kilnlog.logbook.air_in_hand import air_digest
from kilnlog.logbook.changes import Changes
from kilnlog.logbook.errors import ClosingBeforeLast, NothingToClose
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.status import status
from kilnlog.logbook.writing import first_entry
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.closing import Closing
from kilnlog.records.moment import Moment
from kilnlog.records.version import current_entries
from kilnlog.reference.tables import Reference

#: Raised when the form of the sealed text changes, so that later versions can read every seal.
FORM = 1


def close_charge(book: Logbook, charge: str, at: Moment, reason: str | None, reference: Reference) -> Changes:
    """Close a charge: seal its final figures; it takes no further rows.

    Raises ``NothingToClose`` where it was never loaded, ``ClosingBeforeLast`` where something of it was
    observed later than ``at``.
    """
    with book.file.immediate():
        record = book.file.charge_record(charge)
        number = record.particulars.charge
        if record.particulars.loaded_at is None:
            raise NothingToClose(charge=number)
        last = last_observed(record)
        if last is not None and at < last:
            raise ClosingBeforeLast(charge=number, at=at, last=last)
        sealed = sealed_text(record, assess(record, reference, at, air_digest(book, record, reference, at)))
        fact = Closing(
            charge, (reason or "").strip() or None, sealed_text=sealed, program_version=__version__
        )
        kept = book.file.close_charge(first_entry(book, fact, at))
    return Changes.of([kept])


def sealed_text(record: ChargeRecord, assessment: Assessment) -> str:
    """The final figures as canonical JSON: names sorted, no spaces, numbers at full precision."""
    lots: list[dict[str, Any]] = [
        {"lot": lot.lot, "owner": lot.owner, "species": lot.species, "thickness": lot.thickness}
        | {"volume": lot.volume, "volume_unit": lot.volume_unit and lot.volume_unit.value}
        for lot in (entry.fact for entry in current_entries(record.lot))
    ]
    figures = {
        "form": FORM,
        "charge": record.particulars.charge,
        "kiln": assessment.kiln,
        "days": assessment.days,
        "target_mc_pct": assessment.target_mc_pct,
        "lots_described": lots,
        "status": status(record, assessment),
    }
    return json.dumps(figures, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def sealed_figures(closing: Closing) -> Mapping[str, Any]:
    """What a seal holds, empty where the charge was closed without figures (brought in from files)."""
    figures: Mapping[str, Any] = json.loads(closing.sealed_text) if closing.sealed_text else {}
    return figures


def last_observed(record: ChargeRecord) -> Moment | None:
    """When the last thing that stands in the record of the boards and the kiln was observed."""
    tables = (
        record.board,
        record.section,
        record.oven_weighing,
        record.weighing,
        record.recut,
        record.breakage,
        record.withdrawal,
        record.event,
        record.step_taken,
        record.air_reading,
        record.set_point,
        record.meter_check,
    )
    moments = [entry.at for lines in tables for entry in current_entries(lines)]
    loaded_and_unloaded = (record.particulars.loaded_at, record.particulars.unloaded_at)
    moments += [moment for moment in loaded_and_unloaded if moment is not None]
    return max(moments, default=None)
