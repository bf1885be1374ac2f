"""The handbook's general schedule, filled into a new schedule to be adjusted and kept as one's own."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout

from kilnlog.records.errors import KilnlogError
from kilnlog.reference.rows import Standing
from kilnlog.reference.schedules import (
    HandbookSchedule,
    NoHandbookSchedule,
    handbook_schedule,
    schedule_index,
)
from kilnlog.ui.look.buttons import QuietButton
from kilnlog.ui.look.fields import ChoiceField, TextField, offer_words
from kilnlog.ui.look.form import Form

_SPECIES, _THICKNESS, _WET_BULB = "general_species", "general_thickness", "general_wet_bulb"
_MODIFIED = "modified"
_FROM_MEMORY = "a default from memory, check it against your handbook"
_AS_PRINTED = "as published"


class GeneralSteps:
    """Species and thickness, and the button that looks them up."""

    def __init__(self, form: Form, found: Callable[[HandbookSchedule], bool]) -> None:
        """``found`` takes the steps into the table, or says why not yet; whether it took them."""
        self._form, self._found = form, found
        appearance = form.appearance
        self._species, self._thickness = TextField(appearance), TextField(appearance)
        hardwoods = [row.species for row in schedule_index() if row.wood_type == "hardwood"]
        offer_words(self._species, dict.fromkeys(hardwoods))
        self._wet_bulb = ChoiceField(appearance, [("", "as tabled"), (_MODIFIED, "not below 90 °F")])
        form.pair(
            (_SPECIES, "Hardwood", self._species),
            (_THICKNESS, "Thickness", self._thickness),
            (_WET_BULB, "Wet bulb", self._wet_bulb),
        )
        row = QHBoxLayout()
        self.button = QuietButton("Fill in its general schedule", appearance)
        self.button.clicked.connect(lambda _: self.look_up())
        row.addWidget(self.button)
        row.addStretch(1)
        form.layout_row(row)
        self.said = form.remark("")
        self.said.hide()

    def look_up(self) -> None:
        """Fill the table, and say how firmly the steps stand."""
        self._form.tell("")
        for column in (_SPECIES, _THICKNESS):
            self._form.rows[column].clear()
        try:
            schedule = handbook_schedule(
                self._species.text(), self._thickness.text(), modified=self._wet_bulb.value == _MODIFIED
            )
        except NoHandbookSchedule as error:
            self._form.refuse(_beside(error, _THICKNESS if error.values["why"] == "thickness" else _SPECIES))
            return
        except KilnlogError as error:
            self._form.refuse(_beside(error, _THICKNESS))
            return
        if not self._found(schedule):
            return
        standing = _AS_PRINTED if schedule.standing is Standing.VERIFIED else _FROM_MEMORY
        self.said.setText(f"{schedule.name} is {standing}. Source: {schedule.source}.")
        self.said.show()


def _beside(error: KilnlogError, column: str) -> KilnlogError:
    """The error, with the field to stand beside."""
    return type(error)(**{**error.values, "column": column})
