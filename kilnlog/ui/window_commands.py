"""The commands of the window itself; the views bring their own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kilnlog.logbook.errors import NothingToTakeBack
from kilnlog.logbook.logger_files import logger_files
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.ui.commands import Command, DropsTyped, MenuName
from kilnlog.ui.help_pages import HELP_PAGES, show_about, show_help
from kilnlog.ui.look.sizes import NAMES as SIZES
from kilnlog.ui.views import NAMES

if TYPE_CHECKING:
    from kilnlog.ui.window import MainWindow

_MODE_WORDS = {"light": "&Light pages", "dark": "&Dark pages"}
_SIZE_WORDS = {
    "regular": "&Regular text",
    "large": "L&arge text",
    "largest": "Largest &text, two steps away",
}
#: The letter that takes a page of the help; several begin with the same one.
_HELP_LETTERS = {"words": "W", "keys": "K", "cautions": "C", "ledger": "l", "figures": "f"}


def window_commands(window: MainWindow) -> tuple[Command, ...]:
    """Logbook, view and help; in the order they stand in their menus."""
    return (*_logbook(window), *_views(window), *_help(window))


def _logbook(window: MainWindow) -> tuple[Command, ...]:
    files, desk = window.files, window.desk

    def take_back() -> None:
        view = window.stack.currentWidget()
        if isinstance(view, DropsTyped) and view.drop_typed():
            return
        if desk.can_undo:
            desk.undo("Taken back")
        else:
            window.tell_passing(NothingToTakeBack(**_why(desk.record)))

    return (
        Command(MenuName.LOGBOOK, "&New logbook…", files.new, "Ctrl+Alt+N"),
        Command(MenuName.LOGBOOK, "&Open logbook…", files.open, "Ctrl+O"),
        Command(MenuName.LOGBOOK, "Open a copy of the &sample logbook", files.open_sample),
        Command(
            MenuName.LOGBOOK, "&Take back the last entry", take_back, "Ctrl+Z", writes=True, begins_group=True
        ),
        Command(
            MenuName.LOGBOOK,
            "&Import a folder of CSV files…",
            files.import_folder,
            possible=files.is_open,
            writes=True,
            begins_group=True,
        ),
        Command(
            MenuName.LOGBOOK,
            "Import a &workbook…",
            files.import_workbook,
            possible=files.is_open,
            writes=True,
        ),
        Command(
            MenuName.LOGBOOK,
            "&Verify against the ledger",
            files.verify,
            possible=files.is_open,
            begins_group=True,
        ),
        Command(MenuName.LOGBOOK, "&Back up…", files.back_up, possible=files.is_open),
        Command(MenuName.LOGBOOK, "&Quit", window.close, "Ctrl+Q", begins_group=True, last=True),
        *window.papers.commands(),
        Command(
            MenuName.PAPERS,
            "&Workbook of this charge…",
            files.export_charge,
            "Ctrl+E",
            possible=lambda: desk.record is not None,
            begins_group=True,
        ),
        Command(
            MenuName.PAPERS,
            "Tables for one &owner…",
            files.export_for_owner,
            possible=lambda: bool(files.owners()),
        ),
        Command(MenuName.PAPERS, "Workbook of the whole &logbook…", files.export_all, possible=files.is_open),
    )


def _why(record: ChargeRecord | None) -> dict[str, str]:
    """Why nothing of a charge can be undone."""
    if record is not None and record.closing:
        return {"why": "sealed"}
    return {"why": "logger"} if record is not None and logger_files(record) else {}


def _views(window: MainWindow) -> tuple[Command, ...]:
    appearance = window.appearance

    def shower(number: int) -> Command:
        return Command(
            MenuName.VIEW,
            f"&{number + 1} {NAMES[number]}",
            lambda: window.show_view(number),
            f"Ctrl+{number + 1}",
            checked=lambda: window.menu_row.tabs.number == number,
        )

    def dresser(mode: str, first: bool) -> Command:
        return Command(
            MenuName.VIEW,
            _MODE_WORDS[mode],
            lambda: appearance.set_mode(mode),
            checked=lambda: appearance.mode == mode,
            begins_group=first,
        )

    def sizer(name: str, first: bool) -> Command:
        return Command(
            MenuName.VIEW,
            _SIZE_WORDS[name],
            lambda: appearance.set_size(name),
            checked=lambda: appearance.size_name == name,
            begins_group=first,
        )

    def step(by: int) -> None:
        number = SIZES.index(appearance.size_name) + by
        appearance.set_size(SIZES[min(len(SIZES) - 1, max(0, number))])

    return (
        *(shower(number) for number in range(len(NAMES))),
        dresser("light", True),
        dresser("dark", False),
        *(sizer(name, name == SIZES[0]) for name in SIZES),
        Command(MenuName.VIEW, "Lar&ger", lambda: step(1), "Ctrl++", begins_group=True),
        Command(MenuName.VIEW, "&Smaller", lambda: step(-1), "Ctrl+-"),
    )


def _help(window: MainWindow) -> tuple[Command, ...]:
    def shower(page: str, title: str, key: str) -> Command:
        text = title.replace(_HELP_LETTERS[page], f"&{_HELP_LETTERS[page]}", 1)
        return Command(MenuName.HELP, text, lambda: show_help(window, window.appearance, page), key)

    pages = tuple(shower(page, title, key) for page, title, key in HELP_PAGES)
    about = Command(
        MenuName.HELP, "&About kilnlog", lambda: show_about(window, window.appearance), begins_group=True
    )
    return (*pages, about)
