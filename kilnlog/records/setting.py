"""A setting that travels with the record, because figures depend on it."""

from dataclasses import dataclass

#: How the pieces of a lot are read is a setting of this name, with the entity of the lot behind it.
TERMS_OF_LOT = "final readings: "


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting of the logbook."""

    setting: str  # its name, unique in a logbook
    value: str
