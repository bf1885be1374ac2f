"""The basic widgets: asked by key, named, as high as their words."""

from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain
from kilnlog.ui.look.ruled import Cell, RuledLine, RuledTable
from kilnlog.ui.look.sizes import Role
from kilnlog.ui.look.tick_box import TickBox
from kilnlog.ui.look.widgets import (
    ChoiceField,
    Computed,
    FilterTabs,
    KeyHint,
    MainButton,
    Phase,
    PhaseLine,
    QuietButton,
    TextField,
    Wrapped,
)
from tests.ui.conftest import ZONE


@pytest.mark.parametrize("key", [Qt.Key.Key_F2, Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_a_computed_figure_can_be_asked_how(qtbot, appearance, key):
    figure = Computed(appearance, Role.BIG_FIGURE, "moisture content")
    qtbot.addWidget(figure)
    figure.set_value("41.9", "%")
    with qtbot.waitSignal(figure.asked):
        qtbot.keyClick(figure, key)
    assert figure.accessibleName() == "moisture content 41.9 %"
    with qtbot.waitSignal(figure.asked):
        qtbot.mouseClick(figure, Qt.MouseButton.LeftButton)
    figure.set_value(None)
    assert figure.value == "–"


def test_choosing_a_tab_moves_nothing(qtbot, appearance):
    tabs = FilterTabs(appearance, [("all", "All 12"), ("past", "Past 8")], "Show")
    qtbot.addWidget(tabs)
    width = tabs.sizeHint().width()
    with qtbot.waitSignal(tabs.chosen) as chosen:
        tabs.choose("past")
    assert chosen.args == ["past"]
    assert tabs.sizeHint().width() == width


def test_wrapped_words_are_as_high_as_their_width_asks(qtbot, appearance):
    holder = QWidget()
    qtbot.addWidget(holder)
    column = QVBoxLayout(holder)
    text = Wrapped("stickers 24 in apart, lot B on top of the pile " * 4, appearance, Role.SAID)
    column.addWidget(text)
    column.addStretch(1)
    holder.resize(300, 600)
    holder.show()
    narrow = text.height()
    assert narrow >= text.heightForWidth(text.width())
    holder.resize(900, 600)
    qtbot.waitUntil(lambda: text.height() < narrow)
    assert text.height() >= text.heightForWidth(text.width())


def test_a_ruled_line_grows_with_its_words(qtbot, appearance):
    line = RuledLine(
        appearance, "Recut boards 5 and 6 before the next step, since they have not been cut for long", "now"
    )
    qtbot.addWidget(line)
    assert line.heightForWidth(260) > line.heightForWidth(900) == appearance.sizes.list_line_h
    assert line.accessibleName().endswith("now")


def test_a_small_table_is_read_out(qtbot, appearance):
    table = RuledTable(appearance, ("Lot", "bf"), "Lots")
    qtbot.addWidget(table)
    table.set_rows([(Cell("A  4/4 red oak", under="Rowan Joinery"), Cell("830"))])
    assert table.accessibleDescription() == "Lot A  4/4 red oak Rowan Joinery, bf 830"


def test_phases_are_named(qtbot, appearance):
    line = PhaseLine(appearance)
    qtbot.addWidget(line)
    line.set_phases(
        [Phase("loaded", "3 Nov", passed=True), Phase("drying", "day 23", now=True), Phase("closed")]
    )
    assert "drying day 23 (now)" in line.accessibleName()


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("size", ["regular", "large", "largest"])
def test_everything_paints_itself_in_every_look(qtbot, appearance, mode, size):
    appearance.set_mode(mode)
    appearance.set_size(size)
    holder = QWidget()
    qtbot.addWidget(holder)
    column = QVBoxLayout(holder)
    figure = Computed(appearance, Role.FIGURE)
    figure.set_value("41.9", "%")
    phases = PhaseLine(appearance)
    phases.set_phases(
        [Phase("loaded", "3 Nov", passed=True), Phase("drying", "day 3", now=True), Phase("closed")]
    )
    for widget in (
        figure,
        phases,
        MainButton("New charge", appearance),
        QuietButton("Copy as new", appearance),
        KeyHint("Ctrl N", appearance, "new charge"),
        ChoiceField(appearance, [("a", "one")]),
        TextField(appearance, "Search"),
    ):
        column.addWidget(widget)
    holder.show()
    qtbot.waitExposed(holder)
    picture = holder.grab().toImage()
    colours = {
        picture.pixel(x, y) for x in range(0, picture.width(), 2) for y in range(0, picture.height(), 2)
    }
    for name in ("pencil", "cloth", "edge"):
        assert appearance.tokens.colour(name).rgb() in colours, name
    assert figure.font() is not None
    assert figure.height() <= figure.sizeHint().height()


@pytest.mark.parametrize(
    ("value", "text"), [(None, ""), (7.0, "7"), (1150.0, "1150"), (0.0625, "0.0625"), (7.50, "7.5")]
)
def test_a_number_comes_back_as_it_would_be_typed(qapp, value, text):
    assert plain(value) == text


def test_a_form_reads_what_it_shows(qtbot, appearance):
    form = Form(None, appearance, "Try")
    qtbot.addWidget(form)
    for column in ("number", "moment", "thickness", "empty"):
        form.add(column, column, TextField(appearance))
    form.finish("Keep", form.accept)
    form.set_text("number", "12.5")
    form.set_text("moment", "2026-11-03 07:30")
    form.set_text("thickness", "5/4")
    reader = Reader(form)
    assert reader.number("number", low=0, high=20) == 12.5
    assert reader.moment("moment", ZONE).text() == "2026-11-03 07:30"
    assert reader.thickness("thickness") == "5/4"
    assert reader.number("empty") is None
    assert reader.ok
    reader = Reader(form)
    assert reader.number("number", low=0, high=10) is None
    assert not reader.ok
    assert "10" in form.rows["number"].wrong
    reader = Reader(form)
    assert reader.text("empty", needed=True) is None
    assert form.rows["empty"].wrong
    assert not form.rows["number"].wrong


@pytest.mark.parametrize("width", [420, 300, 240])
def test_a_ruled_line_has_the_height_its_words_need_whatever_the_page_becomes(qtbot, appearance, width):
    page = QWidget()
    qtbot.addWidget(page)
    area = QScrollArea()
    content = QWidget()
    QVBoxLayout(page).addWidget(area)
    area.setWidgetResizable(True)
    area.setWidget(content)
    lines = QVBoxLayout()
    QVBoxLayout(content).addLayout(lines)
    page.resize(700, 200)
    page.show()
    text = (
        "The sections of board 6 are 9.3 points apart, and board 4 loses 3.20 % a day, near its limit of 3.8"
    )
    line = RuledLine(appearance, text, "now")
    lines.addWidget(line)
    page.resize(width, 200)
    qtbot.waitUntil(lambda: line.height() == line.heightForWidth(line.width()))
    assert line.height() > appearance.sizes.list_line_h
    assert line.toolTip() == text


@pytest.mark.parametrize("size", ["regular", "large", "largest"])
@pytest.mark.parametrize("count", [2, 12, 40])
def test_an_open_list_shows_whole_words_only(qtbot, appearance, size, count):
    appearance.set_size(size)
    field = ChoiceField(appearance, [(str(number), f"choice {number}") for number in range(count)])
    qtbot.addWidget(field)
    field.show()
    field.set_value(str(count - 1))
    field.showPopup()
    view = field.view()
    row = view.visualRect(view.model().index(count - 1, 0)).height()
    shown, cut = divmod(view.viewport().height(), row)
    assert cut == 0
    assert shown == count or shown >= 12  # as many as the screen is high for
    assert view.window().height() <= field.screen().availableGeometry().height()
    field.hidePopup()


@pytest.mark.parametrize("mode", ["light", "dark"])
def test_the_edge_of_a_box_to_tick_is_seen(qtbot, qapp, appearance, mode):
    appearance.set_mode(mode)
    box = TickBox("Seal it all the same", appearance)
    qtbot.addWidget(box)
    box.show()
    qtbot.waitExposed(box)
    picture = box.grab().toImage()
    edge = appearance.tokens.colour("edge").rgb()
    seen = [
        (x, y) for x in range(picture.width()) for y in range(picture.height()) if picture.pixel(x, y) == edge
    ]
    assert len(seen) >= 4 * 10  # four sides of ten and more pixels


PAST = [
    Phase(name, under, passed=True)
    for name, under in (
        ("loaded", "25 Nov 2025"),
        ("drying", "26 days"),
        ("equalize", "18 Dec"),
        ("condition", "19 Dec"),
        ("unloaded", "20 Dec"),
        ("closed", "21 Dec"),
    )
]


@pytest.mark.parametrize("size", ["regular", "large", "largest"])
@pytest.mark.parametrize("width", [280, 360, 520, 900])
def test_no_text_of_the_phases_stands_upon_another(qtbot, appearance, size, width):
    appearance.set_size(size)
    line = PhaseLine(appearance)
    qtbot.addWidget(line)
    line.resize(width, 70)
    line.set_phases(PAST)
    places = line.places()
    for spans in (
        [place.name for place in places],
        [place.under for place in places if place.under is not None],
    ):
        assert all(after.begin >= before.end for before, after in pairwise(spans))
        assert spans[-1].end <= width + 1e-6
    assert [place.stop for place in places] == sorted(place.stop for place in places)
    assert places[0].under is not None
    assert places[-1].under is not None


def test_where_there_is_room_every_date_of_the_phases_is_told(qtbot, appearance):
    line = PhaseLine(appearance)
    qtbot.addWidget(line)
    line.resize(360, 70)
    line.set_phases(PAST)
    assert all(place.under is not None for place in line.places())
