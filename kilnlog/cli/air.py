"""The command that works out the air."""

from __future__ import annotations

import json

import click


@click.command()
@click.option("--dry", required=True, help="Dry bulb with its unit: 160F, 71C.")
@click.option("--wet", default=None, help="Wet bulb with its unit.")
@click.option("--depression", default=None, help="Dry less wet bulb, with its unit.")
@click.option("--rh", default=None, help="Relative humidity, %.")
@click.option("--emc", default=None, help="Equilibrium moisture content, %.")
@click.option("--altitude", default="0m", show_default=True, help="With its unit: 300m, 1000ft.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def air(
    dry: str,
    wet: str | None,
    depression: str | None,
    rh: str | None,
    emc: str | None,
    altitude: str,
    as_json: bool,
) -> None:
    """Work out the air from its dry bulb and one more reading."""
    from kilnlog.logbook.air_question import air_from
    from kilnlog.logbook.air_words import air_text

    if sum(reading is not None for reading in (wet, depression, rh, emc)) != 1:
        raise click.UsageError("Give exactly one of --wet, --depression, --rh and --emc.")
    asked = air_from(dry, wet=wet, depression=depression, rh_pct=rh, emc=emc, altitude=altitude)
    click.echo(json.dumps(asked.figures(), indent=2) if as_json else air_text(asked))
