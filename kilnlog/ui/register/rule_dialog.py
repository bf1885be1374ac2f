"""The rule by which a section in the oven counts as dry; it travels with the record."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.constant_weight import DEFAULT_RULE, RULES, SETTING, rule_from_setting
from kilnlog.logbook.writing import correct, write
from kilnlog.records.errors import KilnlogError
from kilnlog.records.setting import Setting
from kilnlog.records.version import current_entries
from kilnlog.ui.desk import Desk
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.form import Form
from kilnlog.ui.look.reading import Reader

_OWN = "own"


class RuleDialog(Form):
    """One of the published rules, or the operator's own."""

    def __init__(self, parent: QWidget, desk: Desk, appearance: Appearance) -> None:
        super().__init__(parent, appearance, "When a section is dry", "counts for every charge", width=560)
        self._desk = desk
        entries = current_entries(desk.shared.setting)
        self._entry = next((entry for entry in entries if entry.fact.setting == SETTING), None)
        value = self._entry.fact.value if self._entry is not None else DEFAULT_RULE.name
        rules = [(name, name) for name in RULES]
        self._rule = ChoiceField(appearance, [*rules, (_OWN, "a rule of my own")])
        self.add("rule", "Weight is constant when the change is below", self._rule)
        self._said = self.remark("")
        self.add(
            "own",
            "My own rule",
            TextField(appearance, "0.05 % in 4 h"),
            "0.05 % in 4 h, or 2 divisions in 3 h",
        )
        if self._entry is not None:
            self.add("reason", "Why another rule?", TextField(appearance))
            self.require("reason")
        self.require("own")
        if value in RULES:
            self._rule.set_value(value)
        else:
            self._rule.set_value(_OWN)
            self.set_text("own", value.removeprefix("own:").strip())
        self._rule.currentIndexChanged.connect(lambda _: self._tell())
        self.finish("Keep", self.keep)
        self._tell()

    def _tell(self) -> None:
        own = self._rule.value == _OWN
        self.rows["own"].setVisible(own)
        self._said.setText(
            "" if own else f"{RULES[self._rule.value].source}. Standing: {RULES[self._rule.value].standing}."
        )

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        value = self._rule.value
        if value == _OWN:
            typed = reader.text("own", needed=True)
            value = f"own: {typed}"
            if typed is not None:
                try:
                    rule_from_setting(value)
                except KilnlogError as error:
                    reader.refuse("own", error)
        reason = reader.text("reason", needed=True) if self._entry is not None else None
        if not reader.ok:
            return
        fact, saying = Setting(SETTING, value), f"Sections are dry by {value}"
        if self._entry is None:
            self.send(self._desk, write, fact, saying=saying)
        else:
            self.send(self._desk, correct, "setting", self._entry.entity, fact, reason, saying=saying)
