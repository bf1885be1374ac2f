"""What a board's oven-dry weight rests on, from one cut or break to the next.

A board is a chain of pieces: a recut or a break ends one piece and leaves the next. Each piece has the
oven-dry weight known while it was weighed (the first estimate), and the one that governs now: a recut whose
section is dry corrects every piece before it, back to the recut before, scaled back through breaks between.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kilnlog.drying.facts_at import BoardFacts, Seen
from kilnlog.drying.figures import Basis, BasisKind, SectionFigures
from kilnlog.drying.moisture_content import moisture_content_pct, oven_dry_weight_g
from kilnlog.drying.sections import start_mc_pct, weighing_uncertainties_pct
from kilnlog.drying.uncertainty import (
    Budget,
    reading_uncertainty_g,
    relative_sq,
    section_weighing_uncertainty_pct,
)
from kilnlog.records.breakage import Breakage
from kilnlog.records.moment import Moment
from kilnlog.records.recut import Recut
from kilnlog.records.weight import Weight


@dataclass(slots=True)
class Cut:
    """The end of one piece and the beginning of the next: a recut or a break."""

    entity: str
    at: Moment
    is_recut: bool
    before_g: float  # as weighed
    after_g: float
    net_before_g: float
    net_after_g: float
    before_sq: float  # (u / W)^2 of the net weight before
    after_sq: float
    mc_pct: float | None  # a recut's section, once dry
    mc_uncertainty_pct: float  # standard


@dataclass(slots=True)
class Piece:
    """One piece of a board, between two cuts."""

    since: Moment
    coats_g: float  # what the end coats on it weigh
    coats_sq_g: float  # square of their standard uncertainty
    kind: BasisKind | None = None  # of the first estimate; None while there is none
    first_g: float | None = None  # oven-dry weight as known while it was weighed
    first_sq: float = 0.0  # (u(OD) / OD)^2 of it
    dry_g: float | None = None  # oven-dry weight that governs now
    dry_sq: float = 0.0
    rebased: bool = False  # by a later recut


@dataclass(frozen=True, slots=True)
class Chain:
    """A board's pieces with the cuts between them: one more piece than cuts."""

    pieces: tuple[Piece, ...]
    cuts: tuple[Cut, ...]
    start_net_g: float
    start_sq: float
    start_mc_pct: float | None
    start_mc_sq: float  # (u(M0) / (100 + M0))^2

    @property
    def last(self) -> Piece:
        """The board as it is now."""
        return self.pieces[-1]

    def bases(self) -> tuple[Basis, ...]:
        """The first estimates in order, each with what a later recut made of it."""
        return tuple(
            Basis(
                kind=piece.kind,
                at=piece.since,
                oven_dry_weight_g=piece.first_g,
                corrected_oven_dry_weight_g=piece.dry_g if piece.rebased else None,
            )
            for piece in self.pieces
            if piece.kind is not None and piece.first_g is not None
        )


def chain_of(board: BoardFacts, sections: Sequence[SectionFigures], budget: Budget, at: Moment) -> Chain:
    """The pieces of one board as of ``at``, each with its oven-dry weights."""
    fact = board.seen.fact
    division = fact.scale_division

    def step_g(weight: Weight) -> float:
        return float(weight.step_g) if division is None else division.g

    coat = fact.coating_weight
    piece = Piece(
        since=board.seen.at,
        coats_g=0.0 if coat is None else coat.g,
        coats_sq_g=0.0 if coat is None else reading_uncertainty_g(float(coat.step_g)) ** 2,
    )
    start_g = fact.start_weight.g
    start_sq = relative_sq(step_g(fact.start_weight), start_g)
    mc_pct = start_mc_pct(sections)
    mc_sq = 0.0
    if fact.oven_dry_weight is not None:
        piece.kind, piece.first_g = BasisKind.TYPED, fact.oven_dry_weight.g
        mc_pct = moisture_content_pct(start_g, piece.first_g)
        mc_sq = (budget.unknown_pct(mc_pct) / (100 + mc_pct)) ** 2
        piece.first_sq = mc_sq + relative_sq(float(fact.oven_dry_weight.step_g), piece.first_g)
    elif mc_pct is not None:
        piece.kind, piece.first_g = BasisKind.SECTIONS, oven_dry_weight_g(start_g, mc_pct)
        u_pct = budget.sections_pct(mc_pct, weighing_uncertainties_pct(board, sections))
        mc_sq = (u_pct / (100 + mc_pct)) ** 2
        piece.first_sq = mc_sq + start_sq

    pieces, cuts = [piece], []
    events: list[Seen[Recut | Breakage]] = [*board.recuts, *board.breaks]
    for seen in sorted(events, key=lambda seen: seen.at.utc):
        event = seen.fact
        cut = Cut(
            entity=seen.entity,
            at=seen.at,
            is_recut=isinstance(event, Recut),
            before_g=event.weight_before.g,
            after_g=event.weight_after.g,
            net_before_g=event.weight_before.g - piece.coats_g,
            net_after_g=event.weight_after.g - piece.coats_g,
            before_sq=_net_sq(step_g(event.weight_before), event.weight_before.g, piece),
            after_sq=_net_sq(step_g(event.weight_after), event.weight_after.g, piece),
            mc_pct=None,
            mc_uncertainty_pct=0.0,
        )
        if isinstance(event, Recut):
            _read_section(cut, event, budget, at)
        piece = _next_piece(piece, cut, event.coating_weight if isinstance(event, Recut) else None)
        cuts.append(cut)
        pieces.append(piece)
    _correct_backwards(pieces, cuts)
    return Chain(tuple(pieces), tuple(cuts), start_g, start_sq, mc_pct, mc_sq)


def _net_sq(step_g: float, weight_g: float, piece: Piece) -> float:
    net_g = weight_g - piece.coats_g
    return (reading_uncertainty_g(step_g) ** 2 + piece.coats_sq_g) / net_g**2 if net_g > 0 else 0.0


def _read_section(cut: Cut, recut: Recut, budget: Budget, at: Moment) -> None:
    """Take the MC of a recut's section, once it is dry."""
    dry = recut.section_oven_dry
    if dry is None or (recut.dried_at or cut.at) > at:
        return
    cut.mc_pct = moisture_content_pct(recut.section_wet.g, dry.g)
    step_g = float(min(recut.section_wet.step_g, dry.step_g))
    weighing_pct = section_weighing_uncertainty_pct(recut.section_wet.g, dry.g, step_g)
    cut.mc_uncertainty_pct = budget.sections_pct(cut.mc_pct, [weighing_pct])


def _next_piece(piece: Piece, cut: Cut, coat: Weight | None) -> Piece:
    """What a cut leaves, with the oven-dry weight known from then on."""
    after = Piece(since=cut.at, coats_g=piece.coats_g, coats_sq_g=piece.coats_sq_g)
    if coat is not None:
        after.coats_g += coat.g
        after.coats_sq_g += reading_uncertainty_g(float(coat.step_g)) ** 2
    if cut.net_before_g <= 0 or cut.net_after_g <= 0:
        return after  # lighter than its own end coats: no basis can rest on that
    if cut.mc_pct is not None:
        after.kind = BasisKind.RECUT
        after.first_g = oven_dry_weight_g(cut.net_after_g, cut.mc_pct)
        after.first_sq = _section_sq(cut) + cut.after_sq
    elif piece.first_g is not None:
        is_open = cut.is_recut or piece.kind is BasisKind.PROVISIONAL
        after.kind = BasisKind.PROVISIONAL if is_open else BasisKind.BREAK
        after.first_g = piece.first_g * cut.net_after_g / cut.net_before_g
        after.first_sq = piece.first_sq + cut.before_sq + cut.after_sq
    return after


def _section_sq(cut: Cut) -> float:
    return (cut.mc_uncertainty_pct / (100 + (cut.mc_pct or 0.0))) ** 2


def _correct_backwards(pieces: Sequence[Piece], cuts: Sequence[Cut]) -> None:
    """Find what governs each piece, from the last back to the first."""
    last = pieces[-1]
    last.dry_g, last.dry_sq = last.first_g, last.first_sq
    for number in range(len(cuts) - 1, -1, -1):
        piece, cut, after = pieces[number], cuts[number], pieces[number + 1]
        if cut.net_before_g <= 0 or cut.net_after_g <= 0:
            piece.dry_g, piece.dry_sq = piece.first_g, piece.first_sq
        elif cut.mc_pct is not None:
            piece.dry_g = oven_dry_weight_g(cut.net_before_g, cut.mc_pct)
            piece.dry_sq = _section_sq(cut) + cut.before_sq
            piece.rebased = True
        elif after.rebased and after.dry_g is not None:
            # A recut whose section was never dried tells no more than a break: its weights scale.
            piece.dry_g = after.dry_g * cut.net_before_g / cut.net_after_g
            piece.dry_sq = after.dry_sq + cut.before_sq + cut.after_sq
            piece.rebased = True
        else:
            piece.dry_g, piece.dry_sq = piece.first_g, piece.first_sq
