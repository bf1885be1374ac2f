"""The window around the views: commands, refusals, reading only, help, preferences, start."""

import json
import os
import shutil

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QDialog

from kilnlog import __version__
from kilnlog.logbook.session import open_logbook
from kilnlog.logbook.wording import worded
from kilnlog.records.errors import KilnlogError
from kilnlog.ui import can_show as asking
from kilnlog.ui.can_show import can_show, library_named
from kilnlog.ui.commands import MenuName
from kilnlog.ui.errors import DEBIAN_PACKAGES, MissingSystemLibrary, NoDisplay
from kilnlog.ui.help_pages import HELP_PAGES, help_text, show_about, show_help
from kilnlog.ui.look.tokens import TOKENS
from kilnlog.ui.operations import Operations
from kilnlog.ui.preferences import Preferences, keep_look, load_preferences, save_preferences
from kilnlog.ui.window import MainWindow
from tests.ui.conftest import NOW, open_book


def commands(window):
    return {action.text().replace("&", ""): action for _, action in window.menu_row.menus._actions}


def test_the_bars_leave_the_room_the_plan_gives_them(window):
    assert (window.strip.height(), window.menu_row.height(), window.foot.height()) == (60, 34, 30)


@pytest.mark.parametrize("size", ["regular", "large", "largest"])
def test_the_window_fits_1366_by_700_at_every_size(window, size):
    window.appearance.set_size(size)
    QApplication.processEvents()
    assert window.minimumSizeHint().width() <= 1366
    assert window.minimumSizeHint().height() <= 700


def test_views_are_chosen_by_key_and_by_tab(qtbot, window):
    for key, number in ((Qt.Key.Key_2, 1), (Qt.Key.Key_3, 2), (Qt.Key.Key_1, 0)):
        qtbot.keyClick(window, key, Qt.KeyboardModifier.ControlModifier)
        assert (window.menu_row.tabs.number, window.stack.currentIndex()) == (number, number)


def test_every_key_is_given_to_one_command_only(window):
    keys = [
        action.shortcut().toString()
        for action in commands(window).values()
        if not action.shortcut().isEmpty()
    ]
    assert len(keys) == len(set(keys))
    assert {"Ctrl+N", "Ctrl+O", "Ctrl+Z", "Ctrl+E", "F1"} <= set(keys)


def test_a_command_that_cannot_work_is_disabled(window):
    window.menu_row.menus.refresh()
    here = commands(window)
    assert not here["Kiln loaded…"].isEnabled()
    assert here["Kiln unloaded…"].isEnabled()


def test_a_refusal_is_told_in_words_until_it_is_understood(qtbot, window):
    class Refused(KilnlogError):
        code = "nothing-to-take-back"

    window.desk.refused.emit(Refused())
    assert window.refusal.text == worded(Refused()).text
    window.refusal._close.click()
    assert window.refusal.text == ""


def test_nothing_to_take_back_says_so(qtbot, window):
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.refusal.text


def test_a_second_window_reads_and_says_so(qtbot, window, book_path):
    window.desk.operations.close()
    holder = open_logbook(book_path, clock=lambda: NOW)
    try:
        window.desk.operations = Operations()
        open_book(qtbot, window.desk, book_path)
        assert window.desk.read_only is not None
        assert window.read_only.text == worded(window.desk.read_only).text
        here = commands(window)
        assert not here["New charge…"].isVisible()
        assert here["Versions of charge and lots…"].isVisible()
        assert window.register.new_button.isHidden()
        window.tell_refusal(window.desk.read_only)
        assert window.refusal.text == ""  # it stands above already, and once is enough
    finally:
        holder.close()


def test_a_file_that_is_not_ours_leaves_the_open_one_in_hand(qtbot, window, tmp_path):
    other = tmp_path / "notes.kilnlog"
    other.write_text("not a logbook")
    window.files.open_path(other)
    qtbot.waitUntil(lambda: bool(window.refusal.text))
    assert window.desk.record is not None
    assert other.read_text() == "not a logbook"


@pytest.mark.parametrize(("page", "title", "key"), HELP_PAGES)
def test_each_help_page_is_there_and_opens(qtbot, window, page, title, key):
    reader = show_help(window, window.appearance, page)
    assert isinstance(reader, QDialog)
    assert len(help_text(page)) > 400
    reader.close()


def test_about_names_the_version(qtbot, window):
    reader = show_about(window, window.appearance)
    assert __version__ in reader.findChildren(type(reader.focusWidget()))[0].toPlainText()
    reader.close()


def test_cautions_defer_to_local_codes():
    text = help_text("cautions")
    assert all(word in text for word in ("oven", "icrowave", "local", "codes"))


def test_every_button_and_field_has_a_name(qtbot, window):
    nameless = []

    def walk(node):
        if node is None:
            return
        roles = (QAccessible.Role.PushButton, QAccessible.Role.EditableText, QAccessible.Role.Table)
        state = node.state()
        if node.role() in roles and not state.invisible and not node.text(QAccessible.Text.Name):
            nameless.append(node.object())
        for number in range(node.childCount()):
            walk(node.child(number))

    walk(QAccessible.queryAccessibleInterface(window))
    assert nameless == []


def test_preferences_come_back_and_damage_falls_back(tmp_path):
    path = tmp_path / "deep" / "window.json"
    liked = Preferences("dark", "large", "/somewhere/mill.kilnlog", "AAAA")
    save_preferences(liked, path)
    assert load_preferences(path) == liked
    path.write_text(json.dumps({"mode": "mauve", "size_name": 7, "last_file": "x", "other": 1}))
    assert load_preferences(path) == Preferences(last_file="x")
    path.write_text("{")
    assert load_preferences(path) == Preferences()
    shutil.rmtree(tmp_path / "deep")
    assert load_preferences(path) == Preferences()


def test_no_display_is_said(monkeypatch):
    why = can_show({})
    assert isinstance(why, NoDisplay)
    assert why.values["why"] == "none"
    assert worded(why).text


def test_an_unreachable_display_is_said():
    why = can_show({"DISPLAY": "nowhere.invalid:77"})
    # Where the libraries of X themselves are missing, those are named first.
    assert isinstance(why, NoDisplay | MissingSystemLibrary)
    assert worded(why).text
    if isinstance(why, NoDisplay):
        assert "nowhere.invalid:77" in worded(why).text


def test_a_chosen_platform_and_wayland_need_no_display():
    assert can_show({"QT_QPA_PLATFORM": "offscreen"}) is None
    assert can_show({"WAYLAND_DISPLAY": "wayland-0"}) is None


def test_a_missing_library_is_named_with_the_remedy(monkeypatch):
    def missing(name):
        raise ImportError("libEGL.so.1: cannot open shared object file: No such file or directory")

    monkeypatch.setattr(asking, "import_module", missing)
    why = can_show({"QT_QPA_PLATFORM": "offscreen"})
    assert isinstance(why, MissingSystemLibrary)
    assert why.values["library"] == "libEGL.so.1"
    assert "libEGL.so.1" in worded(why).text
    assert DEBIAN_PACKAGES in worded(why).text
    assert library_named("libxcb-cursor.so.0: cannot open") == "libxcb-cursor.so.0"


def test_the_strip_says_that_a_charge_is_closed(qtbot, window):
    line = next(line for line in window.desk.lines if line.number == "2026-01")
    with qtbot.waitSignal(window.desk.record_changed):
        window.desk.take_in_hand(line.entity)
    # Loaded on 2 Oct, closed on 12 Oct: the eleventh day on the calendar.
    assert window.strip._day.name.text() == "Closed"
    assert window.strip._day.value.text() == "12 Oct, after 11 days"
    assert window.strip._step.isHidden()


def test_every_line_of_every_menu_has_a_letter_of_its_own(qtbot, desk, appearance, book_path):
    window = MainWindow(desk, appearance)  # with its own views: they bring commands too
    qtbot.addWidget(window)
    with qtbot.waitSignal(window.ready, timeout=20_000):
        window.show()
    menus = {name: [] for name in MenuName}
    for command, action in window.menu_row.menus._actions:
        text = action.text()
        menus[command.menu].append((text[text.index("&") + 1].lower() if "&" in text else "", text))
    for lines in menus.values():
        letters = [letter for letter, _ in lines]
        assert all(letters), lines
        assert sorted(letters) == sorted(set(letters)), lines
    titles = [menu.title() for menu in window.menu_row.menus._menus.values()]
    openers = [title[title.index("&") + 1] for title in titles]
    assert len(openers) == len(set(openers)) == len(MenuName)


@pytest.mark.parametrize("menu", ["Logbook", "Charge", "Papers", "View", "Help"])
def test_alt_and_its_letter_open_a_menu(qtbot, window, menu):
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.keyClick(
        QApplication.focusWidget(), getattr(Qt.Key, f"Key_{menu[0]}"), Qt.KeyboardModifier.AltModifier
    )
    opened = QApplication.activePopupWidget()
    assert opened is window.menu_row.menus._menus[menu]
    opened.close()


def test_the_look_is_kept_when_it_is_chosen_not_when_the_window_closes(qtbot, appearance, tmp_path):
    kept_in = tmp_path / "window.json"
    save_preferences(Preferences(last_file="mill.kilnlog", geometry="AdnQ"), kept_in)
    keep_look(appearance, kept_in)
    appearance.set_mode("dark")
    appearance.set_size("large")
    kept = load_preferences(kept_in)
    assert (kept.mode, kept.size_name) == ("dark", "large")
    assert (kept.last_file, kept.geometry) == ("mill.kilnlog", "AdnQ")  # nothing else is touched


def test_a_program_killed_while_it_keeps_the_look_leaves_the_look_before(tmp_path, monkeypatch):
    kept_in = tmp_path / "window.json"
    save_preferences(Preferences(mode="dark"), kept_in)

    def killed(*_):
        raise OSError

    monkeypatch.setattr(os, "replace", killed)
    save_preferences(Preferences(mode="light"), kept_in)
    assert load_preferences(kept_in).mode == "dark"


def test_a_help_page_left_open_follows_the_look(qtbot, window):
    page = show_help(window, window.appearance, "words")
    qtbot.addWidget(page)
    before = page._browser.font().pointSizeF()
    window.appearance.set_mode("dark")
    window.appearance.set_size("largest")
    QApplication.processEvents()
    assert page._browser.font().pointSizeF() > before
    assert page._browser.grab().toImage().pixelColor(3, 3).name() == TOKENS["dark"].sheet.lower()
    assert page._browser.palette().text().color().name() == TOKENS["dark"].ink.lower()
