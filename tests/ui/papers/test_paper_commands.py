"""Papers asked for by key, written as files, told at the foot; what fails is said and leaves nothing."""

import pypdf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog

from kilnlog.logbook.papers import Paper, file_name
from kilnlog.logbook.writing import write
from kilnlog.records.lot import Lot
from kilnlog.ui.papers.mill_dialog import MillDialog
from kilnlog.ui.papers.paper_dialog import PaperDialog
from tests.ui.boards import keep, press, settle
from tests.ui.conftest import dialog_with_keys


@pytest.fixture
def shown(monkeypatch):
    """What the system's viewer was asked to show."""
    asked = []
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: asked.append(url.toLocalFile()))
    return asked


@pytest.fixture
def answering(monkeypatch):
    """Let the file dialog answer with this path; what it offered is kept."""
    offered = []

    def answer(path):
        def save(parent, title, named, kind):
            offered.append(named)
            return str(path), ""

        monkeypatch.setattr(QFileDialog, "getSaveFileName", save)
        return offered

    return answer


def run(window, text):
    command, action = next(
        (command, action)
        for command, action in window.menu_row.menus._actions
        if command.text.replace("&", "").startswith(text)
    )
    assert action.isEnabled()
    command.run()


def settled(qtbot, window):
    qtbot.waitUntil(lambda: window.desk.operations.waiting == 0, timeout=20_000)


def text_of(path):
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


def test_a_quality_record_is_asked_for_by_key_written_and_shown(qtbot, window, answering, shown, tmp_path):
    offered = answering(tmp_path / "record.pdf")
    run(window, "Quality record")
    dialog = dialog_with_keys(qtbot, PaperDialog)
    assert dialog.rows["whose"].field.hasFocus()
    press(qtbot, Qt.Key.Key_End)
    keep(qtbot, dialog)
    settled(qtbot, window)
    number = window.desk.record.particulars.charge
    assert offered[0].endswith(f"{number} quality record.pdf")
    assert "Moisture so far" in text_of(tmp_path / "record.pdf")  # it is still in the kiln
    assert "not sealed" in text_of(tmp_path / "record.pdf").lower()
    assert window.foot.said.startswith("record.pdf written")
    assert shown == [str(tmp_path / "record.pdf")]


def test_one_owners_paper_tells_of_that_owner_alone(qtbot, window, answering, shown, tmp_path):
    desk = window.desk
    for label, owner in (("B", "Rowan Joinery"), ("C", "Vintrey / Daughter")):
        desk.do(write, Lot(desk.record.entity, label, owner, "red oak", "4/4"))
    settled(qtbot, window)
    offered = answering(tmp_path / "theirs")
    run(window, "Quality record")
    dialog = dialog_with_keys(qtbot, PaperDialog)
    field = dialog.rows["whose"].field
    assert [field.itemText(row) for row in range(field.count())] == [
        "all lots of Rowan Joinery",
        "all lots of Vintrey / Daughter",
        "lot A",
        "lot B, Rowan Joinery",
        "lot C, Vintrey / Daughter",
        "every lot, a page each",
    ]
    press(qtbot, Qt.Key.Key_Down)
    dialog.opens.setChecked(False)
    keep(qtbot, dialog)
    settled(qtbot, window)
    assert offered[0].endswith("Vintrey Daughter quality record.pdf")
    text = text_of(tmp_path / "theirs.pdf")
    assert "Vintrey / Daughter" in text
    assert "Rowan" not in text
    assert shown == []


@pytest.mark.parametrize(
    ("text", "title"),
    [("Charge report", "Charge report"), ("Weigh sheet", "Weigh sheet"), ("Board labels", "Charge 2026-02")],
)
def test_the_mills_own_papers_are_written(qtbot, window, answering, shown, tmp_path, text, title):
    answering(tmp_path / "out.pdf")
    run(window, text)
    keep(qtbot, dialog_with_keys(qtbot, PaperDialog))
    settled(qtbot, window)
    assert title in text_of(tmp_path / "out.pdf")


def test_a_folder_that_is_not_there_is_told_and_nothing_is_shown(qtbot, window, answering, shown, tmp_path):
    answering(tmp_path / "gone" / "out.pdf")
    run(window, "Weigh sheet")
    keep(qtbot, dialog_with_keys(qtbot, PaperDialog))
    qtbot.waitUntil(lambda: bool(window.refusal.text))
    assert "gone" in window.refusal.text
    assert shown == []
    assert list(tmp_path.glob("**/*.pdf*")) == []


def test_the_name_on_the_papers_is_kept_and_printed(qtbot, window, answering, shown, tmp_path):
    run(window, "Name on the papers")
    dialog = dialog_with_keys(qtbot, MillDialog)
    dialog.set_text("name", "Quillbeck Mill")
    dialog.set_text("place", "drying shed, Quillbeck")
    keep(qtbot, dialog)
    settle(qtbot, window.desk)
    answering(tmp_path / "out.pdf")
    run(window, "Charge report")
    keep(qtbot, dialog_with_keys(qtbot, PaperDialog))
    settled(qtbot, window)
    text = text_of(tmp_path / "out.pdf")
    assert "Quillbeck Mill" in text
    assert "drying shed, Quillbeck" in text
    settled(qtbot, window)
    qtbot.waitUntil(
        lambda: any(line.newest.fact.value == "Quillbeck Mill" for line in window.desk.shared.setting)
    )
    run(window, "Name on the papers")
    dialog = dialog_with_keys(qtbot, MillDialog)
    assert dialog.rows["name"].field.text() == "Quillbeck Mill"
    before = window.desk.record
    keep(qtbot, dialog)
    settle(qtbot, window.desk)
    assert window.desk.record is before


def test_names_sort_and_are_names_a_file_may_have():
    assert file_name(Paper.QUALITY_RECORD, "2026-12", "A") == "2026-12 A quality record.pdf"
    assert file_name(Paper.CUSTOMER_WORKBOOK, "2026/12", None, "Vintrey: Daughter.") == (
        "2026 12 Vintrey Daughter. customer workbook.xlsx"
    )
    assert file_name(Paper.WEIGH_SHEET, "..") == "weigh sheet.pdf"
