"""Words on the air panel stand on no line, no hatching, no event and no other words."""

from __future__ import annotations

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtGui import QFontMetricsF

from kilnlog.ui.drying_curve.free_places import Box
from kilnlog.ui.kiln_air.line_names import LineName, Panel, place_holes, place_names
from kilnlog.ui.look.sizes import NAMES, Role

WIDTH, HEIGHT = 700.0, 170.0
LANE_PX = 28.0
FULL = "dry bulb 180.0 °F at 03:40"


@pytest.fixture(params=NAMES)
def panel(request, appearance):
    """A hundred hours, 90 to 190 F."""
    appearance.set_size(request.param)
    metrics = QFontMetricsF(appearance.sizes.font(Role.LABEL))
    yield Panel(((0.0, 100.0), (90.0, 190.0)), WIDTH, HEIGHT, metrics)
    appearance.set_size("regular")


def named(what, at_s, values, *, above):
    texts = (f"{what} 180.0 °F at 03:40", f"{what} 180.0 °F", what)
    return LineName(pg.TextItem(anchor=(0, 0)), texts, at_s, values, lambda one: one, above)


def heating_up():
    """Level for a long time, then up to the top within ten hours: its end has the lane right over it."""
    at_s = np.linspace(0.0, 96.0, 500)
    dry = np.where(at_s < 86, 110.0, 110.0 + (at_s - 86) * 7.0)
    wet = np.where(at_s < 86, 104.0, 104.0 + (at_s - 86) * 4.0)
    return at_s, dry, wet


def crossed(panel, at_s, values, box):
    """Whether the line runs through a box, looked at point by point."""
    x, y = panel.x(at_s), panel.y(values)
    inside = (x > box.left) & (x < box.left + box.width) & (y > box.top) & (y < box.top + box.height)
    return bool(inside.any())


def test_a_name_stands_beside_a_steep_line_not_on_it_nor_in_the_lane(panel):
    at_s, dry, wet = heating_up()
    names = [named("dry bulb", at_s, dry, above=True), named("wet bulb", at_s, wet, above=False)]
    lane = Box(0, 0, WIDTH, LANE_PX)
    boxes = place_names(names, panel, panel.lines([(at_s, dry), (at_s, wet)]), [lane])
    assert names[0].item.toPlainText() == FULL
    for box in boxes:
        assert not box.meets(lane)
        assert not crossed(panel, at_s, dry, box)
        assert not crossed(panel, at_s, wet, box)
    assert not boxes[0].meets(boxes[1])


def test_right_behind_a_hole_a_name_keeps_its_figure_and_stands_before_the_hatching(panel):
    """As while a file is followed: there is a little of the line, and no room for words beside it."""
    at_s, dry, _ = heating_up()
    dry = np.where(at_s > 94, 112.0, np.where(at_s > 80, np.nan, 110.0))
    hatching = Box(float(panel.x(80.0)), 0, float(panel.x(94.0) - panel.x(80.0)), HEIGHT)
    name = named("dry bulb", at_s, dry, above=True)
    (box,) = place_names([name], panel, panel.lines([(at_s, dry)]), [hatching])
    assert not box.meets(hatching)
    assert name.item.toPlainText() == FULL


def test_how_long_nobody_recorded_stands_on_no_name_and_no_line(panel):
    at_s, dry, wet = heating_up()
    low = np.where(at_s < 60, 92.0, 104.0)  # where the words stood at the foot of the panel
    drawn = panel.lines([(at_s, dry), (at_s, low)])
    names = place_names([named("wet bulb", at_s[:200], wet[:200], above=False)], panel, drawn, [])
    told = place_holes([(280.0, 330.0, "no record, 14 h 10 min")], panel, drawn, names)
    for _, box in told:
        assert not any(box.meets(name) for name in names)
        assert not crossed(panel, at_s, dry, box)
        assert not crossed(panel, at_s, low, box)
    assert told


def test_of_a_million_readings_the_highest_and_lowest_are_kept_clear_of():
    rng = np.random.default_rng(5)
    at_s = np.linspace(0.0, 100.0, 1_000_000)
    values = 140 + rng.uniform(-20, 20, len(at_s))
    panel = Panel(((0.0, 100.0), (90.0, 190.0)), WIDTH, HEIGHT, None)
    runs = panel.lines([(at_s, values)]).beside(100.0, 200.0)
    tops, bottoms = zip(*runs, strict=True)
    # Twenty degrees each way of 140, at 1.7 px a degree.
    assert min(tops) == pytest.approx(panel.y(160.0), abs=4)
    assert max(bottoms) == pytest.approx(panel.y(120.0), abs=4)
