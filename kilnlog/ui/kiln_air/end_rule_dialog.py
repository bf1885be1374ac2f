"""By which published rule a run is equalized, and what that means for the charge in hand."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QWidget

from kilnlog.drying.end_of_run import SETTING, rule_in_force
from kilnlog.logbook import figures
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.reference.end_of_run import (
    HARDWOOD,
    SOFTWOOD,
    EqualizingRule,
    conditioning_rule,
    equalizing_rules,
)
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.cautions import HOT_KILN
from kilnlog.ui.kiln_air.setting_form import SettingForm
from kilnlog.ui.kiln_air.terms_form import TIME_HINT
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.reading import Reader

#: Where the charge in hand has no target, its figures are told for this one [%].
_USUAL_TARGET_PCT = 7.0


class EndRuleDialog(SettingForm):
    """One of the published rules; from the time given on."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, record: ChargeRecord | None
    ) -> None:
        super().__init__(parent, desk, appearance, "Equalizing and conditioning", SETTING, 580)
        target = record.particulars.target_mc_pct if record is not None else None
        self._target_pct = _USUAL_TARGET_PCT if target is None else target
        names = [(name, name) for name in equalizing_rules()]
        self._rule = ChoiceField(appearance, names)
        self._rule.set_value(rule_in_force(self.value).name)
        self.add("rule", "Equalizing begins when the driest board is", self._rule)
        self._said = [self.remark("") for _ in range(2)]
        self.section("Then conditioning")
        for line in _conditioning(self._target_pct):
            self.remark(line)
        self.pair(("at", "From", TextField(appearance), TIME_HINT))
        self.set_text("at", desk.now().text()[:16])
        self.remark(HOT_KILN)
        self.require("at")
        self._rule.currentIndexChanged.connect(lambda _: self._tell())
        self.finish("Keep", self.keep)
        self._tell()
        self._rule.setFocus()

    @property
    def rule_words(self) -> str:
        """What the rule chosen means."""
        return " ".join(line.text() for line in self._said)

    def _tell(self) -> None:
        rule = equalizing_rules()[self._rule.value]
        for shown, text in zip(self._said, _equalizing(rule, self._target_pct), strict=True):
            shown.setText(text)

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        at = reader.moment("at", self.desk.zone, needed=True)
        name = self._rule.value
        if not reader.ok or at is None:
            return
        self.send_value(name, at, f"Equalizing begins {name}")


def _equalizing(rule: EqualizingRule, target_pct: float) -> tuple[str, str]:
    start, emc, end = (
        figures.trimmed(value, 1)
        for value in (
            target_pct - rule.start_below_points,
            target_pct - rule.emc_below_points,
            target_pct + rule.end_above_points,
        )
    )
    return (
        f"For a target of {figures.trimmed(target_pct)} %: begin when the driest board is at {start} %, keep "
        f"an EMC of {emc} %, end when the wettest is at {end} %.",
        f"{rule.source}. Standing: {rule.standing}.",
    )


def _conditioning(target_pct: float) -> Iterator[str]:
    """What the air is kept at, for both kinds of wood."""
    rules = [(wood, conditioning_rule(wood, target_pct)) for wood in (HARDWOOD, SOFTWOOD)]
    told = [
        f"{wood} at an EMC of {figures.trimmed(target_pct + rule.emc_above_points, 1)} %"
        for wood, rule in rules
    ]
    words = ", ".join(told)
    yield f"{words[0].upper()}{words[1:]}, at the last dry bulb, until a stress test shows none."
    yield from dict.fromkeys(f"{rule.source}. Standing: {rule.standing}." for _, rule in rules)
