"""The close-out at the largest text on a small screen: the window does not outgrow it."""

from __future__ import annotations

import pytest

from kilnlog.logbook.close_out_steps import Step
from kilnlog.logbook.writing import write_all
from kilnlog.records.errors import MissingValue
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.words import ReadingKind
from tests.ui.closing.desk_of import settle, shown

#: Of a screen of 768 px the title bar and the desktop's own bar take some, in common desktops (no source).
ROOM_H = 700


@pytest.mark.parametrize("step", list(Step))
def test_no_page_makes_the_window_higher_than_a_small_screen(qtbot, window, desk, appearance, step):
    appearance.set_size("largest")
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    lot, charge = view.hand.lot.entity, view.hand.record.entity
    packs = ("1", "2", "3")
    desk.do(
        write_all,
        [
            (
                FinalReading(
                    charge, lot, ReadingKind.PIN_METER, packs[n % 3], str(n), reading_pct=7.0 + n / 10
                ),
                None,
            )
            for n in range(12)
        ],
    )
    settle(qtbot, desk)
    view.show_step(step)
    desk.refused.emit(MissingValue(column="“Read”"))  # told across the window, above the page
    settle(qtbot, desk)
    qtbot.wait(10)
    assert window.refusal.isVisible()
    assert window.minimumSizeHint().height() <= ROOM_H
    assert (window.width(), window.height()) == (1366, 768)


def test_the_reading_kept_last_is_whole_above_the_line_in_hand(qtbot, window, desk, appearance):
    appearance.set_size("largest")
    view = shown(qtbot, window, Step.FINAL_MOISTURE)
    lot, charge = view.hand.lot.entity, view.hand.record.entity
    facts = [
        FinalReading(charge, lot, ReadingKind.PIN_METER, str(n % 3), str(n), reading_pct=7.0 + n / 10)
        for n in range(12)
    ]
    desk.do(write_all, [(fact, None) for fact in facts])
    settle(qtbot, desk)
    qtbot.wait(10)
    table = view.page.meter.table.table
    last = table.visualRect(table.model().index(11, 1))
    assert table.viewport().rect().contains(last)
