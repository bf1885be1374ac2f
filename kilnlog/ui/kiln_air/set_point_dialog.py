"""What the kiln is set to: proposed as the end of the run or the step in force asks for it."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.step_terms import rh_at_pct
from kilnlog.logbook import figures
from kilnlog.logbook.air_lists import terms_words
from kilnlog.logbook.errors import DoubtfulAir
from kilnlog.logbook.in_kiln import AskedNow, asked_now
from kilnlog.logbook.kiln_air_words import temperature
from kilnlog.logbook.set_doubts import set_doubt
from kilnlog.logbook.typed_air import DRY, Second, TypedAir, usual_second
from kilnlog.logbook.writing import correct, write
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.moment import Moment
from kilnlog.records.set_point import SetPoint
from kilnlog.records.version import Entry
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.cautions import HOT_KILN
from kilnlog.ui.kiln_air.terms_form import SECOND, TermsForm
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import TextField
from kilnlog.ui.look.reading import Reader, plain

#: A kiln this near to its step's dry bulb needs no other humidity [C degrees].
_AT_ITS_STEP_C = 1.0
#: What of a reading's doubts is one of a setting as well.
_OF_A_SETTING = ("other-unit", "hot", "fraction")


class SetPointDialog(TermsForm):
    """A new setting (``entry`` None), or one that was written down wrong."""

    def __init__(
        self,
        parent: QWidget,
        desk: Desk,
        appearance: Appearance,
        record: ChargeRecord,
        entry: Entry[SetPoint] | None = None,
    ) -> None:
        title = "A setting of the kiln" if entry is None else "Correct a set point"
        super().__init__(parent, desk, appearance, record, entry, title, "From")
        self._set = entry
        asked = asked_now(record, desk.now(), self.kiln, desk.reference) if entry is None else None
        if asked is not None:
            self.remark(_asked_words(asked))
        self.lay_terms()
        kiln = self.kiln.kiln
        self.fill(usual_second(kiln.air_control if kiln is not None else None))
        if asked is not None:
            self.proposed = {which: plain(round(asked.second(which), 1)) for which in Second}
            self.set_text(DRY, plain(round(asked.terms.dry_bulb, 1)))
            self.set_text(SECOND, self.proposed[self.second])
            if (words := self._cooler_words(asked)) is not None:
                self.remark(words)
        if entry is not None:
            self.add("reason", "Why is it corrected?", TextField(appearance))
            self.require("reason")
        self.remark(HOT_KILN)
        self.require("at")
        self.finish("Keep", self.keep)
        self.rows[DRY].field.setFocus()

    def _cooler_words(self, asked: AskedNow) -> str | None:
        """What a humidistat is set to while the kiln is not at the temperature asked for yet."""
        air = self.desk.assessment.air if self.desk.assessment is not None else None
        if air is None or air.dry_bulb_c is None or self.second is not Second.RH:
            return None
        is_now = air.dry_bulb_c
        step_c = None if self.typed.state is None else float(self.typed.state.dry_bulb_c)
        rh_pct = rh_at_pct(asked.terms, is_now)
        if step_c is None or rh_pct is None or abs(is_now - step_c) < _AT_ITS_STEP_C:
            return None
        return (
            f"The kiln stood at {temperature(is_now, self.unit)} when it was last read. While it does, "
            f"{figures.number(rh_pct, 0)} % RH keeps that EMC."
        )

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        at = reader.moment("at", self.record.particulars.zone, needed=True)
        typed = self.read_terms(reader)
        reason = reader.text("reason", needed=True) if self._set is not None else None
        if not reader.ok or at is None:
            return
        fact = SetPoint(self.record.entity, **typed.terms)
        if self.asks(typed, fact, at):
            return
        saying = f"Set to {terms_words(fact)}"
        if self._set is None:
            self.send(self.desk, write, fact, at, saying=saying)
        else:
            self.send(self.desk, correct, "set_point", self._set.entity, fact, reason, at, saying=saying)

    def doubt(self, typed: TypedAir, at: Moment) -> DoubtfulAir | None:
        """A setting may lie far from the last one, but not where it harms the wood."""
        doubt = super().doubt(typed, at)
        if doubt is not None and doubt.values["why"] in _OF_A_SETTING:
            return doubt
        return set_doubt(self.without_entry(), typed, at, self.desk.reference)


def _asked_words(asked: AskedNow) -> str:
    terms, sign = asked.terms, f"°{asked.terms.unit.value}"
    return (
        f"{asked.whose}: {figures.trimmed(terms.dry_bulb, 1)} {sign} dry, "
        f"{figures.trimmed(terms.wet_bulb, 1)} {sign} wet, depression {figures.trimmed(terms.depression, 1)} "
        f"{sign}, RH {figures.number(terms.rh_pct, 0)} %, EMC {figures.number(terms.emc_pct, 1)} %."
    )
