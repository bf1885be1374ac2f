"""Commands that write papers: quality record, charge report, weigh sheet, board labels, customer workbook."""

from __future__ import annotations

from pathlib import Path

import click

from kilnlog.cli.paths import ANY_PATH
from kilnlog.cli.reading import reading

_TO = click.option("--to", "to", type=ANY_PATH, required=True, help="The file; an older one is replaced.")
_OWNER = click.option("--owner", default=None, help="The lots of this owner alone.")
_LOT = click.option("--lot", default=None, help="This lot alone.")
_SEAL = click.option(
    "--seal", default=None, help="The short form of an earlier seal, to write the paper as it was issued."
)


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@_OWNER
@_LOT
@_SEAL
@_TO
def record(file: Path, charge: str, owner: str | None, lot: str | None, seal: str | None, to: Path) -> None:
    """Write the quality record of CHARGE, a page for each lot, as PDF."""
    _write("QUALITY_RECORD", file, charge, to, owner=owner, lot=lot, seal=seal)


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@_SEAL
@_TO
def report(file: Path, charge: str, seal: str | None, to: Path) -> None:
    """Write the mill's own report of CHARGE, of all owners, as PDF."""
    _write("CHARGE_REPORT", file, charge, to, seal=seal)


@click.command(name="weigh-sheet")
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@_TO
def weigh_sheet(file: Path, charge: str, to: Path) -> None:
    """Write a sheet for the clipboard with blank lines for the next round of CHARGE, as PDF."""
    _write("WEIGH_SHEET", file, charge, to)


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@_TO
def labels(file: Path, charge: str, to: Path) -> None:
    """Write labels for the sample boards of CHARGE, as PDF."""
    _write("BOARD_LABELS", file, charge, to)


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@_OWNER
@_LOT
@_SEAL
@_TO
def workbook(file: Path, charge: str, owner: str | None, lot: str | None, seal: str | None, to: Path) -> None:
    """Write the customer's workbook of CHARGE."""
    _write("CUSTOMER_WORKBOOK", file, charge, to, owner=owner, lot=lot, seal=seal)


def _write(
    paper: str,
    file: Path,
    charge: str,
    to: Path,
    *,
    owner: str | None = None,
    lot: str | None = None,
    seal: str | None = None,
) -> None:
    from kilnlog.logbook.papers import Paper, write_paper

    with reading(file) as book:
        entity = book.charge_numbered(charge).entity
        written = write_paper(book, Paper[paper], entity, to, owner=owner, lot=lot, short_form=seal)
    click.echo(f"The {Paper[paper].value} is {written.path}.")
    if written.not_verified:
        click.echo("NOT VERIFIED: the record is not what was sealed, and the paper says so.")
    elif Paper[paper] is not Paper.WEIGH_SHEET and Paper[paper] is not Paper.BOARD_LABELS:
        click.echo(f"Seal {written.short_form}." if written.short_form else "Not sealed: the charge is open.")
    if written.replaced:
        click.echo(f"No face has these letters; they are printed as □: {' '.join(written.replaced)}")
