"""What a paper is to hold before it is written: whose lumber, on which sheet."""

from __future__ import annotations

import locale
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from PySide6.QtWidgets import QWidget

from kilnlog.exchange.papers.options import PaperOptions, PaperSize
from kilnlog.logbook.papers import Paper
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.owner_name import distinct_owners
from kilnlog.records.version import current_entries
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.tick_box import TickBox

TITLES = {
    Paper.QUALITY_RECORD: "Quality record",
    Paper.CUSTOMER_WORKBOOK: "Customer workbook",
    Paper.CHARGE_REPORT: "Charge report",
    Paper.WEIGH_SHEET: "Weigh sheet",
    Paper.BOARD_LABELS: "Board labels",
}

_HOLDS = {
    Paper.QUALITY_RECORD: (
        "A page for each lot: how dry it is and how that was measured, worded as measurements. It tells "
        "nothing of another owner."
    ),
    Paper.CUSTOMER_WORKBOOK: (
        "The same for a spreadsheet, with every reading and a price column left empty. It tells nothing of "
        "another owner."
    ),
    Paper.CHARGE_REPORT: "Everything of the charge, of all owners: for the mill alone.",
    Paper.WEIGH_SHEET: (
        "Blank lines in walking order for the clipboard. What is written there is typed in later as “from "
        "sheet”."
    ),
    Paper.BOARD_LABELS: "Eight labels a sheet, to be cut out and stapled to the sample boards.",
}
_FOR_SOMEBODY = (Paper.QUALITY_RECORD, Paper.CUSTOMER_WORKBOOK)


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for."""

    paper: Paper
    lot: str | None
    owner: str | None
    options: PaperOptions
    opens: bool


class PaperDialog(Form):
    """Asks; ``asked`` is called with the answers."""

    def __init__(
        self,
        parent: QWidget,
        appearance: Appearance,
        record: ChargeRecord,
        paper: Paper,
        asked: Callable[[Asked], None],
    ) -> None:
        number = record.particulars.charge
        super().__init__(parent, appearance, TITLES[paper], f"charge {number}", width=520)
        self._paper, self._asked = paper, asked
        self.remark(_HOLDS[paper])
        self._whose: ChoiceField | None = None
        if paper in _FOR_SOMEBODY:
            self._whose = ChoiceField(appearance, _whose(record, paper))
            self.add("whose", "Of", self._whose)
        usual = PaperOptions.of_locale(locale.getlocale()[0] or "C")
        self._usual = usual
        self._size = ChoiceField(
            appearance, [(PaperSize.A4.name, "A4"), (PaperSize.LETTER.name, "Letter, 8 1/2 by 11 in")]
        )
        self._size.set_value(usual.size.name)
        self.add("size", "Sheet", self._size)
        self.pieces: TickBox | None = None
        if paper is Paper.QUALITY_RECORD:
            self.pieces = TickBox("With a table of every piece read", appearance)
            self.column.addWidget(self.pieces)
        self.opens = TickBox("Show it once it is written", appearance)
        self.opens.setChecked(True)
        self.column.addWidget(self.opens)
        if not record.is_closed and paper not in (Paper.WEIGH_SHEET, Paper.BOARD_LABELS):
            self.remark(f"Charge {number} is not closed: the paper will say that it is not sealed.")
        self.finish("Write it…", self.keep)
        (self._whose or self._size).setFocus()

    def keep(self) -> None:
        """Close, and go on to where it is written."""
        kind, _, name = (self._whose.value if self._whose is not None else "").partition(":")
        options = replace(
            self._usual,
            size=PaperSize[self._size.value],
            piece_by_piece=self.pieces is not None and self.pieces.isChecked(),
        )
        self.accept()
        self._asked(
            Asked(
                self._paper,
                lot=name if kind == "lot" else None,
                owner=name if kind == "owner" else None,
                options=options,
                opens=self.opens.isChecked(),
            )
        )


def _whose(record: ChargeRecord, paper: Paper) -> Sequence[tuple[str, str]]:
    """Each owner's lots, each lot, and all of them together where that goes to nobody else."""
    lots = [entry.fact for entry in current_entries(record.lot)]
    owners = distinct_owners(lot.owner for lot in lots)
    choices = [(f"owner:{owner}", f"all lots of {owner}") for owner in owners]
    choices += [(f"lot:{lot.lot}", f"lot {lot.lot}{f', {lot.owner}' if lot.owner else ''}") for lot in lots]
    if paper is Paper.QUALITY_RECORD:
        choices.append(("all:", "every lot, a page each"))
    return choices
