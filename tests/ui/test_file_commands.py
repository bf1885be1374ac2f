"""Files from the window: opened, brought in, handed out, verified, backed up; what failed is said."""

import openpyxl
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.demo import sample_tables
from kilnlog.logbook.session import new_logbook, open_logbook
from kilnlog.logbook.writing import write
from kilnlog.records.lot import Lot
from kilnlog.ui.file_commands import SHOWN_AFTER_MS
from kilnlog.ui.operations import Progress
from kilnlog.ui.register.owner_dialog import OwnerDialog, file_name_of
from tests.seal.tampering import rebuilt
from tests.ui.boards import keep, press
from tests.ui.conftest import NOW, dialog_with_keys, open_book


@pytest.fixture
def answering(monkeypatch):
    """Let the next file dialog answer with this path."""

    def answer(path):
        for name in ("getOpenFileName", "getSaveFileName"):
            monkeypatch.setattr(QFileDialog, name, lambda *given: (str(path), ""))
        monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *given: str(path))

    return answer


def settled(qtbot, window):
    qtbot.waitUntil(lambda: window.desk.operations.waiting == 0, timeout=20_000)


def test_the_workbook_of_the_charge_is_written(qtbot, window, answering, tmp_path):
    answering(tmp_path / "out")
    window.files.export_charge()
    settled(qtbot, window)
    assert window.foot.said.startswith("out.xlsx written")
    book = openpyxl.load_workbook(tmp_path / "out.xlsx")
    assert len(book.sheetnames) > 5
    book.close()


def test_the_workbook_of_one_owner_holds_that_owners_lots_alone(qtbot, window, answering, tmp_path):
    desk = window.desk
    for label, owner in (("B", "Rowan Joinery"), ("C", "rowan  joinery"), ("D", "Vintrey / Daughter")):
        desk.do(write, Lot(desk.record.entity, label, owner, "red oak", "4/4"))
    settled(qtbot, window)
    answering(tmp_path / "out.xlsx")
    window.files.export_for_owner()
    dialog = dialog_with_keys(qtbot, OwnerDialog)
    field = dialog.rows["owner"].field
    assert [field.itemText(row) for row in range(field.count())] == ["Rowan Joinery", "Vintrey / Daughter"]
    press(qtbot, Qt.Key.Key_Down)
    keep(qtbot, dialog)
    settled(qtbot, window)
    assert window.foot.said.startswith("out.xlsx written")
    book = openpyxl.load_workbook(tmp_path / "out.xlsx")
    texts = {str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value}
    book.close()
    assert "Vintrey / Daughter" in texts
    assert not [text for text in texts if "rowan" in text.casefold()]


def test_a_charge_of_own_stock_has_no_owner_to_write_for(window):
    assert window.desk.record.particulars.charge == "2026-02"
    assert window.files.owners() == ()
    action = next(
        action
        for command, action in window.menu_row.menus._actions
        if command.text == "Tables for one &owner…"
    )
    assert not action.isEnabled()


def test_a_name_no_file_may_have_is_made_one():
    assert file_name_of("Vintrey / Daughter: Ltd.") == "Vintrey   Daughter  Ltd"


def test_a_logbook_that_fits_its_ledger_is_said_to(qtbot, window):
    window.files.verify()
    settled(qtbot, window)
    assert "ledger rows fit" in window.foot.said


def test_a_seal_whose_ledger_was_worked_out_anew_is_said_not_to_be_verified(qtbot, window):
    """Every row fits the ledger then; only the sealed text still names the head it was written on."""
    desk = window.desk
    desk.do(close_charge, desk.record.entity, desk.now(), "sold", desk.reference)
    settled(qtbot, window)
    assert desk.record.is_closed
    with rebuilt(desk.path) as other:
        other.execute("UPDATE lot SET species = 'white oak'")
    window.files.verify()
    settled(qtbot, window)
    assert window.refusal.text.splitlines() == [
        f"The seal of charge {charge}, version 1, is not verified: it is not as it was written."
        for charge in ("2026-01", "2026-02")
    ]


def test_a_backup_opens_as_a_logbook(qtbot, window, answering, tmp_path):
    folder = tmp_path / "safe"
    folder.mkdir()
    answering(folder)
    window.files.back_up()
    settled(qtbot, window)
    (made,) = folder.iterdir()
    copy = open_logbook(made, read_only=True)
    assert len(copy.file.charges()) == 3
    copy.close()


def test_a_folder_is_read_in_and_shown(qtbot, window, answering, tmp_path):
    empty = tmp_path / "empty.kilnlog"
    new_logbook(empty, clock=lambda: NOW).close()
    open_book(qtbot, window.desk, empty)
    answering(sample_tables())
    window.files.import_folder()
    settled(qtbot, window)
    qtbot.waitUntil(lambda: len(window.register.model.lines) > 5)
    assert window.foot.said.endswith("07:46:02")
    assert not window.desk.can_undo


def test_what_cannot_be_read_in_is_said_with_its_place(qtbot, window, answering, tmp_path):
    folder = tmp_path / "tables"
    folder.mkdir()
    (folder / "kilns.csv").write_text("kiln,capacity\nNorth barn,large\n", encoding="utf-8")
    answering(folder)
    window.files.import_folder()
    settled(qtbot, window)
    assert "kilns" in window.refusal.text
    assert "capacity" in window.refusal.text
    assert len(window.desk.lines) == 3


def test_a_new_logbook_is_made_where_asked_and_never_over_another(
    qtbot, window, answering, tmp_path, book_path
):
    answering(book_path)
    before = book_path.read_bytes()
    window.files.new()
    settled(qtbot, window)
    assert window.refusal.text
    assert book_path.read_bytes() == before
    answering(tmp_path / "fresh")
    window.files.new()
    qtbot.waitUntil(lambda: window.desk.path == tmp_path / "fresh.kilnlog")
    qtbot.waitUntil(window.register.empty.isVisible)


def test_the_sample_opens_on_its_own_morning_with_weights_due(qtbot, window):
    window.files.open_sample()
    qtbot.waitUntil(lambda: len(window.register.model.lines) > 5, timeout=30_000)
    assert window.last_file is None
    line = next(line for line in window.register.model.lines if line.number == "2026-14")
    assert "to weigh" in line.due


def test_a_long_operation_shows_how_far_it_is_and_can_be_stopped(qtbot, window):
    asked = []

    def work(book, progress: Progress):
        while not progress.cancelled():
            progress.report(0.4)  # as often as it can: the window must not drown in it
        asked.append("stopped")

    window.files.run_long("Counting", work, lambda _: None)
    qtbot.wait(SHOWN_AFTER_MS // 5)
    assert window.foot._bar.isHidden()
    qtbot.waitUntil(window.foot._bar.isVisible)
    assert (window.foot.said, window.foot._bar.value()) == ("Counting", 40)
    window.foot._stop.click()
    settled(qtbot, window)
    assert asked == ["stopped"]
    assert window.foot._bar.isHidden()


def test_keys_that_find_no_room_stay_away(qtbot, window):
    window.foot.set_keys([(f"Ctrl {number}", "does something of some length") for number in range(12)])
    shown = [not hint.isHidden() for hint in window.foot._hints]
    assert shown == sorted(shown, reverse=True)
    assert 0 < sum(shown) < 12
    assert window.minimumSizeHint().width() <= 1366
