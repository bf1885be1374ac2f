"""A setting that travels with the record, because figures depend on it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting of the logbook."""

    setting: str  # its name, unique in a logbook
    value: str
