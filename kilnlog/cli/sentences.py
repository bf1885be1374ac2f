"""Errors in the terminal: an operator's error is a sentence and exit code 2, never a traceback."""

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
        """Run the command; say on stderr the sentence of the error it raises, of an import each mistake."""
        try:
            return super().invoke(ctx)
        except KilnlogError as error:
            from kilnlog.exchange.errors import ImportRefused
            from kilnlog.logbook.wording import worded, worded_problems

            lines = worded_problems(error) if isinstance(error, ImportRefused) else (worded(error).text,)
            for line in lines:
                click.echo(line, err=True)
            ctx.exit(REFUSED)
