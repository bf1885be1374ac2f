"""The three text sizes: each role's face and size, and the lengths that follow from them.

Sizes are written in pixels at 96 dpi, as the plan of the look has them, and set in points, so that the
desktop's own scaling holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtGui import QFont

from kilnlog.ui.look.fonts import Faces

POINTS_PER_PIXEL = 0.75  # at 96 dpi
NAMES = ("regular", "large", "largest")

#: Space between things [px]; nothing else is used.
GAP_2, GAP_4, GAP_8, GAP_12, GAP_16, GAP_24, GAP_32 = 2, 4, 8, 12, 16, 24, 32
RADIUS = 4
PAGE_RADIUS = 5


class Role(StrEnum):
    """What a text is for."""

    LABEL = "label"
    TINY = "tiny"
    BODY = "body"
    STRONG = "strong"
    SAID = "said"  # remarks, sums written out
    FIGURE = "figure"  # computed
    FIGURE_TYPED = "figure_typed"
    ENTRY = "entry"  # a weight typed or kept
    BOARD_NUMBER = "board_number"
    PAGE_TITLE = "page_title"
    SECTION_TITLE = "section_title"
    BIG_FIGURE = "big_figure"
    STRIP_FIGURE = "strip_figure"
    STRIP_NUMBER = "strip_number"  # the charge's number in the strip
    MENU = "menu"
    MENU_CHOSEN = "menu_chosen"  # the index tab of the view in front
    ALOUD = "aloud"
    ALOUD_SERIF = "aloud_serif"
    ALOUD_SAID = "aloud_said"  # what the aloud line remarks


@dataclass(frozen=True, slots=True)
class _Face:
    serif: bool
    weight: int
    italic: bool
    px: tuple[float, float, float]  # regular, large, largest


_FACES: dict[Role, _Face] = {
    Role.LABEL: _Face(False, 500, False, (13, 15, 18)),
    Role.TINY: _Face(False, 400, False, (13, 14, 16)),
    Role.BODY: _Face(False, 400, False, (15, 17, 21)),
    Role.STRONG: _Face(False, 600, False, (15, 17, 21)),
    Role.SAID: _Face(True, 400, True, (14, 16, 20)),
    Role.FIGURE: _Face(False, 500, False, (17, 21, 29)),
    Role.FIGURE_TYPED: _Face(False, 400, False, (17, 21, 29)),
    Role.ENTRY: _Face(False, 600, False, (19, 23, 33)),
    Role.BOARD_NUMBER: _Face(True, 600, False, (19, 23, 32)),
    Role.PAGE_TITLE: _Face(True, 600, False, (21, 23, 27)),
    Role.SECTION_TITLE: _Face(True, 600, False, (16, 18, 22)),
    Role.BIG_FIGURE: _Face(False, 600, False, (25, 27, 31)),
    Role.STRIP_FIGURE: _Face(False, 600, False, (27, 30, 36)),
    Role.STRIP_NUMBER: _Face(True, 600, False, (27, 30, 34)),
    Role.MENU: _Face(False, 400, False, (15, 16, 18)),
    Role.MENU_CHOSEN: _Face(False, 600, False, (15, 16, 18)),
    Role.ALOUD: _Face(False, 600, False, (30, 42, 60)),
    Role.ALOUD_SERIF: _Face(True, 600, False, (30, 42, 60)),
    Role.ALOUD_SAID: _Face(True, 400, True, (20, 24, 34)),
}


class Sizes:
    """One text size. Lengths are in pixels at 96 dpi."""

    def __init__(self, name: str, faces: Faces) -> None:
        self.name = name
        self._step = NAMES.index(name)
        self._fonts = {role: self._font(face, faces) for role, face in _FACES.items()}

    def _font(self, face: _Face, faces: Faces) -> QFont:
        font = QFont(faces.serif if face.serif else faces.sans)
        font.setPointSizeF(face.px[self._step] * POINTS_PER_PIXEL)
        font.setWeight(QFont.Weight(face.weight))
        font.setItalic(face.italic)
        return font

    def font(self, role: Role) -> QFont:
        """The font of that role."""
        return self._fonts[role]

    def px(self, role: Role) -> float:
        """The size of that role [px at 96 dpi]."""
        return _FACES[role].px[self._step]

    def _of(self, regular: int, large: int, largest: int) -> int:
        return (regular, large, largest)[self._step]

    @property
    def line_h(self) -> int:
        """A line of the weighing round, and of a table of figures."""
        return self._of(35, 46, 54)

    @property
    def small_line_h(self) -> int:
        """A line of a small table on a panel."""
        return self._of(28, 34, 42)

    @property
    def list_line_h(self) -> int:
        """A line of a list on a panel: what is due, the lots."""
        return self._of(32, 36, 44)

    @property
    def open_line_h(self) -> int:
        """A line of the register that says two things under one another."""
        return self._of(46, 52, 64)

    @property
    def margin_w(self) -> int:
        """From the page's edge to the margin line."""
        return self._of(34, 40, 50)

    @property
    def strip_h(self) -> int:
        """The strip above the menus."""
        return self._of(60, 62, 64)

    @property
    def menu_h(self) -> int:
        """The row of menus and index tabs."""
        return self._of(34, 35, 36)

    @property
    def foot_h(self) -> int:
        """The line at the foot of the window."""
        return self._of(30, 32, 34)

    @property
    def control_h(self) -> int:
        """A button or an entry field."""
        return self._of(36, 40, 48)

    @property
    def field_h(self) -> int:
        """An entry field in a form."""
        return self._of(32, 36, 44)

    @property
    def side_w(self) -> int:
        """The page at the right of the register."""
        return self._of(400, 440, 560)

    @property
    def mark(self) -> int:
        """The box a margin mark is drawn in."""
        return self._of(16, 18, 22)
