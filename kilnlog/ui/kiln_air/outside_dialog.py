"""The air outside, which vents draw in: typed for the season, else a stated default."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from kilnlog.drying.outside_air import SETTING as OUTSIDE
from kilnlog.drying.outside_air import OutsideAir, outside_from_setting, outside_in_force, setting_of
from kilnlog.logbook import figures
from kilnlog.logbook.in_kiln import in_kiln
from kilnlog.logbook.kiln_air_words import temperature
from kilnlog.logbook.writing import take_back
from kilnlog.records.charge_record import ChargeRecord
from kilnlog.records.errors import OutOfRange, UnknownWord
from kilnlog.records.temperature import in_unit
from kilnlog.records.words import TemperatureUnit
from kilnlog.ui.desk import Desk
from kilnlog.ui.kiln_air.setting_form import SettingForm
from kilnlog.ui.kiln_air.terms_form import TIME_HINT
from kilnlog.ui.look.appearance import Appearance
from kilnlog.ui.look.fields import ChoiceField, TextField
from kilnlog.ui.look.reading import Reader, plain

UNITS = (("F", "°F"), ("C", "°C"))
BACK = "taken back: the default counts"
_COLDEST_C, _HOTTEST_C = -40.0, 60.0


class OutsideDialog(SettingForm):
    """Its temperature and humidity from a time on. With what was set, the default can be put back."""

    def __init__(
        self, parent: QWidget, desk: Desk, appearance: Appearance, record: ChargeRecord | None
    ) -> None:
        super().__init__(parent, desk, appearance, "Outside air", OUTSIDE, 540)
        unit = in_kiln(record, desk.now()).unit
        default, is_now = (outside_in_force(value, desk.reference) for value in (None, self.value))
        source = desk.reference.practice["outside_c"].source
        self.remark(
            f"What must be vented is worked out with it. Where nobody sets it, it is taken for "
            f"{_words(default, unit)}: {source}."
        )
        self.pair(
            ("dry_bulb", "Temperature", TextField(appearance)),
            ("unit", "in", ChoiceField(appearance, UNITS)),
            ("rh_pct", "RH, %", TextField(appearance)),
        )
        self.add("at", "From", TextField(appearance), TIME_HINT)
        self.require("dry_bulb", "rh_pct", "at")
        self.set_text("at", desk.now().text()[:16])
        self.set_choice("unit", unit)
        if not is_now.is_default:
            self.set_text("dry_bulb", plain(round(in_unit(is_now.dry_bulb_c, unit), 1)))
            self.set_text("rh_pct", plain(is_now.rh_pct))
        others = [("Back to the default", self.back)] if self.entry is not None else []
        self.finish("Keep", self.keep, *others)
        self.rows["dry_bulb"].field.setFocus()

    def keep(self) -> None:
        """Read, write, close."""
        reader = Reader(self)
        typed = reader.temperature("dry_bulb", TemperatureUnit(reader.choice("unit")), needed=True)
        rh_pct = reader.number("rh_pct", low=0, high=100, needed=True)
        at = reader.moment("at", self.desk.zone, needed=True)
        if not reader.ok or typed is None or rh_pct is None or at is None:
            return
        dry, unit = typed
        low, high = in_unit(_COLDEST_C, unit), in_unit(_HOTTEST_C, unit)
        value = setting_of(dry, unit, rh_pct)
        try:
            outside = outside_from_setting(value)
        except UnknownWord:
            reader.refuse("dry_bulb", OutOfRange(column="“Temperature”", value=str(dry), low=low, high=high))
            return
        self.send_value(value, at, f"Outside air {_words(outside, unit)}")

    def back(self) -> None:
        """The stated default counts again, as if nothing had been set."""
        if self.entry is not None:
            saying = f"Outside air {BACK}"
            self.send(self.desk, take_back, "setting", self.entry.entity, BACK, saying=saying)


def _words(air: OutsideAir, unit: TemperatureUnit) -> str:
    return f"{temperature(air.dry_bulb_c, unit)}, {figures.trimmed(air.rh_pct, 1)} % RH"
