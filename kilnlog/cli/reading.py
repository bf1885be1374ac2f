"""Commands that read: the register, and where a charge stands."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from kilnlog.cli.paths import ANY_PATH
from kilnlog.records.moment import Moment

if TYPE_CHECKING:
    from kilnlog.logbook.session import Logbook


@contextmanager
def reading(file: Path) -> Iterator[Logbook]:
    """The logbook, open for reading."""
    from kilnlog.logbook.session import open_logbook

    book = open_logbook(file, read_only=True)
    try:
        yield book
    finally:
        book.close()


@click.command()
@click.argument("file", type=ANY_PATH)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def charges(file: Path, as_json: bool) -> None:
    """List the charges of a logbook, open ones first."""
    from kilnlog.cli.register_text import register_json, register_text
    from kilnlog.logbook.register import register
    from kilnlog.reference.tables import load

    with reading(file) as book:
        now = book.now()
        lines = register(book, load(), now)
    if as_json:
        _print_json([register_json(line) for line in lines])
    else:
        click.echo(register_text(lines, now))


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@click.option("--at", "at", default=None, help="As of this time, YYYY-MM-DD HH:MM in the charge's zone.")
@click.option("--history", "as_history", is_flag=True, help="Once per weighing round, oldest first.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def status(file: Path, charge: str, at: str | None, as_history: bool, as_json: bool) -> None:
    """Show where CHARGE stands: boards, control, schedule, findings."""
    from kilnlog.cli.status_text import history_text, status_text
    from kilnlog.drying.assessment import assess
    from kilnlog.logbook.air_in_hand import digest_of, logger_series
    from kilnlog.logbook.status import history
    from kilnlog.logbook.status import status as figures_of
    from kilnlog.reference.tables import load

    with reading(file) as book:
        record = book.file.charge_record(book.charge_numbered(charge).entity)
        zone = record.particulars.zone
        moment = Moment.from_text(at, zone) if at is not None else book.now(zone)
        loggers = logger_series(book, record)
    assessment = assess(record, load(), moment, digest_of(loggers, record, load(), moment))
    if as_json:
        _print_json(history(record, assessment, loggers) if as_history else figures_of(record, assessment))
    else:
        click.echo(history_text(assessment) if as_history else status_text(record, assessment))


def _print_json(figures: object) -> None:
    is_utf8 = getattr(sys.stdout, "encoding", "").lower().replace("-", "") == "utf8"
    click.echo(json.dumps(figures, ensure_ascii=not is_utf8, indent=2, allow_nan=False))
