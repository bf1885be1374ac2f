"""What needs a spreadsheet program is left out where there is none, and the run says so."""

from __future__ import annotations

import shutil

import pytest

HAS_SPREADSHEET = shutil.which("soffice") is not None

_RECALCULATED = ["test_recalculation.py", "papers/test_customer_workbook_recalculated.py"]
collect_ignore = [] if HAS_SPREADSHEET else _RECALCULATED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not HAS_SPREADSHEET:
        terminalreporter.write_line(
            "left out: the workbooks recalculated by a spreadsheet program (LibreOffice is not installed)"
        )
