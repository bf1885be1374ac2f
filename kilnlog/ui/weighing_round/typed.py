"""What stands typed on the lines of a round and is not in the file yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from kilnlog.drying.plausibility import Doubt
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight
from kilnlog.ui.weighing_round.round_time import RoundTime


class TypedState(StrEnum):
    """Where a typed weight stands on its way into the file."""

    HALF = "half"  # the line was left without Enter
    SAVING = "saving"
    ASKED = "asked"
    REFUSED = "refused"


@dataclass(frozen=True)
class Way:
    """One of two ways a typed weight may be meant."""

    words: str
    read_at: Moment
    late: bool
    anew: bool | None = None  # True: weighed again, so the weight the round has stays; None: not asked


@dataclass(frozen=True)
class Attempt:
    """How a weight was about to be kept."""

    weight: Weight
    typed_first: str | None = None
    insisted: tuple[Doubt, ...] = ()
    reason: str | None = None


@dataclass(frozen=True)
class Typed:
    """A weight typed on a line and not kept yet."""

    text: str
    state: TypedState
    weight: Weight | None = None
    doubts: tuple[Doubt, ...] = ()
    readings: tuple[str, ...] = ()  # where the text can be read in two ways
    ways: tuple[Way, ...] = ()  # where it may be of two times, or of two weighings
    error: KilnlogError | None = None
    likely: Weight | None = None
    read_at: Moment | None = None  # when it was read off the scale: the answer may come the next morning
    late: bool = False  # it was copied from a sheet
    anew: bool | None = None  # as the operator said of it: see ``Way``
    stayed: bool = False  # nobody went to this line: it stayed in hand once nothing else waited
    over: str | None = None  # the version of the round's weight that it would overrule
    attempt: Attempt | None = None  # what is on its way, or was refused and can be tried again
    can_retry: bool = False  # refused for what may be mended: the same text can be offered again

    @property
    def can_insist(self) -> bool:
        """Whether the operator may keep it as typed."""
        return self.weight is not None and all(doubt.possible for doubt in self.doubts)


@dataclass
class StandingTyped:
    """The lines of one charge, by board. Digits left without Enter wait beside what is being saved."""

    time: RoundTime
    offered: dict[str, Typed] = field(default_factory=dict)
    half: dict[str, Typed] = field(default_factory=dict)

    def of(self, board: str) -> Typed | None:
        """What the line shows as typed."""
        return self.half.get(board) or self.offered.get(board)

    def is_saving(self, board: str) -> bool:
        """Whether the file is about to hold a weight of this board."""
        offered = self.offered.get(board)
        return offered is not None and offered.state is TypedState.SAVING

    def drop(self, board: str) -> bool:
        """Forget what stands there, but for what is on its way into the file; whether there was any."""
        half = self.half.pop(board, None) is not None
        if board not in self.offered or self.is_saving(board):
            return half
        del self.offered[board]
        return True

    def end_saving(self, board: str, weight: Weight, at: Moment) -> bool:
        """The file holds a weight of this board; whether it is the one that was on its way."""
        offered = self.offered.get(board)
        if offered is None or not self.is_saving(board) or offered.attempt is None:
            return False
        if (offered.attempt.weight, offered.read_at) != (weight, at):
            return False
        del self.offered[board]
        return True

    def put_back(self) -> None:
        """Let what was asked about or refused be offered anew, as of when it was typed."""
        for board, typed in list(self.offered.items()):
            if typed.state is not TypedState.SAVING:
                del self.offered[board]
                half = Typed(typed.text, TypedState.HALF, read_at=typed.read_at, late=typed.late)
                self.half.setdefault(board, half)

    def unkept(self) -> dict[str, str]:
        """Board to text, of all that nothing has kept and that is not on its way."""
        waiting = {
            board: typed.text for board, typed in self.offered.items() if typed.state is not TypedState.SAVING
        }
        return {**waiting, **{board: typed.text for board, typed in self.half.items()}}
