"""The same verbs typed in a terminal. Only this floor knows click."""

from kilnlog.cli.commands import main

__all__ = ["main"]
