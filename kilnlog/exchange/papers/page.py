"""One sheet after another: text with the right letters, the margin line, header and foot, page n of m."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from hashlib import md5

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfbase.pdfdoc import PDFString
from reportlab.pdfgen.canvas import Canvas

from kilnlog.exchange.papers import fonts
from kilnlog.exchange.papers.fonts import SANS, SANS_BOLD, SANS_MEDIUM, SERIF, SERIF_ITALIC, Unprintable
from kilnlog.exchange.papers.options import PaperOptions, Printed

#: The window's own colours on white, by the names they have there.
INK, INK2, PENCIL = HexColor("#211F1A"), HexColor("#5B5548"), HexColor("#1D4E6B")
RULE, MARGIN, EDGE = HexColor("#DDD6C7"), HexColor("#D3A79C"), HexColor("#857C6C")
LOOK, BAND, PALE = HexColor("#855600"), HexColor("#D8D2C4"), HexColor("#F3EFE5")
DRY, WET = HexColor("#9A3A2C"), HexColor("#1B6AA5")

#: Left edge of the margin line and of the text, right edge of the text from the right [pt].
MARGIN_LINE, LEFT, RIGHT = 58.0, 71.0, 46.0
TOP, FOOT = 44.0, 66.0


@dataclass(frozen=True, slots=True)
class Role:
    """A face, its size and the distance of its lines [pt]."""

    face: str
    size: float
    leading: float


TITLE = Role(SERIF, 23, 27)
SUBTITLE = Role(SERIF_ITALIC, 12.5, 16)
HEADING = Role(SERIF, 12.5, 16)
SUBHEADING = Role(SERIF, 10.5, 14)
LABEL = Role(SANS_MEDIUM, 8.8, 13)
BODY = Role(SANS, 9.8, 13)
STRONG = Role(SANS_BOLD, 9.8, 13)
SMALL = Role(SANS, 8.6, 11)
SMALL_STRONG = Role(SANS_BOLD, 8.6, 11)
SAID = Role(SERIF_ITALIC, 9.6, 12.5)
BIG = Role(SANS_BOLD, 21.5, 24)
FIGURE = Role(SANS_BOLD, 18, 24)


@dataclass(frozen=True, slots=True)
class Foot:
    """What stands under every page: a sentence, then the seal with its mark, or another line without one."""

    sentence: str
    under: str
    is_sealed: bool | None  # None: the paper has nothing to do with a seal


@dataclass(frozen=True, slots=True)
class About:
    """What a reader of the file's properties is told."""

    title: str
    author: str
    subject: str
    at: str | None  # the moment the file bears, ISO 8601 with offset; None: none is told


class Paper:
    """Sheets being drawn, y growing downward from the top of the sheet [pt].

    ``page n of m`` needs m before the first page is drawn, so a paper is drawn twice; ``total`` is m.
    """

    def __init__(self, about: About, options: PaperOptions, total: int) -> None:
        fonts.load_fonts()
        self.options = options
        self.foot: Foot | None = None  # of the sheet in hand, and of those after it
        self.total = total
        self.pages = 1
        self.unprintable = Unprintable()
        self.page_width, self.page_height = options.size.value
        self.has_margin_line = True
        self._file = io.BytesIO()
        self.canvas = Canvas(
            self._file,
            pagesize=options.size.value,
            invariant=1,  # the same contents give the same bytes
            initialFontName=SANS,  # type: ignore[arg-type]  # a name; its stub says a number. Else Helvetica is listed
            pageCompression=1,
        )
        # The file is told apart by its contents alone; reportlab would take SOURCE_DATE_EPOCH in as well.
        document = self.canvas._doc  # type: ignore[attr-defined]  # the stub leaves it out
        document.signature = md5(b"kilnlog", usedforsecurity=False)
        self.canvas.setTitle(fonts.plain(about.title))
        self.canvas.setAuthor(fonts.plain(about.author))
        self.canvas.setSubject(fonts.plain(about.subject))
        self.canvas.setCreator("kilnlog")
        self.canvas.setProducer("kilnlog")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")
        self.canvas.setCatalogEntry("Lang", PDFString("en"))
        self.canvas.setDateFormatter(_date_formatter(about.at))

    # ------------------------------------------------------------------ the sheet
    @property
    def left(self) -> float:
        """Where text begins [pt]."""
        return LEFT

    @property
    def right(self) -> float:
        """Where text ends [pt]."""
        return self.page_width - RIGHT

    @property
    def top(self) -> float:
        """Where the first line of a page begins [pt]."""
        return TOP

    @property
    def bottom(self) -> float:
        """What no line of a page may pass [pt]."""
        return self.page_height - (FOOT if self.foot is not None else 36)

    def next_page(self) -> None:
        """End this sheet and begin another."""
        self._close_sheet()
        self.canvas.showPage()
        self.pages += 1

    def finish(self) -> Printed:
        """The file."""
        self._close_sheet()
        self.canvas.save()
        return Printed(
            self._file.getvalue(),
            self.pages,
            tuple(sorted(self.unprintable.replaced)),
            tuple(sorted(self.unprintable.unjoined)),
        )

    def _close_sheet(self) -> None:
        if self.has_margin_line:
            self.line(MARGIN_LINE, TOP, MARGIN_LINE, self.bottom - 8, MARGIN, 0.8)
        if self.foot is None:
            return
        y = self.page_height - FOOT + 4
        self.line(self.left, y, self.right, y, INK, 0.9)
        self.text(self.left, y + 14, self.foot.sentence, SAID, INK)
        y += 29
        indent = 0
        if self.foot.is_sealed is not None:
            self.ring(self.left + 4, y - 3, self.foot.is_sealed)
            indent = 13
        under = wrapped(self.foot.under, SMALL_STRONG, self.right - self.left - 75)
        for number, line in enumerate(under):
            self.text(self.left + indent, y + number * 10, line, SMALL_STRONG, INK)
        if notice := self._notice():
            self.text(self.left + 13, y + len(under) * 10, notice, SMALL, LOOK)
        self.text(self.right, y, f"page {self.pages} of {self.total}", SMALL, INK2, "right")

    def _notice(self) -> str:
        """What is said of letters that could not be printed as they should, once one stood on a page."""
        said = []
        if self.unprintable.replaced:
            codes = ", ".join(f"U+{ord(sign):04X}" for sign in sorted(self.unprintable.replaced)[:6])
            more = " and others" if len(self.unprintable.replaced) > 6 else ""
            said.append(f"{fonts.BOX} stands for a letter that the faces of this paper lack: {codes}{more}")
        if self.unprintable.unjoined:
            said.append("Arabic letters are printed one by one, not joined")
        return "; ".join(said)

    # ------------------------------------------------------------------ marks
    def text(
        self, x: float, y: float, text: str, role: Role, colour: Color = INK, align: str = "left"
    ) -> float:
        """One line with its baseline at ``y``; its width [pt]. ``align``: left, right, centre of ``x``."""
        text = fonts.plain(text)
        width = fonts.text_width(text, role.face, role.size)
        at = x - (width if align == "right" else width / 2 if align == "centre" else 0)
        line = self.canvas.beginText(at, self.page_height - y)
        line.setFillColor(colour)
        for face, piece in fonts.runs(text, role.face, self.unprintable):
            line.setFont(face, role.size)
            line.textOut(piece)
        line.textOut(" ")  # else a reader of the text may run two lines together
        self.canvas.drawText(line)
        return width

    def line(
        self,
        x1: float,
        y1: float,
        x2: float,
        y2: float,
        colour: Color = RULE,
        width: float = 0.7,
        dash: Sequence[float] = (),
    ) -> None:
        """A straight line."""
        self.polyline([(x1, y1), (x2, y2)], colour, width, dash)

    def polyline(
        self, points: Sequence[tuple[float, float]], colour: Color, width: float, dash: Sequence[float] = ()
    ) -> None:
        """Lines from point to point."""
        if len(points) < 2:
            return
        canvas = self.canvas
        canvas.saveState()
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(width)
        canvas.setLineJoin(1)
        canvas.setDash(list(dash), 0) if dash else canvas.setDash()
        path = canvas.beginPath()
        for number, (x, y) in enumerate(points):
            (path.lineTo if number else path.moveTo)(x, self.page_height - y)
        canvas.drawPath(path, stroke=1, fill=0)
        canvas.restoreState()

    def shape(
        self,
        points: Sequence[tuple[float, float]],
        fill: Color | None,
        stroke: Color | None = None,
        width: float = 0.8,
    ) -> None:
        """A closed shape."""
        canvas = self.canvas
        canvas.saveState()
        canvas.setLineWidth(width)
        if fill is not None:
            canvas.setFillColor(fill)
        if stroke is not None:
            canvas.setStrokeColor(stroke)
        path = canvas.beginPath()
        for number, (x, y) in enumerate(points):
            (path.lineTo if number else path.moveTo)(x, self.page_height - y)
        path.close()
        canvas.drawPath(path, stroke=int(stroke is not None), fill=int(fill is not None))
        canvas.restoreState()

    def rect(self, x: float, y: float, width: float, height: float, fill: Color) -> None:
        """A filled rectangle, ``y`` its upper edge."""
        self.shape([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], fill)

    def disc(
        self, x: float, y: float, radius: float, fill: Color | None, stroke: Color | None = None
    ) -> None:
        """A disc, or a ring."""
        canvas = self.canvas
        canvas.saveState()
        if fill is not None:
            canvas.setFillColor(fill)
        if stroke is not None:
            canvas.setStrokeColor(stroke)
            canvas.setLineWidth(0.9)
        canvas.circle(
            x, self.page_height - y, radius, stroke=int(stroke is not None), fill=int(fill is not None)
        )
        canvas.restoreState()

    def diamond(
        self, x: float, y: float, radius: float, fill: Color | None, stroke: Color | None, width: float = 1.0
    ) -> None:
        """A square on its point."""
        corners = [(x, y - radius), (x + radius, y), (x, y + radius), (x - radius, y)]
        self.shape(corners, fill, stroke, width)

    def ring(self, x: float, y: float, is_filled: bool) -> None:
        """The mark of the seal: a ring, with a disc inside where there is a seal."""
        self.disc(x, y, 3.6, None, INK2)
        if is_filled:
            self.disc(x, y, 1.7, INK2)


def printed(about: About, options: PaperOptions, draw: Callable[[Paper], None]) -> Printed:
    """Draw a paper, first to count its pages, then with their number at the foot of each."""
    counted = Paper(about, options, 0)
    draw(counted)
    paper = Paper(about, options, counted.pages)
    draw(paper)
    return paper.finish()


#: A blank that would part a figure from its sign.
_LOOSE_UNIT, _TIE = re.compile(r"(?<=\d) (?=[%°])"), "\u00a0"


def wrapped(text: str, role: Role, width: float) -> list[str]:
    """The text in lines no wider than ``width`` [pt]; a word wider than that is broken."""
    return list(_wrapped(text, role, width))


@lru_cache(maxsize=2048)
def _wrapped(text: str, role: Role, width: float) -> tuple[str, ...]:
    blank = fonts.text_width(" ", role.face, role.size)
    lines: list[str] = []
    line, taken = "", 0.0
    words = _LOOSE_UNIT.sub(_TIE, fonts.plain(text)).split(" ")  # at blanks alone: a tied one holds
    for word in filter(None, words):
        room = fonts.text_width(word, role.face, role.size)
        if line and taken + blank + room <= width:
            line, taken = f"{line} {word}", taken + blank + room
            continue
        if line:
            lines.append(line)
        *whole, line = _broken(word, role, width) if room > width else (word,)
        lines += whole
        taken = fonts.text_width(line, role.face, role.size)
    return (*lines, line) if line else tuple(lines)


def _broken(word: str, role: Role, width: float) -> list[str]:
    """A word that is wider than the line, in pieces that are not."""
    pieces = [""]
    for sign in word:
        longer = pieces[-1] + sign
        if pieces[-1] and fonts.text_width(longer, role.face, role.size) > width:
            pieces.append(sign)
        else:
            pieces[-1] = longer
    return pieces


def _date_formatter(at: str | None) -> Callable[..., str]:
    """What reportlab asks for a date: always the same, whatever the clock and the zone of the machine."""
    told = ""
    if at is not None:
        told = datetime.fromisoformat(at).astimezone(UTC).strftime("D:%Y%m%d%H%M%S+00'00'")

    def formatted(*_: object) -> str:
        return told

    return formatted
