"""Faces, sizes and marks."""

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontInfo, QFontMetricsF, QImage, QPainter

from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fonts import SANS, SERIF, load_faces
from kilnlog.ui.look.painting import WORDS, Mark, draw_mark
from kilnlog.ui.look.sizes import NAMES, Role, Sizes
from kilnlog.ui.look.tokens import TOKENS


def test_the_bundled_faces_are_loaded(qapp):
    faces = load_faces()
    assert (faces.sans, faces.serif) == (SANS, SERIF)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("role", list(Role))
def test_each_role_comes_in_its_own_face_and_weight(qapp, role, name):
    font = Sizes(name, load_faces()).font(role)
    found = QFontInfo(font)
    assert found.family() == font.family()
    assert found.weight() == font.weight()
    assert found.italic() == font.italic()


@pytest.mark.parametrize("role", list(Role))
def test_figures_are_tabular(qapp, role):
    metrics = QFontMetricsF(Sizes("regular", load_faces()).font(role))
    assert {metrics.horizontalAdvance(digit) for digit in "0123456789"} == {metrics.horizontalAdvance("0")}


@pytest.mark.parametrize("role", list(Role))
def test_sizes_grow(qapp, role):
    faces = load_faces()
    regular, large, largest = (Sizes(name, faces).px(role) for name in NAMES)
    assert regular <= large <= largest


def drawn(mark: Mark, mode: str) -> bytes:
    image = QImage(16, 16, QImage.Format.Format_Grayscale8)
    image.fill(TOKENS[mode].colour("sheet"))
    painter = QPainter(image)
    draw_mark(painter, QRectF(0, 0, 16, 16), mark, TOKENS[mode])
    painter.end()
    return bytes(image.constBits())


@pytest.mark.parametrize("mode", TOKENS)
def test_every_mark_has_its_own_shape_and_words(qapp, mode):
    pictures = {mark: drawn(mark, mode) for mark in Mark}
    assert len(set(pictures.values())) == len(Mark)
    shapes = {}
    for mark, picture in pictures.items():
        ground = picture[0]
        shapes[mark] = bytes(255 if abs(pixel - ground) > 25 else 0 for pixel in picture)
        assert 255 in shapes[mark], mark
    assert len(set(shapes.values())) == len(Mark), "told apart by colour alone"
    assert set(WORDS) == set(Mark)


def test_changed_reaches_palette_and_font(qapp):
    appearance = Appearance()
    appearance.apply(qapp)
    heard = []
    appearance.changed.connect(lambda: heard.append(appearance.mode))
    appearance.set_mode("dark")
    assert qapp.palette().window().color() == TOKENS["dark"].colour("desk")
    appearance.set_size("largest")
    assert qapp.font().pointSizeF() == pytest.approx(21 * 0.75)
    assert heard == ["dark", "dark"]
