"""The same contents give the same bytes, whatever the hash seed, the zone or what was printed before."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from datetime import UTC, datetime

import pytest

from kilnlog.exchange.papers.board_labels import board_labels
from kilnlog.exchange.papers.charge_report import charge_report
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.quality_record import quality_record
from tests.exchange.papers import samples
from tests.exchange.papers.reading_back import reader_of

_PROGRAM = """
import hashlib
from tests.exchange.papers.test_same_bytes import all_papers
print(hashlib.sha256(all_papers()).hexdigest())
"""

OPTIONS = PaperOptions(short_form=samples.SHORT_FORM)


def all_papers() -> bytes:
    contents = samples.charge()
    return b"".join(
        paper.pdf
        for paper in (
            quality_record(contents, OPTIONS),
            charge_report(contents, OPTIONS),
            board_labels(contents, OPTIONS),
        )
    )


@pytest.mark.parametrize(
    ("seed", "zone"), [("0", "UTC"), ("1", "Asia/Kathmandu"), ("4711", "America/St_Johns")]
)
def test_hash_seed_zone_and_process_do_not_matter(seed: str, zone: str) -> None:
    environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": "C"}
    environment["SOURCE_DATE_EPOCH"] = f"12345{seed}"  # reportlab would take a date from it
    done = subprocess.run(
        [sys.executable, "-c", _PROGRAM], env=environment, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == hashlib.sha256(all_papers()).hexdigest()


def test_what_was_printed_before_does_not_matter() -> None:
    first = quality_record(samples.charge(), OPTIONS, lot="A").pdf
    charge_report(samples.empty(), OPTIONS)
    quality_record(samples.charge(), OPTIONS, lot="B")
    assert quality_record(samples.charge(), OPTIONS, lot="A").pdf == first


def test_another_figure_gives_other_bytes() -> None:
    contents = samples.charge()
    contents["lots"][0]["final"][0]["readings"][0]["mc_pct"] = 6.3
    assert (
        quality_record(contents, OPTIONS, lot="A").pdf
        != quality_record(samples.charge(), OPTIONS, lot="A").pdf
    )


def test_properties_tell_the_title_the_mill_and_the_moment_of_the_seal() -> None:
    reader = reader_of(quality_record(samples.charge(), OPTIONS, owner=samples.ROWAN).pdf)
    told = reader.metadata
    assert told is not None
    assert told.title == "Quality record, charge 2026-12, lot A, for Rowan Joinery"
    assert told.author == "Quillbeck Mill"
    assert told.creation_date == datetime(2026, 11, 13, 14, 12, tzinfo=UTC)
    assert reader.trailer["/Root"]["/Lang"] == "en"
    assert (
        reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"] is True
        or str(reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"]).lower() == "true"
    )
