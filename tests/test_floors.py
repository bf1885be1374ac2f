"""The lower floors stand without a window, a database or a workbook."""

import json
import subprocess
import sys

import pytest

PROGRAM = """
import importlib, json, pkgutil, sys
floor = importlib.import_module(sys.argv[1])
names = [module.name for module in pkgutil.walk_packages(floor.__path__, floor.__name__ + ".")]
for name in names:
    importlib.import_module(name)
print(json.dumps({"imported": names, "loaded": sorted(sys.modules)}))
"""
KEPT_OUT = {"PySide6", "shiboken6", "pyqtgraph", "sqlite3", "sqlite_utils", "openpyxl", "reportlab", "click"}


def imported_by(floor: str) -> tuple[set[str], set[str]]:
    """All modules of a floor, imported in a fresh interpreter, and the top names that came with them."""
    ran = subprocess.run([sys.executable, "-c", PROGRAM, floor], capture_output=True, text=True, check=True)
    told = json.loads(ran.stdout)
    return set(told["imported"]), {name.partition(".")[0] for name in told["loaded"]}


@pytest.mark.parametrize(
    ("floor", "module"),
    [
        ("kilnlog.records", "kilnlog.records.weighing"),
        ("kilnlog.reference", "kilnlog.reference.tables"),
        ("kilnlog.drying", "kilnlog.drying.moisture_content"),
    ],
)
def test_a_lower_floor_brings_no_window_database_or_workbook(floor: str, module: str) -> None:
    imported, loaded = imported_by(floor)
    assert module in imported
    assert not loaded & KEPT_OUT


def test_the_store_does_bring_its_database() -> None:
    """So that the check above is known to see what it looks for."""
    _, loaded = imported_by("kilnlog.store")
    assert "sqlite3" in loaded
