"""Closing a charge: its final figures as they will be sealed, and what will then no longer be possible."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.figures import Assessment
from kilnlog.logbook import figures
from kilnlog.logbook.closing import close_charge
from kilnlog.logbook.units import weight_unit_of
from kilnlog.logbook.wording import worded_finding
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader
from kilnlog.ui.look.ruled import Cell, RuledTable


class ClosingDialog(Form):
    """Shows what is there; the main button seals it."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        assessment: Assessment,
    ) -> None:
        number = record.particulars.charge
        super().__init__(parent, appearance, f"Close {number}", "with its figures as they stand")
        self._desk, self._record = desk, record
        table = RuledTable(appearance, ("Final moisture content", "%"), "Final figures", in_margin=False)
        table.set_rows([(Cell(name), Cell(figures.mc(mc), "pencil")) for name, mc in _final(assessment)])
        self.column.addWidget(table)
        open_findings = [finding for finding in assessment.findings if not finding.answered]
        if open_findings:
            self.section("Not answered yet")
            unit = weight_unit_of(record)
            for finding in open_findings[:6]:
                self.remark(worded_finding(finding, unit).headline)
            if len(open_findings) > 6:
                self.remark(f"and {len(open_findings) - 6} more")
        self.pair(
            ("closed_at", "Closed at", TextField(appearance), "YYYY-MM-DD HH:MM"),
            ("closing_reason", "Why, or with what remark", TextField(appearance, "target reached")),
        )
        self.remark(
            "A closed charge takes no further rows. Its boards, weights and figures stay readable, and the "
            "seal shows later whether anything was altered."
        )
        self.set_text("closed_at", desk.now().text()[:16])
        self.finish("Close and seal", self.keep)

    def keep(self) -> None:
        """Close, or say why not."""
        reader = Reader(self)
        at = reader.moment("closed_at", self._record.particulars.zone, needed=True)
        reason = reader.text("closing_reason")
        if not reader.ok or at is None:
            return
        self.send(
            self._desk,
            close_charge,
            self._record.entity,
            at,
            reason,
            self._desk.reference,
            saying=f"Charge {self._record.particulars.charge} closed",
        )


def _final(assessment: Assessment) -> list[tuple[str, float | None]]:
    """What is told of the boards at the end."""
    wettest, driest = assessment.wettest, assessment.driest
    rows: list[tuple[str, float | None]] = [
        (f"Control, {assessment.control.rule}", assessment.control.mc_pct)
    ]
    rows.append(("Mean of the boards", assessment.mean_mc_pct))
    rows.append(
        (f"Wettest, board {wettest.board}" if wettest else "Wettest", wettest.mc_pct if wettest else None)
    )
    rows.append((f"Driest, board {driest.board}" if driest else "Driest", driest.mc_pct if driest else None))
    return rows
