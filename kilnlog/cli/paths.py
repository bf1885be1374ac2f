"""The kinds of path the commands take."""

from __future__ import annotations

from pathlib import Path

import click

#: Whether a file is there, and ours, is said by the store in the operator's words, not by click in its own.
ANY_PATH = click.Path(path_type=Path)
