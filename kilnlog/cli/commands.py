"""The command line: every verb of the window, typed."""

from __future__ import annotations

import click

from kilnlog import __version__
from kilnlog.cli.air import air
from kilnlog.cli.files import backup, export, import_, new, verify
from kilnlog.cli.heat import heat
from kilnlog.cli.logger import read_logger
from kilnlog.cli.papers import labels, record, report, weigh_sheet, workbook
from kilnlog.cli.reading import charges, status
from kilnlog.cli.sample import demo
from kilnlog.cli.sentences import Sentences
from kilnlog.cli.window import curve, open_, open_in_window, pictures


@click.group(cls=Sentences, invoke_without_command=True)
@click.version_option(__version__, prog_name="kilnlog")
@click.pass_context
def main(ctx: click.Context) -> None:
    """A logbook for drying lumber in a small kiln.

    Without a command it opens the window on the logbook last in hand.
    """
    if ctx.invoked_subcommand is None:
        open_in_window(ctx, None)


for command in (
    open_,
    demo,
    new,
    import_,
    read_logger,
    charges,
    status,
    export,
    record,
    report,
    workbook,
    weigh_sheet,
    labels,
    curve,
    pictures,
    verify,
    backup,
    air,
    heat,
):
    main.add_command(command)
