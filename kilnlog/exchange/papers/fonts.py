"""The faces of the papers, and which face has which letter.

A letter that the face lacks is taken from DejaVu Sans; one that this lacks too is printed as a box and
reported. Nothing is dropped silently: reportlab itself says nothing of a missing glyph.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from functools import cache, lru_cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from kilnlog.reference.resources import resource

SANS, SANS_MEDIUM, SANS_BOLD = "kilnlog-sans", "kilnlog-sans-medium", "kilnlog-sans-bold"
SERIF, SERIF_ITALIC = "kilnlog-serif", "kilnlog-serif-italic"
_MORE, _MORE_BOLD = "kilnlog-more", "kilnlog-more-bold"

_FILES = {
    SANS: "SourceSans3_400Regular.ttf",
    SANS_MEDIUM: "SourceSans3_500Medium.ttf",
    SANS_BOLD: "SourceSans3_600SemiBold.ttf",
    SERIF: "SourceSerif4_600SemiBold.ttf",
    SERIF_ITALIC: "SourceSerif4_400Regular_Italic.ttf",
    _MORE: "DejaVuSans.ttf",
    _MORE_BOLD: "DejaVuSans-Bold.ttf",
}
_BOLD = {SANS_BOLD, SERIF}

#: Stands for a letter that no face has.
BOX = "□"


@dataclass
class Unprintable:
    """What could not be printed as it should, collected while a paper is drawn."""

    replaced: set[str] = field(default_factory=set)
    unjoined: set[str] = field(default_factory=set)


@cache
def load_fonts() -> dict[str, frozenset[int]]:
    """Make the faces known to reportlab, once. The letters (code points) that each of them has, by face."""
    letters: dict[str, frozenset[int]] = {}
    for name, file in _FILES.items():
        font = TTFont(name, str(resource("fonts", file)))
        pdfmetrics.registerFont(font)
        letters[name] = frozenset(font.face.charToGlyph)
    return letters


def plain(text: str) -> str:
    """One line of composed letters: blanks for line ends and tabs, without signs that have no shape."""
    composed = unicodedata.normalize("NFC", text)
    kept = (sign for sign in composed if unicodedata.category(sign) != "Cf")
    return "".join(" " if sign.isspace() and sign not in _TIED else sign for sign in kept)


#: Blanks that hold a figure and its unit together.
_TIED = "\u00a0\u202f\u2007"


def runs(text: str, face: str, unprintable: Unprintable | None = None) -> list[tuple[str, str]]:
    """The text in pieces, each with the face that has its letters, in the order they stand on the line."""
    letters = load_fonts()
    more = _MORE_BOLD if face in _BOLD else _MORE
    pieces: list[tuple[str, str]] = []
    for sign in _as_seen(text):
        shown, name = sign, face
        if ord(sign) not in letters[face]:
            name = more if ord(sign) in letters[more] else _MORE
            if ord(sign) not in letters[name]:
                shown = BOX
                if unprintable is not None:
                    unprintable.replaced.add(sign)
        if unprintable is not None and unicodedata.bidirectional(sign) == "AL":
            unprintable.unjoined.add(sign)
        if pieces and pieces[-1][0] == name:
            pieces[-1] = (name, pieces[-1][1] + shown)
        else:
            pieces.append((name, shown))
    return pieces


@lru_cache(maxsize=8192)  # a page is laid several times over, mostly of the same words
def text_width(text: str, face: str, size: float) -> float:
    """How long the text is in that face and size [pt]."""
    load_fonts()
    return sum(float(pdfmetrics.stringWidth(piece, name, size)) for name, piece in runs(text, face))


#: Before it, no letter is written from right to left.
_FIRST_FROM_RIGHT = "\u0590"


def _is_from_right(sign: str) -> bool:
    return unicodedata.bidirectional(sign) in ("R", "AL")


def _as_seen(text: str) -> str:
    """With each run written from right to left turned round, as it stands on paper.

    Figures and Latin words inside such a run end it: for a name on a line of its own that is as it should be;
    the full rules of mixed lines are not followed.
    """
    if max(text, default="") < _FIRST_FROM_RIGHT or not any(_is_from_right(sign) for sign in text):
        return text
    seen, run = "", ""
    for sign in text:
        if _is_from_right(sign) or (run and (sign == " " or unicodedata.combining(sign))):
            run += sign
            continue
        seen, run = seen + _turned(run) + sign, ""
    return seen + _turned(run)


def _turned(run: str) -> str:
    """From right to left; a mark stays behind its letter, blanks at the end stay at the end."""
    core = run.rstrip(" ")
    clusters: list[str] = []
    for sign in core:
        if clusters and unicodedata.combining(sign):
            clusters[-1] += sign
        else:
            clusters.append(sign)
    return "".join(reversed(clusters)) + run[len(core) :]
