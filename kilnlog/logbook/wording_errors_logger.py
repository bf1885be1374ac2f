"""What an error about a logger's file says."""

from __future__ import annotations

from collections.abc import Mapping

LOGGER_ERRORS: Mapping[str, tuple[str, str]] = {
    "logger-unrecognised": (
        "[{file}: ]This is no file of a logger that can be read.",
        "Let the logger's own program write it as text with columns, a time and figures in each row.",
    ),
    "logger-unrecognised: empty": ("[{file}: ]The file is empty.", "Read the logger out again."),
    "logger-unrecognised: binary": (
        "[{file}: ]This is not a text file.",
        "Let the logger's own program, or the spreadsheet, save it as CSV or text.",
    ),
    "logger-unrecognised: no-rows": (
        "[{file}: ]No line holds a date, a time and a figure.",
        "The columns must be divided by commas, semicolons or tabs.",
    ),
    "logger-unrecognised: no-figures": (
        "[{file}: ]There are times, but no column that could be a temperature or a humidity.",
        "Let the logger's own program write those columns as well.",
    ),
    "logger-unclear": ("{file} can be read in two ways: {why}.", "Say which is right; nothing was taken in."),
    "logger-unclear: date order": (
        "The dates in {file} can be read day first or month first, and nothing in it decides.",
        "Say which: --dates day-first or --dates month-first. Nothing was taken in.",
    ),
    "logger-unclear: temperature unit": (
        "{file} does not say whether its temperatures are °C or °F.",
        "Say which: --unit C or --unit F. Nothing was taken in.",
    ),
    "logger-unclear: second reading": (
        "{file} does not say whether the column beside the dry bulb is the wet bulb or RH.",
        "Say which: --second wet or --second rh. Nothing was taken in.",
    ),
    "logger-unclear: dry bulb": (
        "The headings of {file} do not say which column is the dry bulb, or the probe’s temperature.",
        "Say which: --column 3 for the third, or choose it in the window. Nothing was taken in.",
    ),
    "followed-file-gone": (
        "{path} is not there; it is still looked for.",
        "Readings kept stay kept; it goes on once the logger writes the file again.",
    ),
    "following-stopped": ("{file} is followed no more.", "Follow it again when it suits; nothing is lost."),
    "following-stopped: other-logbook": (
        "{file} is followed no more, since another logbook was opened.",
        "Follow it again for charge {charge} once its logbook is open; what came since stands in the file.",
    ),
    "following-stopped: failed": (
        "{file} is followed no more: the program failed as it read what came. That is a defect.",
        "What is kept stays kept, and the file was not touched. Follow it again, or read it in as a whole.",
    ),
    "look-failed": (
        "The program failed as it read {file}. That is a defect.",
        "What is kept stays kept, and the file was not touched.",
    ),
    "following-stopped: charge-closed": (
        "{file} is followed no more: charge {charge} takes no further rows.",
        "Follow it for the charge that is in the kiln now.",
    ),
    "logger-cancelled": ("Reading {path} was stopped; nothing was kept.", "Start it again when it suits."),
}
