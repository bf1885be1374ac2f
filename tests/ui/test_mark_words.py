"""The words of the marks on the curve stand over no line and no other words, at every zoom and size."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication

from kilnlog.drying.assessment import assess
from kilnlog.reference.tables import load
from kilnlog.ui.drying_curve.free_places import Box, Drawn, Words, places
from kilnlog.ui.drying_curve.plot import CurvePlot
from kilnlog.ui.look.sizes import Role
from tests.builders import ChargeBuilder

NOW = "2026-11-20 09:00"


def run():
    """Four boards close together; two are recut and one is withdrawn about the same time."""
    build = ChargeBuilder(loaded_at="2026-11-02 12:00", target_mc_pct=8)
    for label, start in (("1", 3000), ("2", 3010), ("3", 2990), ("4", 3020)):
        board = build.board(label, start, at="2026-11-02 08:00")
        build.section(board, "A", 90, 50, at="2026-11-02 08:00", dried_at="2026-11-03 08:00")
        for day in range(3, 20):
            build.weigh(board, start - 40 * (day - 2), f"2026-11-{day:02d} 08:00")
    for board in ("board-0001", "board-0002"):
        build.recut(board, 2600, 2450, 80, 50, at="2026-11-12 09:00", dried_at="2026-11-13 09:00")
    build.withdraw("board-0003", "2026-11-12 10:00")
    return build.record(), assess(build.record(), load(), build.when(NOW))


@pytest.fixture
def plot(qtbot, appearance):
    made = CurvePlot(appearance)
    qtbot.addWidget(made)
    made.resize(760, 420)
    made.show()
    qtbot.waitExposed(made)
    made.show_charge(*run(), anew=True)
    QApplication.processEvents()
    return made


def boxes(plot, appearance):
    """The words with the rectangles they take on the plot [px]."""
    view = plot.plotItem.vb
    (low_s, high_s), (low_pct, high_pct) = view.viewRange()
    metrics = QFontMetricsF(appearance.sizes.font(Role.LABEL))
    return {
        text: Box(
            (at_s - low_s) * view.width() / (high_s - low_s),
            (high_pct - mc_pct) * view.height() / (high_pct - low_pct),
            metrics.horizontalAdvance(text),
            metrics.height(),
        )
        for text, at_s, mc_pct in plot._layers.words.boxes()
    }


def met_by_lines(plot, box):
    """Whether a board's line, joined between its points, runs through a box; looked at every half pixel."""
    view = plot.plotItem.vb
    (low_s, high_s), (low_pct, high_pct) = view.viewRange()
    inner = np.arange(box.left + 4, box.left + box.width, 0.5)
    for series in plot._series:
        x = (series.at_s - low_s) * view.width() / (high_s - low_s)
        y = (high_pct - series.mc_pct) * view.height() / (high_pct - low_pct)
        line = np.interp(inner, x, y, left=np.nan, right=np.nan)
        if ((line > box.top + 4) & (line < box.top + 4 + box.height)).any():
            return True
    return False


@pytest.mark.parametrize("size", ["regular", "largest"])
@pytest.mark.parametrize("days", [None, 10])
def test_the_words_of_the_marks_stand_clear_of_lines_and_of_each_other(plot, appearance, size, days):
    appearance.set_size(size)
    plot.show_whole() if days is None else plot.show_since(plot.days_back(days))
    QApplication.processEvents()
    shown = boxes(plot, appearance)
    named = {"board 1 recut", "board 2 recut", "board 3 withdrawn"}
    assert set(shown) == (named | {"loaded"} if days is None else named)
    for text, box in shown.items():
        assert not met_by_lines(plot, box), text
        assert not [other for other, there in shown.items() if other != text and there.meets(box)]


def test_loading_is_marked_where_it_was(plot, appearance):
    loaded = boxes(plot, appearance)["loaded"]
    view = plot.plotItem.vb
    (low_s, high_s), _ = view.viewRange()
    _, assessment = run()
    assert assessment.loaded_at is not None
    x = (assessment.loaded_at.utc.timestamp() - low_s) * view.width() / (high_s - low_s)
    assert 0 < loaded.left - x < 10


def test_words_go_to_the_nearest_free_place():
    flat = (np.array([0.0, 400.0]), np.array([100.0, 100.0]))
    above = Box(0, 0, 400, 95)
    drawn = Drawn([flat], 400, 300)
    free, below = (
        places([Words(200, 100, 60, 16)], drawn, []),
        places([Words(200, 100, 60, 16)], drawn, [above]),
    )
    assert (free[0].left, free[0].top) == (170, 76)  # centred, eight pixels over the line
    assert below[0].top == 108


def test_where_nothing_is_free_they_meet_as_little_as_can_be():
    lines = [(np.array([0.0, 100.0]), np.array([y, y])) for y in np.arange(0.0, 101.0, 10.0)]
    drawn = Drawn(lines, 100, 100)
    found = places([Words(50, 50, 60, 16), Words(50, 50, 60, 16)], drawn, [])
    assert len(found) == 2
    assert not found[0].meets(found[1])


def test_words_beside_an_upright_line_never_stand_on_it():
    """Near the left edge there is room on the right side alone, whatever else is drawn there."""
    drawn, others = Drawn([], 400, 300), [Box(70, 240, 300, 60)]
    (found,) = places([Words(25, 298, 60, 16, aside=True)], drawn, others)
    assert found.left == 29
    assert found.top + found.height <= 240
