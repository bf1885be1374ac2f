"""Refusals of loggers' files: codes and values, worded elsewhere."""

from kilnlog.records.errors import KilnlogError


class LoggerUnrecognised(KilnlogError):
    """The file is no logger's file that can be read.

    Values: why (empty / binary / no-rows / no-figures), file (its name, where it is known).
    """

    code = "logger-unrecognised"


class LoggerUnclear(KilnlogError):
    """Something about the file can be read in two ways and was not answered.

    Values: why (a word of ``Unsure``), file.
    """

    code = "logger-unclear"


class LoggerCancelled(KilnlogError):
    """Stopped on request; nothing was kept. Values: path."""

    code = "logger-cancelled"
