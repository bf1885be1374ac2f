"""The unit a charge's weights are told in: the one its operator types."""

from __future__ import annotations

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import current_entries
from kilnlog.records.weight import Weight, WeightUnit
from kilnlog.records.words import ReadingKind


def weight_unit_of(record: ChargeRecord) -> WeightUnit:
    """The unit of the last weighing written, else of the last board's start weight, else grams."""
    weight = last_weight_typed(record)
    return weight.unit if weight is not None else WeightUnit.G


def last_weight_typed(record: ChargeRecord) -> Weight | None:
    """The weight of a sample board typed last, or None where none was."""
    weighings = [entry.fact.weight for entry in current_entries(record.weighing)]
    if weighings:
        return weighings[-1]
    boards = [entry.fact.start_weight for entry in current_entries(record.board)]
    return boards[-1] if boards else None


def piece_unit_of(record: ChargeRecord) -> WeightUnit:
    """The unit of small pieces, which have a scale of their own: of the oven-dried piece or the section
    weighed last, else of the boards."""
    pieces = [
        entry.fact.oven_dry_weight
        for entry in current_entries(record.final_reading)
        if entry.fact.kind is ReadingKind.OVEN_DRY and entry.fact.oven_dry_weight is not None
    ]
    if pieces:
        return pieces[-1].unit
    sections = [entry.fact.wet_weight for entry in current_entries(record.section)]
    return sections[-1].unit if sections else weight_unit_of(record)
