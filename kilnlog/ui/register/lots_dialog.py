"""The lots of a charge: a list to choose from, and one lot to fill in."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.logbook import figures
from kilnlog.logbook.lot_labels import lots_by_label, next_lot_label
from kilnlog.logbook.writing import change, correct, write
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry
from kilnlog.records.words import VolumeUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField, offer_words
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain
from kilnlog.ui.look.tick_box import TickBox
from kilnlog.ui.register.kiln_dialog import UNITS
from kilnlog.ui.register.pick import PickDialog

TIME_HINT = "YYYY-MM-DD HH:MM"


NONE_TICKED = "None ticked: all lots govern."


def lots_dialog(parent: QWidget, desk: Desk, appearance: Appearance, record: ChargeRecord) -> PickDialog:
    """The list of lots; a new one or a chosen one opens its form."""

    def now() -> ChargeRecord:
        """With the lots written since the list was opened."""
        here = desk.record
        return here if here is not None and here.entity == record.entity else record

    def lines() -> list[tuple[Entry[Lot], str]]:
        return [(entry, lot_line(entry.fact)) for entry in lots_by_label(now())]

    def edit(entry: Entry[Lot] | None) -> None:
        LotDialog(dialog, desk, appearance, now(), entry).open()

    dialog = PickDialog(
        parent,
        desk,
        appearance,
        title=f"Lots of {record.particulars.charge}",
        said="what belongs to one owner, of one species and thickness",
        lines=lines,
        edit=edit,
        table="lot",
        new_text="New lot…",
    )
    return dialog


def lot_line(lot: Lot) -> str:
    """One lot as the list shows it."""
    parts = [
        " ".join(text for text in (lot.thickness, lot.species) if text),
        lot.owner or "own stock",
        figures.volume(lot.volume, lot.volume_unit) if lot.volume is not None else "",
        "governs the run" if lot.governs else "",
    ]
    return f"{lot.lot}  {', '.join(part for part in parts if part)}"


class LotDialog(Form):
    """One lot."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[Lot] | None = None,
    ) -> None:
        super().__init__(
            parent, appearance, f"Lot {entry.fact.lot}" if entry else "New lot", record.particulars.charge
        )
        self._desk, self._record, self._entry = desk, record, entry
        owner, species = TextField(appearance), TextField(appearance)
        offer_words(owner, desk.shared.owners)
        offer_words(species, dict.fromkeys((*desk.shared.species, *desk.reference.species)))
        self.pair(
            ("lot", "Label", TextField(appearance), "A, B, … as chalked on the pile"),
            ("owner", "Owner", owner, "empty: own stock"),
        )
        self.pair(
            ("species", "Species", species),
            ("thickness", "Thickness", TextField(appearance), "4/4, 1 1/4 in, 27 mm"),
        )
        self.pair(
            ("volume", "Volume", TextField(appearance)),
            ("volume_unit", "in", ChoiceField(appearance, UNITS)),
        )
        self.section("Order")
        self.pair(
            ("target_mc_pct", "Target, %", TextField(appearance), "empty: the charge's"),
            ("mc_low_pct", "Lowest, %", TextField(appearance)),
            ("mc_high_pct", "Highest, %", TextField(appearance)),
        )
        self.add(
            "limits_from", "Limits from", TextField(appearance), "the order's words, or a standard by name"
        )
        self.section("Drying")
        self.pair(
            ("safe_rate_pct_per_day", "May lose at most, % a day", TextField(appearance)),
            ("basic_specific_gravity", "Basic specific gravity", TextField(appearance)),
        )
        self.published = self.remark("")
        self._governs = TickBox("Governs the run: its boards feed the control figure", appearance)
        self.column.addWidget(self._governs)
        self.remark(NONE_TICKED)
        if entry is not None:
            self.add("out_at", "Left before the rest", TextField(appearance), TIME_HINT)
            self.add(
                "reason",
                "Why is it corrected?",
                TextField(appearance),
                "not asked for where only its leaving is added",
            )
            self.require("reason")
        self.require("lot")
        self.finish("Keep", self.keep)
        species.textChanged.connect(lambda _: self._tell_published())
        self._field("thickness").textChanged.connect(lambda _: self._tell_published())
        self._fill()

    def _field(self, column: str) -> TextField:
        field = self.rows[column].field
        if not isinstance(field, TextField):
            raise TypeError(column)
        return field

    def _fill(self) -> None:
        if self._entry is None:
            self.set_text("lot", next_lot_label(self._record))
            self._governs.setChecked(False)
            return
        lot = self._entry.fact
        for column, text in (
            ("lot", lot.lot),
            ("owner", lot.owner or ""),
            ("species", lot.species or ""),
            ("thickness", lot.thickness or ""),
            ("volume", plain(lot.volume)),
            ("target_mc_pct", plain(lot.target_mc_pct)),
            ("mc_low_pct", plain(lot.mc_low_pct)),
            ("mc_high_pct", plain(lot.mc_high_pct)),
            ("limits_from", lot.limits_from or ""),
            ("safe_rate_pct_per_day", plain(lot.safe_rate_pct_per_day)),
            ("basic_specific_gravity", plain(lot.basic_specific_gravity)),
            ("out_at", lot.out_at.text() if lot.out_at else ""),
        ):
            self.set_text(column, text)
        self.set_choice("volume_unit", lot.volume_unit or "bf")
        self._governs.setChecked(lot.governs)

    def _tell_published(self) -> None:
        """What is published for this species and thickness, so that an empty field is no surprise."""
        species, thickness = self._field("species").text(), self._field("thickness").text()
        rate = self._desk.reference.safe_rate(species, thickness) if species and thickness else None
        self.published.setText(
            f"Left empty, {figures.trimmed(rate.max_pct_per_day)} % a day is watched: {rate.source}"
            if rate
            else ""
        )

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        volume = reader.number("volume", low=0, high=1e6)
        fact = Lot(
            charge=self._record.entity,
            lot=reader.text("lot", needed=True) or "",
            owner=reader.text("owner"),
            species=reader.text("species"),
            thickness=reader.thickness("thickness"),
            volume=volume,
            volume_unit=VolumeUnit(reader.choice("volume_unit")) if volume is not None else None,
            target_mc_pct=reader.number("target_mc_pct", low=0, high=100),
            mc_low_pct=reader.number("mc_low_pct", low=0, high=100),
            mc_high_pct=reader.number("mc_high_pct", low=0, high=100),
            limits_from=reader.text("limits_from"),
            safe_rate_pct_per_day=reader.number("safe_rate_pct_per_day", low=0, high=100),
            basic_specific_gravity=reader.number("basic_specific_gravity", low=0, high=2),
            governs=self._governs.isChecked(),
        )
        if self._entry is None:
            if reader.ok:
                self.send(self._desk, write, fact, saying=f"Lot {fact.lot}")
            return
        out_at = reader.past_moment("out_at", self._record.particulars.zone, self._desk.now(), needed=False)
        leaves_only = replace(fact, out_at=out_at) == replace(self._entry.fact, out_at=out_at)
        reason = reader.text("reason", needed=not leaves_only)
        if not reader.ok:
            return
        fact, entity = replace(fact, out_at=out_at), self._entry.entity
        if leaves_only and out_at is not None:
            self.send(
                self._desk, change, "lot", entity, fact, out_at, reason, saying=f"Lot {fact.lot} is out"
            )
        else:
            self.send(self._desk, correct, "lot", entity, fact, reason or "", saying=f"Lot {fact.lot}")
