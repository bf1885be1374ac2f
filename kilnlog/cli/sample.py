"""The sample logbook: in the window, or, where none can be shown, the whole job into a folder."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from kilnlog.cli.paths import ANY_PATH
from kilnlog.cli.reading import reading

if TYPE_CHECKING:
    from kilnlog.logbook.session import Logbook
    from kilnlog.records.moment import Moment

#: The charge of the sample that is mid-run with the day's weighings due.
CHARGE = "2026-14"
#: The one that is unloaded and being closed out, and whose lumber its first lot is.
CLOSED, OWNER = "2026-12", "Rowan Joinery"
FOLDER = "kilnlog-demo"


@click.command()
@click.option("--to", "to", type=ANY_PATH, default=None, help="The folder for the fresh copy.")
@click.pass_context
def demo(ctx: click.Context, to: Path | None) -> None:
    """Open a fresh copy of the sample logbook.

    Where no window can be shown it does the whole job without one, into a folder (by default kilnlog-demo,
    where it was called): sample logbook, a weigh sheet, a weighing round accepted, status, workbook, a charge
    closed out as it stands with its papers and its seal verified, pictures.
    """
    from kilnlog.logbook.clock import machine_clock
    from kilnlog.logbook.demo import clock_from, fresh_sample, sample_now
    from kilnlog.logbook.sample_folder import remove_sample, temporary_folder
    from kilnlog.logbook.wording import worded
    from kilnlog.ui.start import can_show, open_window

    why_not = can_show()
    if why_not is None:
        folder = to or temporary_folder()
        try:
            path = fresh_sample(folder)
            until = "" if to is not None else " It goes when the window is closed."
            click.echo(f"A fresh copy of the sample is in {path}; the original stays as it is.{until}")
            with reading(path) as book:
                clock = clock_from(sample_now(book), machine_clock)
            code = open_window(path, clock=clock)
        finally:
            if to is None and not remove_sample(folder):
                click.echo(f"What was written beside the sample stays in {folder}.")
        ctx.exit(code)
    folder = to or _free_name(Path.cwd() / FOLDER)
    click.echo(f"{worded(why_not).text} The demo goes on without a window, into {folder}.", err=True)
    do_without_window(folder)


def do_without_window(folder: Path) -> None:
    """The whole job: sample logbook, weigh sheet and round, status, workbook, a charge closed, pictures."""
    from kilnlog.logbook.demo import fresh_sample

    path = fresh_sample(folder)
    click.echo(f"sample logbook: {path}")
    with tempfile.TemporaryDirectory() as spare:
        # The pictures show the morning's round waiting, so they are made of the sample as it was before it.
        untouched = Path(shutil.copyfile(path, Path(spare) / path.name))
        said = _do_all(path, folder)
        _draw(untouched, folder / "pictures")
    click.echo(f"\n{said}")


def _do_all(path: Path, folder: Path) -> str:
    """What is done in the logbook, as on the morning the sample waits for. Returns the status as text."""
    from kilnlog.logbook.clock import machine_clock
    from kilnlog.logbook.demo import clock_from, sample_now
    from kilnlog.logbook.session import open_logbook

    with reading(path) as book:
        now = sample_now(book)
    after = now.plus_hours(1)  # the round takes a minute a board
    book = open_logbook(path, clock=clock_from(now, machine_clock))
    try:
        _write(book, "WEIGH_SHEET", folder, CHARGE)
        said = _weigh_and_hand_out(book, folder, now, after)
        _close_and_hand_out(replace(book, clock=clock_from(after, machine_clock)), folder, after)
    finally:
        book.close()
    return said


def _weigh_and_hand_out(book: Logbook, folder: Path, now: Moment, after: Moment) -> str:
    """Accept a weighing round; write status and workbook into the folder. Returns the status as text."""
    from kilnlog.cli.status_text import status_text
    from kilnlog.drying.assessment import assess
    from kilnlog.logbook.clock import machine_clock
    from kilnlog.logbook.demo import clock_from
    from kilnlog.logbook.demo_round import weigh_all
    from kilnlog.logbook.exporting import export
    from kilnlog.reference.tables import load

    charge = book.charge_numbered(CHARGE).entity
    kept = list(weigh_all(book, charge, load(), now))
    click.echo(f"weighing round: {len(kept)} weights accepted in charge {CHARGE}")
    record = book.file.charge_record(charge)
    said = status_text(record, assess(record, load(), after))
    (folder / "status.txt").write_text(said + "\n", encoding="utf-8")
    export(replace(book, clock=clock_from(after, machine_clock)), folder / f"{CHARGE}.xlsx", charge=charge)
    click.echo(f"status: {folder / 'status.txt'}\nworkbook: {folder / f'{CHARGE}.xlsx'}")
    return said


def _close_and_hand_out(book: Logbook, folder: Path, at: Moment) -> None:
    """Close the charge that is out of its kiln; write its papers; find its seal again by the short form."""
    from kilnlog.logbook.demo_close_out import close_as_it_stands
    from kilnlog.logbook.figures import count
    from kilnlog.logbook.seal_words import seal_line
    from kilnlog.logbook.seals import find_seal
    from kilnlog.reference.tables import load

    charge = book.charge_numbered(CLOSED).entity
    left_out, seal = close_as_it_stands(book, charge, load(), at)
    click.echo(f"charge {CLOSED} closed, {count(left_out, 'heading')} left out with the reason")
    _write(book, "QUALITY_RECORD", folder, CLOSED, owner=OWNER)
    _write(book, "CUSTOMER_WORKBOOK", folder, CLOSED, owner=OWNER)
    _write(book, "CHARGE_REPORT", folder, CLOSED)
    misfits = book.file.verify()
    found = find_seal(book, seal.short_form)
    if misfits or not found.fits:  # a defect of ours, and no demo then
        raise click.ClickException("what was just written does not fit its ledger")
    click.echo(f"verified: all {count(book.file.ledger_head().number, 'row')} fit. {seal_line(found)}")


def _write(book: Logbook, paper: str, folder: Path, number: str, owner: str | None = None) -> None:
    """Write a paper into the folder under the name it would be given in the window."""
    from kilnlog.logbook.papers import Paper, file_name, write_paper

    kind = Paper[paper]
    to = folder / file_name(kind, number, owner=owner)
    write_paper(book, kind, book.charge_numbered(number).entity, to, owner=owner)
    click.echo(f"{kind.value}: {to}")


def _draw(path: Path, folder: Path) -> None:
    """Make the pictures of the window, or say why there are none."""
    from kilnlog.cli.offscreen import cannot_draw
    from kilnlog.logbook.wording import worded

    if (why_not := cannot_draw()) is not None:
        click.echo(f"no pictures: {worded(why_not).text}")
        return
    from kilnlog.ui.pictures import save_pictures

    for made in save_pictures(folder, path):
        click.echo(f"picture: {made}")


def _free_name(folder: Path) -> Path:
    """The folder, or the first of its name with a number that is not there yet."""
    number, free = 1, folder
    while free.exists():
        number += 1
        free = folder.with_name(f"{folder.name}-{number}")
    return free
