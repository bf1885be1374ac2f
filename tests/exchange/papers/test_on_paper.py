"""On the sheet: nothing runs over an edge, text has contrast in grey, colours are the window's."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from kilnlog.exchange.papers import page
from kilnlog.exchange.papers.board_labels import board_labels
from kilnlog.exchange.papers.charge_report import charge_report
from kilnlog.exchange.papers.contents import Contents
from kilnlog.exchange.papers.options import PaperOptions, PaperSize, Printed
from kilnlog.exchange.papers.quality_record import quality_record
from kilnlog.ui.look import tokens
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import reader_of, shapes, text_of


def crowded() -> Contents:
    """Names as long as anybody would give them, in every place a name may stand."""
    contents = samples.charge()
    long = "Timber-framing Co-operative of the Upper Valley and Both Banks of the River"
    contents["lots"][0]["owner"] = long
    contents["lots"][0]["limits"]["named"] = f"order of {long}, 6 to 8 %"
    contents["lots"][0]["final"][0]["how"] = f"read by {long} with the pin meter in the third bay of the shed"
    contents["boards"][0]["board"] = "the long one beside the north wall"
    contents["charge"]["kiln"] = long
    contents["mill"] = {"name": long, "place": long}
    contents["instruments"][0]["check_result"] = long * 3
    for reading in contents["lots"][0]["final"][0]["readings"]:
        reading["pack"] = "north stack, upper half"
        reading["note"] = "a knot under one of the pins"
    contents["lots"][0]["final"][0] = samples.series(
        contents["lots"][0]["final"][0]["readings"], contents["lots"][0]["limits"], how=long
    )
    return contents


PAPERS = {
    "ordinary": lambda: quality_record(samples.charge(), PaperOptions(PaperSize.LETTER), lot="A"),
    "three series": lambda: quality_record(samples.charge(), PaperOptions(), lot="B"),
    "crowded": lambda: quality_record(crowded(), PaperOptions(piece_by_piece=True), lot="A"),
    "report": lambda: charge_report(crowded(), PaperOptions(PaperSize.LETTER)),
    "empty": lambda: quality_record(samples.empty(), PaperOptions()),
    "labels": lambda: board_labels(crowded(), PaperOptions()),
}


@pytest.mark.parametrize("name", PAPERS)
def test_nothing_runs_over_an_edge(name: str, tmp_path: Path) -> None:
    """Shapes by their points; ink by rasterising with poppler's pdftoppm where it is installed."""
    paper = PAPERS[name]()
    assert text_of(paper.pdf).strip()
    for number, sheet in enumerate(reader_of(paper.pdf).pages):
        width, height = float(sheet.mediabox.width), float(sheet.mediabox.height)
        points = [point for _, _, _, told in shapes(paper.pdf, number) for point in told]
        assert points
        assert all(18 <= x <= width - 18 and 18 <= y <= height - 18 for x, y in points)
    if shutil.which("pdftoppm"):
        for picture in rasterised(paper, tmp_path):
            assert picture.min() < 100  # there is ink
            rim = int(14 / 72 * 60)
            for edge in (picture[:rim], picture[-rim:], picture[:, :rim], picture[:, -rim:]):
                assert edge.min() == 255


def rasterised(paper: Printed, folder: Path) -> list[np.ndarray]:  # type: ignore[type-arg]  # of bytes
    """Each page in grey, 60 dots to the inch."""
    (folder / "paper.pdf").write_bytes(paper.pdf)
    subprocess.run(["pdftoppm", "-r", "60", "-gray", "paper.pdf", "page"], cwd=folder, check=True)
    pictures = []
    for file in sorted(folder.glob("page-*.pgm")):
        kind, size, _, data = file.read_bytes().split(b"\n", 3)
        assert kind == b"P5"
        width, height = map(int, size.split())
        pictures.append(np.frombuffer(data, dtype=np.uint8).reshape(height, width))
    assert len(pictures) == paper.pages
    return pictures


def luminance(colour: object) -> float:
    """Relative luminance as WCAG 2.2 defines it (W3C Recommendation, relative luminance)."""
    parts = [colour.red, colour.green, colour.blue]  # type: ignore[attr-defined]  # a reportlab Color
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


ON_WHITE = [(colour, 1.0) for colour in (page.INK, page.INK2, page.PENCIL, page.LOOK)]
ON_GROUNDS = [(page.INK2, luminance(page.PALE)), (page.INK2, luminance(page.BAND))]


@pytest.mark.parametrize(("colour", "ground"), ON_WHITE + ON_GROUNDS)
def test_text_can_be_read_without_colour(colour: object, ground: float) -> None:
    """Contrast by luminance alone, as a grey printer shows it: WCAG 2.2 asks 4.5 of text."""
    assert (ground + 0.05) / (luminance(colour) + 0.05) >= 4.5


def test_colours_are_those_of_the_window() -> None:
    light = tokens.LIGHT
    for name in ("ink", "ink2", "pencil", "rule", "margin", "edge", "look", "band", "dry", "wet"):
        ours = getattr(page, name.upper())
        assert f"#{ours.hexval()[2:]}".upper() == str(getattr(light, name)).upper()
