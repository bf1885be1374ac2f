"""Unlikely weights of a cut are told above the buttons once; kept once more, they are kept."""

from __future__ import annotations

from collections.abc import Hashable, Iterable

from kilnlog.drying.cut_doubts import CutPiece, Sister, cut_doubts
from kilnlog.drying.figures import Assessment, BoardFigures
from kilnlog.drying.sections import accepted
from kilnlog.logbook.wording import worded_finding
from kilnlog.reference.tables import Reference
from kilnlog.ui.look.form import Form


class AskedOnce:
    """What one form was asked about. Another weight is asked about anew."""

    def __init__(self, form: Form, reference: Reference) -> None:
        self._form, self._reference = form, reference
        self._asked: Hashable = None

    def is_doubted(self, pieces: Iterable[CutPiece]) -> bool:
        """Whether the form was just told that something is unlikely, and is not to be kept yet."""
        cut = tuple(pieces)
        told = []
        again = ""
        for piece in cut:
            for doubt in cut_doubts(piece, self._reference):
                words = worded_finding(doubt, piece.wet.unit)
                told.append(f"{words.headline}. {words.why}")
                again = words.do
        if not told or cut == self._asked:
            return False
        self._asked = cut
        self._form.tell(" ".join([*told, again]))
        return True


def board_of(assessment: Assessment | None, entity: str) -> BoardFigures | None:
    """A board's figures as they stand."""
    boards = assessment.boards if assessment is not None else ()
    return next((board for board in boards if board.entity == entity), None)


def sister_of(board: BoardFigures | None, section: str | None) -> Sister | None:
    """Another section of the board that counts, to hold ``section`` (its entity, None: a new one) against."""
    if board is None:
        return None
    for other in accepted(board.sections):
        if other.entity != section and other.mc_pct is not None:
            return f"section {other.section}", other.mc_pct
    return None
