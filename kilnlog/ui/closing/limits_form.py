"""What the pieces of a lot were asked to be: the order's words, a standard by name, or figures."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kilnlog.drying.closing.limits import limits_of
from kilnlog.logbook.close_out_words import limits_words
from kilnlog.logbook.final_words import limits_remarks
from kilnlog.logbook.wording import worded
from kilnlog.logbook.writing import correct
from kilnlog.records.errors import KilnlogError
from kilnlog.records.lot import Lot
from kilnlog.records.version import Entry
from kilnlog.reference.final_moisture import named_limits
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField, offer_words
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader, plain

#: Why limits stand that nobody had written before.
WRITTEN_LATE = "limits written at the close-out"
SUCH_AS = "6 to 8 %, average 7; or EN 14298, 8 %"


class LimitsForm(Form):
    """A correction of the lot; where nothing stood before, no reason is asked for."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        lot: Entry[Lot],
        target_mc_pct: float | None,
    ) -> None:
        super().__init__(parent, appearance, f"Limits of lot {lot.fact.lot}", width=560)
        self._desk, self._lot, self._target = desk, lot, target_mc_pct
        words = TextField(appearance, SUCH_AS)
        offer_words(words, [row.named for row in named_limits()])
        self.add("limits_from", "The order's words, or a standard by name", words)
        self.pair(
            ("target_mc_pct", "Target, %", TextField(appearance), "empty: the charge's"),
            ("mc_low_pct", "Lowest, %", TextField(appearance), "of single pieces"),
            ("mc_high_pct", "Highest, %", TextField(appearance), "of single pieces"),
        )
        self.read_as = self.remark("")
        fact = lot.fact
        self._stood = (fact.limits_from, fact.target_mc_pct, fact.mc_low_pct, fact.mc_high_pct)
        if any(one is not None for one in self._stood):
            self.add("reason", "Why is it changed?", TextField(appearance, "the customer wrote again"))
            self.require("reason")
        self.finish("Keep", self.keep)
        self.set_text("limits_from", fact.limits_from or "")
        for column in ("target_mc_pct", "mc_low_pct", "mc_high_pct"):
            self.set_text(column, plain(getattr(fact, column)))
            field = self.rows[column].field
            if isinstance(field, TextField):
                field.textChanged.connect(lambda _: self._tell())
        words.textChanged.connect(lambda _: self._tell())
        self._tell()
        words.setFocus()

    def _typed(self, reader: Reader) -> Lot:
        return replace(
            self._lot.fact,
            limits_from=reader.text("limits_from"),
            target_mc_pct=reader.number("target_mc_pct", low=0, high=100),
            mc_low_pct=reader.number("mc_low_pct", low=0, high=100),
            mc_high_pct=reader.number("mc_high_pct", low=0, high=100),
        )

    def _tell(self) -> None:
        """How it is understood, while it is typed; what cannot be read is refused at the end only."""
        texts = {column: self._text(column) for column in ("target_mc_pct", "mc_low_pct", "mc_high_pct")}
        try:
            numbers = {
                column: float(text.replace(",", ".")) if text else None for column, text in texts.items()
            }
        except ValueError:
            self.read_as.setText("")
            return
        typed = replace(
            self._lot.fact,
            limits_from=self._text("limits_from") or None,
            target_mc_pct=numbers["target_mc_pct"],
            mc_low_pct=numbers["mc_low_pct"],
            mc_high_pct=numbers["mc_high_pct"],
        )
        limits = limits_of(typed, self._target)
        if limits.refused is not None:
            self.read_as.setText(worded(limits.refused).text)
            return
        said = limits_words(limits)
        named = f", by {limits.named} ({limits.standing.value})" if limits.standing is not None else ""
        told = [f"Read as: {said}{named}.", *limits_remarks(limits)] if said else ["No limits."]
        self.read_as.setText(" ".join(told))

    def _text(self, column: str) -> str:
        field = self.rows[column].field
        return field.text().strip() if isinstance(field, TextField) else ""

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        fact = self._typed(reader)
        reason = reader.text("reason", needed=True) if "reason" in self.rows else WRITTEN_LATE
        refused: KilnlogError | None = limits_of(fact, self._target).refused if reader.ok else None
        if refused is not None:
            reader.refuse("limits_from", refused)
        if not reader.ok or reason is None:
            return
        saying = f"Limits of lot {fact.lot}"
        self.send(self._desk, correct, "lot", self._lot.entity, fact, reason, saying=saying)
