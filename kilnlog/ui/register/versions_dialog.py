"""Every version of a charge and its lots, to be read: nothing is ever rubbed out."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.version_words import VersionWords, version_words
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.labels import Wrapped
from kilnlog.ui.look.sizes import Role

#: Who looks for the rest here is told where it is.
ELSEWHERE = (
    "What happened to it since stands elsewhere: settings, readings and events in the Air menu, "
    "weighings with their boards, answers with their findings, and all of it in the exported tables."
)


class VersionsDialog(Form):
    """The charge first, then each lot; oldest version first."""

    def __init__(self, parent: QWidget, appearance: Appearance, record: ChargeRecord, now: Moment) -> None:
        number = record.particulars.charge
        title = f"Versions of charge {number} and its lots"
        super().__init__(parent, appearance, title, "oldest first", width=620)
        self.remark(ELSEWHERE)
        names = {line.entity: line.newest.fact.kiln for line in record.kiln}
        names[record.entity] = number
        self.lines: list[str] = []
        self.section(f"Charge {number}")
        for told in version_words(record.charge[0], names):
            self._tell(told, now)
        for lot in record.lot:
            self.section(f"Lot {lot.newest.fact.lot}")
            for told in version_words(lot, names):
                self._tell(told, now)
        self.close_only()

    def _tell(self, told: VersionWords, now: Moment) -> None:
        head = f"{figures.day_and_time(told.entered, now)}, {told.who}: {told.kind}"
        if told.observed.text()[:16] != told.entered.text()[:16]:
            head += f" (as of {told.observed.text()})"
        self.column.addWidget(
            Wrapped(head, self.appearance, Role.STRONG, "ink2" if told.superseded else "ink")
        )
        if told.reason:
            self.remark(f"“{told.reason}”")
        if told.changes:
            self.column.addWidget(
                Wrapped(
                    "; ".join(told.changes), self.appearance, Role.BODY, "ink2" if told.superseded else "ink"
                )
            )
        self.lines.append(" ".join((head, told.reason, "; ".join(told.changes))))
