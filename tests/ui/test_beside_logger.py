"""Air typed by hand for a sensor whose logger just showed something else: asked about in both places."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtWidgets import QVBoxLayout, QWidget

from kilnlog.drying.air.lines import AirLine
from kilnlog.logbook.charge_in_hand import LoggedAir
from kilnlog.logbook.writing import correct
from kilnlog.records.kiln import Kiln
from kilnlog.ui.kiln_air.air_commands import AirCommands
from kilnlog.ui.kiln_air.air_entry import AirEntry
from kilnlog.ui.kiln_air.reading_dialog import ReadingDialog
from kilnlog.ui.register.pick import PickDialog
from tests.ui.boards import ENTER, press, settle
from tests.ui.conftest import dialog_with_keys, open_book

SAID = "The logger of “fan side” showed a dry bulb of 140 °F"


@pytest.fixture
def host(qtbot, desk, book_path):
    """The running charge in hand, its one sensor at 140 F over 120 F a minute ago by its logger."""
    made = QWidget()
    QVBoxLayout(made)
    qtbot.addWidget(made)
    made.show()
    open_book(qtbot, desk, book_path)
    line = next(line for line in desk.lines if line.number == "2026-02")
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(line.entity)
    kiln = next(line for line in desk.record.kiln if line.current.fact.kiln == "North shed")
    desk.do(correct, "kiln", kiln.entity, Kiln("North shed", entering_sensor="fan side"), "described")
    settle(qtbot, desk)
    settle(qtbot, desk)
    read_s = desk.now().utc.timestamp() - 60
    shown = {"dry_c": 60.0, "wet_c": 48.89, "rh_pct": 55.0, "emc_pct": 8.0}
    arrays = {name: np.array([value]) for name, value in shown.items()}
    line = AirLine("fan side", np.array([read_s]), **arrays, holes=(), has_wick=True)
    desk.air = LoggedAir(None, (line,))
    return made


def kept(desk):
    return [line.current.fact.dry_bulb for line in desk.record.air_reading if line.current is not None]


def test_air_now_asks_once(qtbot, desk, appearance, host):
    entry = AirEntry(desk, appearance)
    host.layout().addWidget(entry)
    entry.keeper.type_in("160", "156")
    entry.keeper.offer()
    settle(qtbot, desk)
    assert entry.told.startswith(SAID)
    assert kept(desk) == []
    entry.keeper.offer()
    settle(qtbot, desk)
    assert kept(desk) == [160]


def test_the_form_asks_once(qtbot, desk, appearance, host):
    AirCommands(host, desk, appearance).readings()
    dialog_with_keys(qtbot, PickDialog)
    press(qtbot, ENTER)
    dialog = dialog_with_keys(qtbot, ReadingDialog)
    dialog.set_text("dry_bulb", "160")
    dialog.set_text("second", "156")
    dialog.keep()
    settle(qtbot, desk)
    assert dialog.told.startswith(SAID)
    assert kept(desk) == []
    dialog.keep()
    settle(qtbot, desk)
    assert kept(desk) == [160]
