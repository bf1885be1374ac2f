"""The head of a paper: its title, what it is of, and the mill at the right."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.exchange.papers.fonts import text_width
from kilnlog.exchange.papers.page import (
    BIG,
    FIGURE,
    HEADING,
    INK,
    INK2,
    SMALL,
    SUBTITLE,
    TITLE,
    Paper,
    wrapped,
)

_MILL_SHARE = 0.36


@dataclass(frozen=True)
class TitleBlock:
    """Title and subject left, the mill and its place right; long names take more lines, never less size."""

    title: str
    subject: str
    mill: str
    place: str

    def _mill_lines(self, width: float) -> list[str]:
        return wrapped(self.mill, HEADING, width * _MILL_SHARE)

    def _place_lines(self, width: float) -> list[str]:
        return wrapped(self.place, SMALL, width * _MILL_SHARE)

    def _subject_lines(self, width: float) -> list[str]:
        return wrapped(
            self.subject, SUBTITLE, width if self._is_low(width) else width * (1 - _MILL_SHARE) - 14
        )

    def _is_low(self, width: float) -> bool:
        """Whether the mill ends above the subject, which then has the whole width."""
        return self._right_height(width) <= TITLE.leading - 4 and bool(self.subject)

    def _right_height(self, width: float) -> float:
        mill, place = len(self._mill_lines(width)), len(self._place_lines(width))
        return mill * HEADING.leading + place * (SMALL.leading + 1)

    def height(self, width: float) -> float:
        """Both sides and the rule under them."""
        left = TITLE.leading + len(self._subject_lines(width)) * SUBTITLE.leading
        return max(left, self._right_height(width)) + 17

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Title first; the mill after the subject, as a letter is read."""
        base = y + TITLE.size - 1
        paper.text(x, base, self.title, TITLE)
        for number, line in enumerate(self._subject_lines(width)):
            paper.text(x, base + 18 + number * SUBTITLE.leading, line, SUBTITLE, INK2)
        at = y + HEADING.size
        for line in self._mill_lines(width):
            paper.text(x + width, at, line, HEADING, INK, "right")
            at += HEADING.leading
        for line in self._place_lines(width):
            paper.text(x + width, at - 1, line, SMALL, INK2, "right")
            at += SMALL.leading + 1
        under = y + self.height(width) - 8
        paper.line(x, under, x + width, under, INK, 1.1)


@dataclass(frozen=True)
class BigFigures:
    """The count first and largest, then the other figures, each with its name under it."""

    figures: tuple[tuple[str, str], ...]

    def height(self, width: float) -> float:
        """Two lines."""
        return 44

    def draw(self, paper: Paper, x: float, y: float, width: float) -> None:
        """Each figure, then its name, left to right."""
        names = [text_width(name, SMALL.face, SMALL.size) for _, name in self.figures]
        values = [
            text_width(value, role.face, role.size)
            for role, (value, _) in zip([BIG] + [FIGURE] * len(self.figures), self.figures, strict=False)
        ]
        rooms = [max(pair) for pair in zip(names, values, strict=True)]
        gap = (width - 20 - sum(rooms)) / max(1, len(rooms) - 1)
        at = x
        for number, (value, name) in enumerate(self.figures):
            paper.text(at, y + 21, value, FIGURE if number else BIG)
            paper.text(at, y + 35, name, SMALL, INK2)
            at += rooms[number] + min(gap, 60)
