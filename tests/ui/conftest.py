"""A window on a small logbook of an invented mill, by the real verbs and a clock that stands."""

from __future__ import annotations

import gc
import shutil
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication, QWidget

from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.session import new_logbook, open_logbook
from kilnlog.logbook.writing import write, write_all
from kilnlog.records.board import Board
from kilnlog.records.charge import Charge
from kilnlog.records.kiln import Kiln
from kilnlog.records.lot import Lot
from kilnlog.records.moment import Moment
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weighing import Weighing
from kilnlog.records.weight import WeightUnit
from kilnlog.records.words import AirControl, ControlRule, TemperatureUnit, VolumeUnit
from kilnlog.reference.tables import load
from kilnlog.ui.collecting import collect_what_piled_up
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.operations import Operations
from kilnlog.ui.views import LateView
from kilnlog.ui.window import MainWindow

ZONE = "America/New_York"
NOW = datetime(2026, 11, 25, 12, 46, 2, tzinfo=UTC)


def at(text: str) -> Moment:
    return Moment.from_text(text, ZONE)


def grams(text: str):
    return weight_from_text(text, WeightUnit.G)


def fill(book):
    """Two kilns; one charge running, one planned, one closed."""
    began = at("2026-10-01 08:00")
    north = (
        write(book, Kiln("North shed", heat="hot water", air_control=AirControl.WET_BULB), began)
        .entries[0]
        .entity
    )
    write(book, Kiln("Long shed"), began)
    write_all(
        book,
        [
            (
                ScheduleStep(
                    "Oak, slow",
                    1,
                    100,
                    dry_bulb=110,
                    wet_bulb=106,
                    temperature_unit=TemperatureUnit.FAHRENHEIT,
                ),
                began,
            ),
            (
                ScheduleStep(
                    "Oak, slow",
                    2,
                    40,
                    dry_bulb=110,
                    wet_bulb=102,
                    temperature_unit=TemperatureUnit.FAHRENHEIT,
                ),
                began,
            ),
        ],
    )
    closed = charge(book, "2026-01", north, "2026-10-02 08:00", "white ash", "Rowan Joinery", loss_g=200)
    close_charge(book, closed, at("2026-10-12 09:00"), "target reached", load())
    charge(book, "2026-02", north, "2026-11-16 08:00", "red oak", None, loss_g=100, notes="Fan belt squeals.")
    planned = (
        write(book, Charge("2026-03", ZONE, target_mc_pct=8.0), at("2026-11-20 08:00")).entries[0].entity
    )
    write(book, Lot(planned, "A", "Vintrey & Daughter", "black walnut", "8/4", 410.0, VolumeUnit.BOARD_FEET))


def charge(book, number, kiln, loaded, species, owner, *, loss_g, notes=None):
    moment = at(loaded)
    fact = Charge(number, ZONE, kiln, moment, 7.0, ControlRule.WETTEST_HALF, "Oak, slow", None, notes)
    entity = write(book, fact, moment).entries[0].entity
    lot = (
        write(book, Lot(entity, "A", owner, species, "4/4", 830.0, VolumeUnit.BOARD_FEET), moment)
        .entries[0]
        .entity
    )
    for label in ("1", "2", "3", "4"):
        cut = moment.plus_hours(-12)
        board = write(book, Board(entity, label, grams("3000"), lot, position="door"), cut).entries[0].entity
        section = Section(entity, board, "A", grams("90.0"), grams("50.0"), moment.plus_hours(12))
        write(book, section, cut)
        write(book, Weighing(entity, board, grams(str(3000 - loss_g))), moment.plus_hours(48))
    return entity


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_teardown(item):
    """What the worker still has to bring back comes while the views are there to take it."""
    desk = item.funcargs.get("desk")
    until = time.monotonic() + 2
    while desk is not None and desk.operations.waiting and time.monotonic() < until:
        QApplication.processEvents()
        time.sleep(0.002)
    return (yield)


@pytest.fixture(autouse=True)
def collected_here():
    """As in the program: what a window leaves behind is freed on the thread of the window alone."""
    gc.disable()
    yield
    collect_what_piled_up()
    gc.enable()


@pytest.fixture(scope="session")
def filled(tmp_path_factory):
    """Written once; every test gets a copy."""
    path = tmp_path_factory.mktemp("mill") / "mill.kilnlog"
    book = new_logbook(path, clock=lambda: NOW, who="mill")
    fill(book)
    book.close()
    return path


@pytest.fixture
def book_path(filled, tmp_path):
    return Path(shutil.copy(filled, tmp_path))


@pytest.fixture
def appearance(qapp):
    made = Appearance()
    made.apply(qapp)
    return made


@pytest.fixture
def desk(qtbot, appearance):
    operations = Operations()
    made = Desk(operations, appearance, load(), lambda: NOW, ZONE)
    yield made
    operations.close()
    made.deleteLater()  # its timers go with it: what it told a minute later would reach no view


class Blank(LateView):
    """Stands for the views that others test."""

    def load(self):
        return

    def make(self, desk, appearance):
        return QWidget()


def open_book(qtbot, desk, path):
    with qtbot.waitSignal(desk.register_changed):
        desk.operations.open(lambda: open_logbook(path, clock=lambda: NOW, who="mill"), desk.opened)


@pytest.fixture
def window(qtbot, desk, appearance, book_path):
    blank = Blank("", "")
    made = MainWindow(desk, appearance, late_views=(blank, blank))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    with qtbot.waitSignal(made.ready):
        made.show()
        qtbot.waitExposed(made)
    open_book(qtbot, desk, book_path)
    qtbot.waitUntil(lambda: desk.record is not None)
    return made


def dialog_open():
    """The dialog in front."""
    return QApplication.activeModalWidget()


def dialog_with_keys(qtbot, kind):
    """The dialog in front once keys reach it."""
    qtbot.waitUntil(lambda: isinstance(dialog_open(), kind) and dialog_open().isActiveWindow())
    return dialog_open()
