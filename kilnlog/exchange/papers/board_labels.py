"""Labels to staple to sample boards: eight to a sheet, to be cut along the dashes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from kilnlog.exchange.papers.contents import BoardPart, Contents
from kilnlog.exchange.papers.fonts import SANS, SANS_BOLD, SANS_MEDIUM, SERIF, SERIF_ITALIC, text_width
from kilnlog.exchange.papers.options import PaperOptions, Printed
from kilnlog.exchange.papers.page import EDGE, INK, INK2, MARGIN, About, Paper, Role, printed, wrapped
from kilnlog.exchange.papers.seal_words import made_at
from kilnlog.exchange.papers.words import NOTHING, figure, short
from kilnlog.records.errors import KilnlogError
from kilnlog.records.typed_weight import weight_from_text, weight_text
from kilnlog.records.weight import Weight, WeightUnit

TITLE = "Board labels"
_ACROSS, _DOWN = 2, 4
#: No printer reaches the edge of the sheet; the dashes stand inside what it reaches [pt].
_EDGE_ROOM = 20.0

_CHARGE = Role(SERIF_ITALIC, 12.5, 15)
_NAME = Role(SANS_MEDIUM, 10, 13)
_WEIGHT = Role(SANS_BOLD, 17, 20)
_LOT = Role(SANS, 11, 13)
_LARGEST_BOARD, _SMALLEST_BOARD = 46.0, 13.0


class BoardLabel(TypedDict):
    """What stands on a label; weights as texts with their unit, in the unit of the scale."""

    charge: str
    board: str
    lot: str | None
    start_weight: str | None
    oven_dry_weight: str | None
    target_weight: str | None
    target_mc_pct: float | None


def labels_of(contents: Contents) -> list[BoardLabel]:
    """A label for each sample board, in the unit its start weight was typed in."""
    charge = contents["charge"]
    target = {lot["lot"]: lot["limits"]["target_mc_pct"] for lot in contents["lots"]}
    labels: list[BoardLabel] = []
    for board in contents["boards"]:
        own = target.get(board["lot"] or "")
        labels.append(
            {
                "charge": charge["charge"],
                "board": board["board"],
                "lot": board["lot"],
                "start_weight": board["start_weight"],
                "oven_dry_weight": _in_its_unit(board, board["oven_dry_weight_g"]),
                "target_weight": _in_its_unit(board, board["weight_at_target_g"]),
                "target_mc_pct": charge["target_mc_pct"] if own is None else own,
            }
        )
    return labels


def board_labels(contents: Contents, options: PaperOptions) -> Printed:
    """The labels of all sample boards of a charge."""
    return printed_labels(labels_of(contents), options, made_at(contents, options))


def printed_labels(labels: Sequence[BoardLabel], options: PaperOptions, at: str | None) -> Printed:
    """These labels; ``at`` is the moment the file bears, ISO 8601 with offset."""

    def draw(paper: Paper) -> None:
        paper.has_margin_line = False
        for number, label in enumerate(labels):
            place = number % (_ACROSS * _DOWN)
            if number and place == 0:
                paper.next_page()
            if place == 0:
                _draw_cuts(paper)
            _draw_label(paper, label, place)

    charges = ", ".join(dict.fromkeys(label["charge"] for label in labels))
    about = About(f"{TITLE}, charge {charges}", "", "Labels to cut out", at)
    return printed(about, options, draw)


def _cell(paper: Paper) -> tuple[float, float]:
    """Width and height of a label [pt]: about 95 by 70 mm."""
    return (
        (paper.page_width - 2 * _EDGE_ROOM) / _ACROSS,
        (paper.page_height - 2 * _EDGE_ROOM) / _DOWN,
    )


def _draw_cuts(paper: Paper) -> None:
    width, height = _cell(paper)
    right, bottom = paper.page_width - _EDGE_ROOM, paper.page_height - _EDGE_ROOM
    for row in range(_DOWN + 1):
        y = _EDGE_ROOM + row * height
        paper.line(_EDGE_ROOM, y, right, y, EDGE, 0.6, (4, 4))
    for column in range(_ACROSS + 1):
        x = _EDGE_ROOM + column * width
        paper.line(x, _EDGE_ROOM, x, bottom, EDGE, 0.6, (4, 4))


def _draw_label(paper: Paper, label: BoardLabel, place: int) -> None:
    width, height = _cell(paper)
    x = _EDGE_ROOM + place % _ACROSS * width + 26
    y = _EDGE_ROOM + place // _ACROSS * height + 14
    room = width - 26 - 16
    paper.line(x - 10, y, x - 10, y + height - 28, MARGIN, 0.8)
    base = y + 12
    for line in wrapped(f"Charge {label['charge']}", _CHARGE, room)[:2]:
        paper.text(x, base, line, _CHARGE, INK2)
        base += _CHARGE.leading
    board = _board_role(label["board"], room)
    base += board.size * 0.72 + 2
    for line in wrapped(label["board"], board, room)[:2]:
        paper.text(x, base, line, board)
        base += board.leading
    if label["lot"]:
        lot = wrapped(f"lot {label['lot']}", _LOT, room)
        base = base - board.leading + 17
        paper.text(x, base, lot[0], _LOT, INK2)
    base = y + height - 28 - 2 * 24
    of_target = "" if label["target_mc_pct"] is None else f" at {short(label['target_mc_pct'])} %"
    for name, weight in (
        ("start", label["start_weight"]),
        ("oven-dry", label["oven_dry_weight"]),
        (f"weight{of_target}" if of_target else "target", label["target_weight"]),
    ):
        paper.line(x, base - 18, x + room, base - 18, EDGE, 0.5)
        paper.text(x, base, name, _NAME, INK2)
        paper.text(x + room, base, weight or NOTHING, _WEIGHT, INK, "right")
        base += 24


def _board_role(board: str, room: float) -> Role:
    """As large as the name lets it: a number is read from across the kiln."""
    size = _LARGEST_BOARD
    while size > _SMALLEST_BOARD and text_width(board, SERIF, size) > room:
        size -= 1
    return Role(SERIF, size, size + 2)


def _in_its_unit(board: BoardPart, weight_g: float | None) -> str | None:
    """A computed weight in the unit and steps of the start weight; in grams where that is not known."""
    if weight_g is None:
        return None
    start = _typed(board["start_weight"])
    if start is None:
        return f"{figure(weight_g, 0)} g"
    text = weight_text(weight_g, start.unit, start.step_g)
    return text if start.unit is WeightUnit.LB_OZ else f"{text} {start.unit.value}"


def _typed(text: str | None) -> Weight | None:
    try:
        return None if text is None else weight_from_text(text, WeightUnit.G)
    except KilnlogError:
        return None
