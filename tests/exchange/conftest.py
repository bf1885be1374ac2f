"""What needs a spreadsheet program is left out where there is none, and the run says so."""

from __future__ import annotations

import shutil

import pytest

HAS_SPREADSHEET = shutil.which("soffice") is not None

collect_ignore = [] if HAS_SPREADSHEET else ["test_recalculation.py"]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not HAS_SPREADSHEET:
        terminalreporter.write_line(
            "left out: the workbook recalculated by a spreadsheet program (LibreOffice is not installed)"
        )
