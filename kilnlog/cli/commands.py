"""The command line."""

import click


@click.group()
def main() -> None:
    """Kilnlog: a logbook for drying lumber in a small kiln."""
