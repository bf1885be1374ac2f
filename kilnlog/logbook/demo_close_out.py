"""The charge of the sample that stands in the middle of closing out, closed as it stands."""

from __future__ import annotations

from kilnlog.drying.assessment import assess
from kilnlog.logbook.close_out import close_out
from kilnlog.logbook.close_out_steps import Way
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.errors import NotClosed
from kilnlog.logbook.seals import Seal, seals_of
from kilnlog.logbook.session import Logbook
from kilnlog.logbook.writing import write_all
from kilnlog.records.moment import Moment
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.words import AnswerKind, CloseOutStep
from kilnlog.reference.tables import Reference

#: Nothing is invented to fill a heading.
WHY_LEFT_OUT = "closed by the demo: nobody stood at the pile"


def close_as_it_stands(book: Logbook, charge: str, reference: Reference, at: Moment) -> tuple[int, Seal]:
    """Leave out, with the reason, what nobody answered; close and seal the charge (its entity) as of ``at``.

    Returns how many headings were left out, lot by lot, and the seal.
    """
    record = book.file.charge_record(charge)
    going = close_out(record, assess(record, reference, at), reference, at)
    answers = [
        StepAnswer(charge, CloseOutStep(one.step.value), AnswerKind.LEFT_OUT, one.lot, WHY_LEFT_OUT)
        for one in going.missing
        if Way.LEAVE_OUT in one.ways
    ]
    write_all(book, [(answer, at) for answer in answers])
    close_charge(book, charge, at, None, reference)
    closed = book.file.charge_record(charge)
    for seal in seals_of(book, closed):
        if seal.in_force and seal.lot is None:
            return len(answers), seal
    raise NotClosed(charge=closed.particulars.charge, lot=None)
