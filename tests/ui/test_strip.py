"""The strip above the views: whatever its width becomes, nothing in it stands on its neighbour."""

from __future__ import annotations

from kilnlog.ui.strip import Strip
from tests.ui.conftest import open_book


def test_a_wider_strip_is_laid_out_before_it_is_painted(qtbot, desk, appearance, book_path):
    strip = Strip(desk, appearance)
    qtbot.addWidget(strip)
    strip.resize(420, 60)
    strip.show()
    qtbot.waitExposed(strip)
    open_book(qtbot, desk, book_path)
    with qtbot.waitSignal(desk.record_changed):
        desk.take_in_hand(next(line.entity for line in desk.lines if line.number == "2026-02"))
    qtbot.wait(20)
    cut = strip._what.value.text()
    strip.resize(1366, 60)
    # No turn of the event loop in between.
    assert strip._what.value.text() != cut
    told = strip._what.value
    assert told.fontMetrics().horizontalAdvance(told.text()) <= strip._what.width()
    assert strip._day.x() >= strip._what.x() + strip._what.width()
