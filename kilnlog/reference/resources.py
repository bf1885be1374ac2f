"""The one door to the files that travel with the program."""

from importlib.resources import files
from pathlib import Path


def resource(*names: str) -> Path:
    """A file or folder under ``resources``: inside the installed package, else at the top of the checkout."""
    package = Path(str(files("kilnlog")))
    inside = package / "resources"
    root = inside if inside.is_dir() else package.parent / "resources"
    return root.joinpath(*names)
