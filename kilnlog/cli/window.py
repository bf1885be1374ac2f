"""Commands that show something: the window, the curve, the pictures. Qt is loaded inside them."""

from __future__ import annotations

import tempfile
from pathlib import Path

import click

from kilnlog.cli.offscreen import cannot_draw
from kilnlog.cli.paths import ANY_PATH
from kilnlog.cli.reading import reading
from kilnlog.logbook.errors import NoPictureKind


def open_in_window(ctx: click.Context, path: Path | None) -> None:
    """Open the window and leave with its exit code; raises where it cannot be shown."""
    from kilnlog.ui.start import can_show, open_window

    if (why_not := can_show()) is not None:
        raise why_not
    ctx.exit(open_window(path))


@click.command(name="open")
@click.argument("file", type=ANY_PATH, required=False)
@click.pass_context
def open_(ctx: click.Context, file: Path | None) -> None:
    """Open the window on FILE, or on the logbook last in hand."""
    open_in_window(ctx, file)


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@click.option("--to", "to", type=ANY_PATH, required=True, help="OUT.png or OUT.svg.")
def curve(file: Path, charge: str, to: Path) -> None:
    """Save the drying curve of CHARGE as a picture."""
    if to.suffix.lower() not in (".png", ".svg"):
        raise NoPictureKind(name=to.name)
    if (why_not := cannot_draw()) is not None:
        raise why_not
    from kilnlog.logbook.charge_in_hand import charge_in_hand
    from kilnlog.reference.tables import load
    from kilnlog.ui.pictures import save_curve

    with reading(file) as book:
        line = book.charge_numbered(charge)
        now = book.now(line.newest.fact.zone)
        record, air = charge_in_hand(book, line.entity, load(), now)
    save_curve(record, air, now, to)
    click.echo(f"The curve of {charge} is in {to}.")


@click.command()
@click.option("--to", "to", type=ANY_PATH, required=True, help="The folder the pictures go into.")
def pictures(to: Path) -> None:
    """Make the pictures of the window, from the sample logbook, into a folder."""
    if (why_not := cannot_draw()) is not None:
        raise why_not
    from kilnlog.logbook.demo import fresh_sample
    from kilnlog.ui.pictures import save_pictures

    to.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        for made in save_pictures(to, fresh_sample(Path(folder))):
            click.echo(made)
