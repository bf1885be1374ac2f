"""How the air follows from the two figures typed."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook.typed_air import TypedAir
from kilnlog.logbook.working_air import air_workings
from kilnlog.ui.chosen_board.working_dialog import WorkingDialog
from kilnlog.ui.look.appearance import Appearance

NOTHING_YET = "Nothing is worked out yet: that takes two figures that air can show together."


class AirWorkingDialog(WorkingDialog):
    """RH, EMC, and what a wick would show."""

    def __init__(self, parent: QWidget, appearance: Appearance, air: TypedAir, first: int = 0) -> None:
        workings = air_workings(air)
        super().__init__(
            parent, appearance, "of the air typed", workings[first:] + workings[:first], NOTHING_YET
        )
