"""What is asked about the weights of a cut as they are typed: sections and boards no saw is likely to leave.

A likely slip is offered where the decimal mark one or two places off would make the weight fit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from kilnlog.drying.finding import Finding, Severity, Value
from kilnlog.drying.moisture_content import moisture_content_pct
from kilnlog.drying.slips import SlipKind, slips
from kilnlog.records.weight import Weight
from kilnlog.reference.tables import Reference

Sister = tuple[str, float]
"""What a section is compared with, in words, and its moisture content [%]."""


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One piece with a wet weight and, once it is dry, an oven-dry one."""

    piece: str  # in words: "section A", "board 5"
    wet: Weight
    oven_dry: Weight | None = None
    board: Weight | None = None  # what it was cut from; None where it is the board itself
    sister: Sister | None = None
    in_oven: bool = (
        False  # ``oven_dry`` was read in the oven: it may fall yet; the wet weight is kept already
    )


def cut_doubts(cut: CutPiece, reference: Reference) -> tuple[Finding, ...]:
    """Everything unlikely about one piece; limits: the tables' ``cut_mc_low_pct`` and those after it."""
    judged = _Judge(cut, reference)
    weights = judged.of_section() if cut.board is not None else judged.of_board()
    return (*(() if cut.in_oven else weights), *judged.of_moisture())


class _Judge:
    def __init__(self, cut: CutPiece, reference: Reference) -> None:
        self._cut = cut
        # In the oven it dries on: the weight it comes to later can only give more than this.
        self._low_pct = 0.0 if cut.in_oven else reference.limit("cut_mc_low_pct")
        self._high_pct = reference.limit("cut_mc_high_pct")
        self._apart_pct = reference.limit("sections_far_apart_mc_pct")
        self._most_share = reference.limit("section_most_share")
        self._least_g = reference.limit("section_least_g")
        self._board_g = reference.limit("board_most_g")
        self._source = reference.practice["cut_mc_low_pct"].source

    def of_section(self) -> Iterator[Finding]:
        """Its wet weight against the board's, and against what a balance can tell."""
        cut, wet_g = self._cut, self._cut.wet.g
        if cut.board is not None and wet_g > self._most_share * cut.board.g:
            likely = self._fitting_wet()
            values: dict[str, Value] = {
                "piece": cut.piece,
                "wet_g": wet_g,
                "share_pct": 100 * wet_g / cut.board.g,
                "board_g": cut.board.g,
                "limit_pct": 100 * self._most_share,
                "likely_text": _text(likely),
                "likely_unit": _unit(likely),
            }
            yield Finding("section-heavy", Severity.LOOK, cut.piece, values, self._source)
        if wet_g < self._least_g:
            likely = self._fitting_wet()
            small: dict[str, Value] = {
                "piece": cut.piece,
                "wet_g": wet_g,
                "least_g": self._least_g,
                "likely_text": _text(likely),
                "likely_unit": _unit(likely),
            }
            yield Finding("section-light", Severity.LOOK, cut.piece, small, self._source)

    def of_board(self) -> Iterator[Finding]:
        """Its weight against what anybody lifts."""
        if self._cut.wet.g > self._board_g:
            fitting = (one for one in _shifted(self._cut.wet, None) if one.g <= self._board_g)
            likely = max(fitting, key=lambda one: one.g, default=None)
            values: dict[str, Value] = {
                "piece": self._cut.piece,
                "board_g": self._cut.wet.g,
                "most_g": self._board_g,
                "likely_text": _text(likely),
                "likely_unit": _unit(likely),
            }
            yield Finding("board-heavy", Severity.LOOK, self._cut.piece, values, self._source)

    def of_moisture(self) -> Iterator[Finding]:
        """Its moisture content against that of wood, and against that of its sister."""
        cut = self._cut
        if cut.oven_dry is None or cut.oven_dry.grams <= 0:
            return
        mc_pct = moisture_content_pct(cut.wet.g, cut.oven_dry.g)
        likely, likely_mc_pct = self._fitting_pair()
        if not self._is_wood(mc_pct):
            values: dict[str, Value] = {
                "piece": cut.piece,
                "mc_pct": mc_pct,
                "lowest_mc_pct": self._low_pct,
                "highest_mc_pct": self._high_pct,
                "likely_mc_pct": likely_mc_pct,
                "likely_text": _text(likely),
                "likely_unit": _unit(likely),
            }
            yield Finding("cut-mc-odd", Severity.LOOK, cut.piece, values, self._source)
        elif not self._is_near(mc_pct) and cut.sister is not None:
            apart: dict[str, Value] = {
                "piece": cut.piece,
                "mc_pct": mc_pct,
                "other_piece": cut.sister[0],
                "other_mc_pct": cut.sister[1],
                "limit_pct": self._apart_pct,
                "likely_mc_pct": likely_mc_pct,
                "likely_text": _text(likely),
                "likely_unit": _unit(likely),
            }
            yield Finding("cut-mc-apart", Severity.LOOK, cut.piece, apart, self._source)

    def _is_wood(self, mc_pct: float) -> bool:
        return self._low_pct <= mc_pct <= self._high_pct

    def _is_near(self, mc_pct: float) -> bool:
        if self._cut.sister is None:
            return True
        above_pct = mc_pct - self._cut.sister[1]
        return above_pct <= self._apart_pct and (self._cut.in_oven or above_pct >= -self._apart_pct)

    def _is_slice(self, wet: Weight) -> bool:
        board = self._cut.board
        return board is None or self._least_g <= wet.g <= self._most_share * board.g

    def _fitting_wet(self) -> Weight | None:
        """The wet weight as it may have been meant; the dry one, where there is one, has its say."""
        dry = self._cut.oven_dry
        for wet in _shifted(self._cut.wet, dry):
            if self._is_slice(wet) and (dry is None or self._fits(wet, dry)):
                return wet
        return None

    def _fitting_pair(self) -> tuple[Weight | None, float | None]:
        """Which of the two weights may have been meant otherwise, and the moisture content it gives [%]."""
        wet, dry = self._cut.wet, self._cut.oven_dry
        if dry is None:
            return None, None
        if self._is_slice(wet):
            for one in _shifted(dry, wet):
                if self._fits(wet, one):
                    return one, moisture_content_pct(wet.g, one.g)
        likely = self._fitting_wet() if not self._cut.in_oven else None
        return likely, moisture_content_pct(likely.g, dry.g) if likely is not None else None

    def _fits(self, wet: Weight, dry: Weight) -> bool:
        if dry.grams <= 0 or wet.grams <= dry.grams:
            return False
        mc_pct = moisture_content_pct(wet.g, dry.g)
        return self._is_wood(mc_pct) and self._is_near(mc_pct)


def _text(likely: Weight | None) -> str | None:
    return likely.text if likely is not None else None


def _unit(likely: Weight | None) -> str | None:
    return likely.unit.value if likely is not None else None


def _shifted(weight: Weight, like: Weight | None) -> Iterator[Weight]:
    """The weight with its decimal mark elsewhere, one place before two, no finer than its fellow shows."""
    usual_step_g = min(weight.step_g, like.step_g) if like is not None else weight.step_g / Decimal(100)
    meant = slips(weight, usual_step_g, (SlipKind.DECIMAL,))
    yield from sorted(meant, key=lambda one: abs((one.step_g / weight.step_g).log10()))
