"""Commands about the file as a whole: new, import, export, verify, backup."""

from __future__ import annotations

from pathlib import Path

import click

from kilnlog.cli.paths import ANY_PATH
from kilnlog.cli.reading import reading
from kilnlog.logbook.errors import NotAWorkbookName
from kilnlog.logbook.figures import count


@click.command()
@click.argument("file", type=ANY_PATH)
def new(file: Path) -> None:
    """Make an empty logbook."""
    from kilnlog.logbook.session import new_logbook

    new_logbook(file).close()
    click.echo(f"{file} is an empty logbook. Open it with: kilnlog open {file}")


@click.command(name="import")
@click.argument("source", type=ANY_PATH)
@click.option("--into", "into", type=ANY_PATH, required=True, help="The logbook; made if it is not there.")
def import_(source: Path, into: Path) -> None:
    """Read SOURCE, a folder of CSV files or a workbook, into a logbook: all of it or nothing."""
    from kilnlog.logbook.importing import import_file

    changes = import_file(source, into)
    rows, charges = count(len(changes.entries), "row"), count(len(changes.charges), "charge")
    click.echo(f"{into} took {rows} of {charges}.")


@click.command()
@click.argument("file", type=ANY_PATH)
@click.option("--charge", default=None, help="This charge alone.")
@click.option("--owner", default=None, help="What belongs to this owner alone.")
@click.option("--to", "to", type=ANY_PATH, required=True, help="OUT.xlsx.")
def export(file: Path, charge: str | None, owner: str | None, to: Path) -> None:
    """Write a workbook: readable sheets first, the tables as typed behind them."""
    from kilnlog.logbook.exporting import export as write

    if to.suffix.lower() != ".xlsx":
        raise NotAWorkbookName(name=to.name)
    with reading(file) as book:
        entity = book.charge_numbered(charge).entity if charge is not None else None
        write(book, to, charge=entity, owner=owner)
    click.echo(f"The workbook is {to}.")


@click.command()
@click.argument("file", type=ANY_PATH)
@click.option(
    "--seal", default=None, help="The short form printed at the foot of a paper, to be found again."
)
@click.pass_context
def verify(ctx: click.Context, file: Path, seal: str | None) -> None:
    """Check every row of the logbook against its ledger; exit code 1 where something does not fit."""
    from kilnlog.logbook.seal_words import seal_line, unfit_line
    from kilnlog.logbook.seals import all_seals, find_seal
    from kilnlog.logbook.wording import worded_misfit

    with reading(file) as book:
        head = book.file.ledger_head()  # first: what others write meanwhile is not vouched for
        misfits = book.file.verify(head)
        for misfit in misfits:
            click.echo(worded_misfit(misfit))
        unfit_seals = [one for one in all_seals(book) if not one.fits]
        for one in unfit_seals:
            click.echo(unfit_line(one))
        if seal is not None:
            click.echo(seal_line(find_seal(book, seal)))
    if misfits or unfit_seals:
        unfit = count(len(misfits) + len(unfit_seals), "thing does", "things do")
        click.echo(f"{unfit} not fit. Keep this file, and go back to a backup.")
        ctx.exit(1)
    click.echo(f"All {count(head.number, 'ledger row')} fit. Ledger head {head.hash_hex}.")


@click.command()
@click.argument("file", type=ANY_PATH)
@click.option("--to", "to", type=ANY_PATH, default=None, help="The folder; by default beside the logbook.")
def backup(file: Path, to: Path | None) -> None:
    """Copy the logbook, checked, under a name with the number of its rows."""
    from kilnlog.logbook.backing_up import backup as copy

    with reading(file) as book:
        made = copy(book, to)
    click.echo(f"The backup is {made}.")
