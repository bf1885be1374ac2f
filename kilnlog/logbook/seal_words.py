"""What is said of a seal, in one line."""

from __future__ import annotations

from kilnlog.logbook import figures
from kilnlog.logbook.seals import Seal


def seal_line(seal: Seal) -> str:
    """What a short form stands for: the charge or lot, which of its seals, and as of when."""
    when = figures.weekday_date_and_time(seal.entry.at)
    later = "" if seal.in_force else " It was reopened since."
    if seal.replaced_by is not None:
        later = f" It was reopened since and sealed again: the newest seal is {seal.replaced_by}."
    if seal.brought_in:
        later += (
            " It was sealed in another logbook: its text is as it was there, its rows are not vouched for."
        )
    return f"Seal {seal.short_form} is {_what(seal)}, version {seal.version}, sealed as of {when}.{later}"


def unfit_line(seal: Seal) -> str:
    """That a seal is not verified."""
    return f"The seal of {_what(seal)}, version {seal.version}, is not verified: it is not as it was written."


def _what(seal: Seal) -> str:
    return f"lot {seal.lot} of charge {seal.charge}" if seal.lot is not None else f"charge {seal.charge}"
