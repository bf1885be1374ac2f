"""How the logbook's tallies are rounded: a setting, so that every paper of the mill is worked out alike."""

from __future__ import annotations

from kilnlog.drying.closing.tally import Rounding

#: The name of the setting that holds the option by name.
SETTING = "tally rounding"


def rounding_from(setting: str | None) -> Rounding:
    """The option in force: exact volume where none was chosen, or one this version does not know."""
    return next((option for option in Rounding if option.value == setting), Rounding.EXACT)
