"""The ways about what stands before the seal: do it, leave it out with a reason, none found, take it up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kilnlog.logbook.close_out_steps import Before, Way
from kilnlog.logbook.close_out_words import TITLES, consequence
from kilnlog.logbook.record_says import left_out
from kilnlog.logbook.writing import take_back, write
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.words import AnswerKind, CloseOutStep
from kilnlog.ui.register.reason import ReasonDialog

if TYPE_CHECKING:
    from kilnlog.ui.closing.view import CloseOutView

TAKEN_UP = "looked at after all"


def answer(view: CloseOutView, one: Before, way: object) -> None:
    """Go one of the ways."""
    if way is Way.DO:
        if one.lot is not None:
            view.hand.show_lot(one.lot)
        view.show_step(one.step)
    elif way is Way.LEAVE_OUT:
        _leave_out(view, one)
    elif way is Way.NONE_FOUND:
        _write(view, one, AnswerKind.NONE_FOUND, None)
    elif way is Way.TAKE_UP and one.answer is not None:
        saying = f"{TITLES[one.step]}: {TAKEN_UP}"
        view.page.write(take_back, "step_answer", one.answer, TAKEN_UP, saying=saying)


def _leave_out(view: CloseOutView, one: Before) -> None:
    def given(reason: str) -> None:
        _write(view, one, AnswerKind.LEFT_OUT, reason)

    # Sample boards stand under that heading all the same.
    told = (
        consequence(one)
        if one.values.get("boards")
        else f"The record will say {left_out(one.step, '…')} with your reason."
    )
    title = f"Leave out {TITLES[one.step].lower()}"
    ReasonDialog(
        view.window(),
        view.desk.appearance,
        title,
        told,
        given,
        "Keep this reason",
        "not asked for, no time",
    ).open()


def _write(view: CloseOutView, one: Before, kind: AnswerKind, note: str | None) -> None:
    if not view.is_going:
        return
    fact = StepAnswer(view.hand.record.entity, CloseOutStep(one.step.value), kind, one.lot, note)
    view.page.write(write, fact, saying=f"{TITLES[one.step]}: {kind.value}")
