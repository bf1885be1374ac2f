"""Reads papers back with pypdf: text in the order of the page, shapes by colour, all that is in the file."""

from __future__ import annotations

import io
from collections.abc import Iterator

from pypdf import PdfReader
from pypdf.generic import ContentStream, PdfObject, StreamObject

Colour = tuple[float, ...]


def reader_of(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def pages_text(pdf: bytes) -> list[str]:
    """The text of each page, no-break blanks as blanks."""
    return [page.extract_text().replace("\u00a0", " ") for page in reader_of(pdf).pages]


def text_of(pdf: bytes) -> str:
    """All text on one line, so that line ends of a paragraph do not matter."""
    return " ".join(" ".join(pages_text(pdf)).split())


def stands_in_order(text: str, *parts: str) -> bool:
    """Whether the parts occur one after another."""
    at = 0
    for part in parts:
        found = text.find(part, at)
        if found < 0:
            return False
        at = found + len(part)
    return True


def decompressed(pdf: bytes) -> bytes:
    """The file's bytes, then every stream unpacked, then each page's text: wherever a name could hide."""
    reader = reader_of(pdf)
    parts = [pdf]
    for number in range(1, len(reader.xref_objStm) + max(reader.xref[0]) + 1):
        found = reader.get_object(number)
        if isinstance(found, StreamObject):
            parts.append(found.get_data())
        parts.append(repr(found).encode())
    parts += [text.encode() for text in pages_text(pdf)]
    return b"\n".join(parts)


def shapes(pdf: bytes, page: int) -> Iterator[tuple[str, str, Colour, list[tuple[float, float]]]]:
    """Each path of a page: disc or path, fill or stroke, its colour, its points (of a disc the centre)."""
    reader = reader_of(pdf)
    content = ContentStream(reader.pages[page].get_contents(), reader)
    fill: Colour = (0,)
    stroke: Colour = (0,)
    points: list[tuple[float, float]] = []
    curves = 0
    stack: list[tuple[Colour, Colour]] = []
    for operands, operator in content.operations:
        numbers = [float(one) for one in operands if _is_number(one)]
        match operator:
            case b"q":
                stack.append((fill, stroke))
            case b"Q":
                fill, stroke = stack.pop()
            case b"rg":
                fill = tuple(numbers)
            case b"RG":
                stroke = tuple(numbers)
            case b"m" | b"l":
                points.append((numbers[0], numbers[1]))
            case b"c":
                points.append((numbers[4], numbers[5]))
                curves += 1
            case b"f" | b"f*" | b"S" | b"n":
                if points and operator != b"n":
                    kind = "disc" if curves == 4 else "path"
                    how = "stroke" if operator == b"S" else "fill"
                    told = [_centre(points)] if curves == 4 else points
                    yield kind, how, stroke if operator == b"S" else fill, told
                points, curves = [], 0
            case _:
                pass


def _centre(points: list[tuple[float, float]]) -> tuple[float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _is_number(one: PdfObject | object) -> bool:
    return isinstance(one, (int, float)) or type(one).__name__ in ("FloatObject", "NumberObject")


def is_colour(colour: Colour, of: object) -> bool:
    """Whether it is that reportlab colour, to the three digits a file carries."""
    wanted = (of.red, of.green, of.blue)  # type: ignore[attr-defined]  # a reportlab Color
    return len(colour) == 3 and all(abs(a - b) < 0.004 for a, b in zip(colour, wanted, strict=True))
