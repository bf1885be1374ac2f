"""The command that asks the probes of a charge for their heat."""

from __future__ import annotations

import json
from pathlib import Path

import click

from kilnlog.cli.paths import ANY_PATH
from kilnlog.cli.reading import reading


@click.command()
@click.argument("file", type=ANY_PATH)
@click.argument("charge")
@click.option("--at-least", "at_least", required=True, help="The threshold with its unit: 56C, 133F.")
@click.option("--for", "duration", required=True, help="How long without a break: 30min, 24h.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def heat(file: Path, charge: str, at_least: str, duration: str, as_json: bool) -> None:
    """Tell the longest unbroken time with every probe in the wood of CHARGE at a temperature or above it."""
    from kilnlog.logbook.heat import asked_from, heat_answer
    from kilnlog.logbook.heat_words import heat_text

    asked = asked_from(at_least, duration)
    with reading(file) as book:
        answer = heat_answer(book, book.file.charge_record(book.charge_numbered(charge).entity), asked)
    click.echo(json.dumps(answer.figures(), indent=2) if as_json else heat_text(answer))
