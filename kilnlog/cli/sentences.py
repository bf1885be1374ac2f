"""Errors in the terminal: an operator's error is one sentence and exit code 2, never a traceback."""

from __future__ import annotations

import sys
from io import TextIOWrapper
from typing import Any

import click

from kilnlog.records.errors import KilnlogError

REFUSED = 2


class Sentences(click.Group):
    """A group whose commands may raise ``KilnlogError``; anything else is our defect and stays loud."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run the command line; a terminal that lacks a sign shows a question mark, not an error of ours."""
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, TextIOWrapper):
                stream.reconfigure(errors="replace")
        return super().main(*args, **kwargs)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; say the error's sentence on stderr where it raises one."""
        try:
            return super().invoke(ctx)
        except KilnlogError as error:
            from kilnlog.logbook.wording import worded

            click.echo(worded(error).text, err=True)
            ctx.exit(REFUSED)
