"""The command that reads a logger's file."""

from __future__ import annotations

import json
from pathlib import Path

import click

from kilnlog.cli.paths import ANY_PATH


@click.command(name="read-logger")
@click.argument("source", type=ANY_PATH)
@click.option("--into", "into", type=ANY_PATH, required=True, help="The logbook.")
@click.option("--charge", required=True, help="The charge the readings belong to.")
@click.option(
    "--clock",
    type=click.Choice(["local", "standard", "utc"]),
    default=None,
    help="What the logger's clock shows: local time with daylight saving (unless remembered otherwise), "
    "local standard time all year, or UTC.",
)
@click.option(
    "--dates",
    type=click.Choice(["day-first", "month-first", "year-first"]),
    default=None,
    help="How its dates are written, where the file does not show it.",
)
@click.option("--unit", type=click.Choice(["C", "F"]), default=None, help="Of its temperatures.")
@click.option(
    "--second", type=click.Choice(["wet", "rh"]), default=None, help="What stands beside the dry bulb."
)
@click.option("--sensor", default=None, help="The name its readings carry; by default the kiln's sensor.")
@click.option(
    "--probe",
    type=click.Choice(["core", "air", "none"]),
    default=None,
    help="A probe while the wood is heated: in the core of the wood, or in the air near it; none: a sensor "
    "of the kiln's air. By default what it was the last time.",
)
@click.option(
    "--column",
    type=click.IntRange(min=1),
    default=None,
    help="The column of the dry bulb, or of a probe's temperature, counted from 1.",
)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def read_logger(
    source: Path,
    into: Path,
    charge: str,
    clock: str | None,
    dates: str | None,
    unit: str | None,
    second: str | None,
    sensor: str | None,
    probe: str | None,
    column: int | None,
    as_json: bool,
) -> None:
    """Read SOURCE, a file written by a logger, into a charge: all that is new, or nothing."""
    from kilnlog.exchange.logger.format import DateOrder
    from kilnlog.exchange.logger.recognise import recognise_file
    from kilnlog.logbook.logger_settings import ReadAs, suggestion
    from kilnlog.logbook.logger_words import reading_text
    from kilnlog.logbook.reading_logger import read_logger as read
    from kilnlog.logbook.session import open_logbook
    from kilnlog.records.words import LoggerClock, SecondReading, TemperatureUnit

    form = recognise_file(source)
    answers: dict[str, object] = {}
    if clock is not None:
        answers["clock"] = LoggerClock(clock)
    if dates is not None:
        answers["date_order"] = DateOrder(dates.replace("-", " "))
    if unit is not None:
        answers["temperature_unit"] = TemperatureUnit(unit)
    if column is not None:
        if column > len(form.headings):
            raise click.UsageError(f"{source.name} has {len(form.headings)} columns.")
        answers["dry_column"] = column - 1
    read_as = None if probe is None else ReadAs.KILN_AIR if probe == "none" else ReadAs(probe)
    book = open_logbook(into)
    try:
        entity = book.charge_numbered(charge).entity
        suggested = suggestion(book, entity, form, sensor, read_as)
        if second is not None and suggested.form.second_column is not None:
            answers["second"] = SecondReading.RH if second == "rh" else SecondReading.WET_BULB
        form = suggested.form.answered(**answers)
        if form.dry_column == form.second_column:
            raise click.UsageError("In that column stands what is read beside the dry bulb.")
        reading = read(book, entity, source, form, sensor=suggested.sensor)
    finally:
        book.close()
    click.echo(
        json.dumps(reading.figures(), indent=2) if as_json else reading_text(reading, form, source.name)
    )
