"""The wheel alone is a whole kilnlog: no checkout near it, no network."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

from kilnlog import __version__

TOP = Path(__file__).parents[2]
MINUTES = 5 * 60


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(TOP)]
    subprocess.run(build, check=True, capture_output=True, timeout=MINUTES)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of an environment that holds this wheel; its dependencies are borrowed from the running one.

    A path added by a ``.pth`` file stands behind the environment's own packages, and ``.pth`` files lying
    there are not read: an editable install of the checkout stays out of sight.
    """
    home = tmp_path_factory.mktemp("installed")
    venv.create(home, with_pip=False, symlinks=True)
    python = home / "bin" / "python"
    install = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        str(python),
        "install",
        "--no-deps",
        "--no-index",
        str(wheel),
    ]
    subprocess.run(install, check=True, capture_output=True, timeout=MINUTES)
    packages = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_paths()['purelib'])"],
        check=True, capture_output=True, text=True, timeout=MINUTES,
    ).stdout.strip()  # fmt: skip
    borrowed = {sysconfig.get_paths()[name] for name in ("purelib", "platlib")}
    (Path(packages) / "borrowed.pth").write_text("\n".join(sorted(borrowed)) + "\n", encoding="utf-8")
    return home


def run(installed: Path, folder: Path, *words: str) -> str:
    """What a command of the installed environment prints, called from a folder away from the checkout."""
    kept_out = ("PYTHON", "DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    surroundings = {name: value for name, value in os.environ.items() if not name.startswith(kept_out)}
    done = subprocess.run(
        [installed / "bin" / words[0], *words[1:]],
        cwd=folder, env=surroundings, capture_output=True, text=True, check=False, timeout=MINUTES,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_wheel_carries_tables_fonts_and_the_sample_logbook(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    travels = [
        path
        for top in ("resources", "sample_db")
        for path in (TOP / top).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    ]
    assert len(travels) > 20
    assert {f"kilnlog/{path.relative_to(TOP).as_posix()}" for path in travels} <= inside


def test_the_wheel_carries_no_tests_and_no_paths(wheel: Path) -> None:
    inside = zipfile.ZipFile(wheel)
    assert {name.partition("/")[0] for name in inside.namelist()} == {
        "kilnlog",
        f"kilnlog-{__version__}.dist-info",
    }
    texts = [name for name in inside.namelist() if name.endswith((".py", ".csv", "METADATA", "RECORD"))]
    assert [name for name in texts if str(TOP).encode() in inside.read(name)] == []


def test_it_runs_from_the_wheel_and_nowhere_else(installed: Path, tmp_path: Path) -> None:
    where = run(installed, tmp_path, "python", "-c", "import kilnlog; print(kilnlog.__file__)").strip()
    assert Path(where).is_relative_to(installed)
    assert __version__ in run(installed, tmp_path, "kilnlog", "--version")


def test_the_sample_logbook_is_at_hand_without_a_checkout(installed: Path, tmp_path: Path) -> None:
    ask = "import kilnlog, pathlib; print(pathlib.Path(kilnlog.__file__).parent / 'sample_db')"
    sample = run(installed, tmp_path, "python", "-c", ask).strip()
    run(installed, tmp_path, "kilnlog", "import", sample, "--into", "sample.kilnlog")
    charges = json.loads(run(installed, tmp_path, "kilnlog", "charges", "sample.kilnlog", "--json"))
    numbers = {line["charge"] for line in (charges["charges"] if isinstance(charges, dict) else charges)}
    assert {"2026-14", "2026-15", "2026-16", "2026-17"} <= numbers


def test_the_demo_does_the_whole_job_where_there_is_no_display(installed: Path, tmp_path: Path) -> None:
    run(installed, tmp_path, "kilnlog", "demo")
    made = tmp_path / "kilnlog-demo"
    assert (made / "sample.kilnlog").stat().st_size > 0
    assert "2026-14" in (made / "status.txt").read_text(encoding="utf-8")
    assert zipfile.is_zipfile(made / "2026-14.xlsx")
    assert {"boards_light.png", "curve_dark.png", "register_light.png"} <= {
        path.name for path in made.rglob("*.png")
    }
