"""The unit a charge's weights are told in: the one its operator types."""

from __future__ import annotations

from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.version import current_entries
from kilnlog.records.weight import Weight, WeightUnit


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
