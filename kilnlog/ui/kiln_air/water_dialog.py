"""Water and venting of the charge: the figures first, then each as the sum it came from."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.figures import Assessment
from kilnlog.logbook.water_words import water_lines, water_workings
from kilnlog.logbook.working_form import Working
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.ui.chosen_board.working_dialog import WorkingDialog
from kilnlog.ui.look.appearance import Appearance

TITLE = "Water and venting"
NOTHING_YET = (
    "Nothing is worked out yet: that takes a lot with its volume and species, and two weighings of its "
    "boards; for venting, a reading of the air."
)
IN_SHORT_SOURCE = "worked out below"


class WaterDialog(WorkingDialog):
    """Enter, Esc or F2 closes it."""

    def __init__(
        self, parent: QWidget, appearance: Appearance, record: ChargeRecord, assessment: Assessment
    ) -> None:
        lines = water_lines(record, assessment)
        brief = (Working("In short", lines, IN_SHORT_SOURCE),) if lines else ()
        said = record.particulars.charge
        super().__init__(
            parent, appearance, said, (*brief, *water_workings(record, assessment)), NOTHING_YET, TITLE
        )
