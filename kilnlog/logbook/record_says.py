"""What the papers say under a heading that nothing stands under: their own words, quoted before the seal."""

from __future__ import annotations

from kilnlog.exchange.papers.contents import AnswerPart
from kilnlog.exchange.papers.lot_words import UNANSWERED, answer_words
from kilnlog.logbook.close_out_steps import Step
from kilnlog.records.words import AnswerKind


def unanswered(step: Step) -> str:
    """Of a heading nobody answered: ``“Stress: not tested”``."""
    return _under(step, UNANSWERED[step.value])


def left_out(step: Step, note: str) -> str:
    """Of one that was left out: ``“Stress: left out because: the saw was down”``."""
    answer: AnswerPart = {"step": step.value, "answer": AnswerKind.LEFT_OUT.value, "note": note}
    return _under(step, answer_words([answer], step.value, UNANSWERED[step.value]))


def _under(step: Step, said: str) -> str:
    return f"“{step.value.capitalize()}: {said}”"
