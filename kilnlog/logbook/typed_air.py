"""Two figures of the air as typed: read, and worked out into the whole air, or refused at their own field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypedDict

from kilnlog.drying.air.emc import known_emc_pct
from kilnlog.drying.air.errors import ImpossibleAir
from kilnlog.drying.air.moist_air import AirState
from kilnlog.drying.air.reading import AirTerms, PlainTerms, state_of
from kilnlog.logbook.errors import ImpossibleReading
from kilnlog.records.errors import KilnlogError, WetAboveDry
from kilnlog.records.temperature import celsius, difference_c, difference_in_unit, in_unit
from kilnlog.records.typed_number import number_from_text
from kilnlog.records.typed_temperature import temperature_from_text
from kilnlog.records.words import AirControl, TemperatureUnit


class Second(StrEnum):
    """What stands beside the dry bulb, by the column it fills."""

    WET_BULB = "wet_bulb"
    DEPRESSION = "depression"
    RH = "rh_pct"


SECOND_NAMES = {Second.WET_BULB: "wet bulb", Second.DEPRESSION: "depression", Second.RH: "RH"}
DRY = "dry_bulb"
#: A figure, and the unit typed with it.
_Typed = tuple[float | None, TemperatureUnit | None]
_NOTHING: _Typed = (None, None)


class Terms(TypedDict):
    """The columns that readings and set points share."""

    dry_bulb: float | None
    wet_bulb: float | None
    depression: float | None
    rh_pct: float | None
    temperature_unit: TemperatureUnit | None


@dataclass(frozen=True)
class TypedAir:
    """What two texts say. ``wrong`` tells, by column, why a text was not taken."""

    dry_bulb: float | None  # [unit]
    second: float | None  # [unit], or [%]
    which: Second
    unit: TemperatureUnit
    state: AirState | None
    wrong: Mapping[str, KilnlogError]

    @property
    def emc_pct(self) -> float | None:
        """Where this air brings wood to [%]; None where the two do not tell the air, or it is too hot."""
        if self.state is None:
            return None
        return known_emc_pct(float(self.state.dry_bulb_c), float(self.state.rh_pct))

    @property
    def terms(self) -> Terms:
        """The columns to be kept."""
        values = {one.value: self.second if one is self.which else None for one in Second}
        has_temperature = self.dry_bulb is not None or (
            self.second is not None and self.which is not Second.RH
        )
        return Terms(
            dry_bulb=self.dry_bulb,
            wet_bulb=values["wet_bulb"],
            depression=values["depression"],
            rh_pct=values["rh_pct"],
            temperature_unit=self.unit if has_temperature else None,
        )


def read_air(
    dry: str,
    second: str,
    which: Second,
    unit: TemperatureUnit,
    pressure_pa: float,
    decimal_mark: str = ".",
) -> TypedAir:
    """Read both texts; an empty one says nothing and is not wrong.

    A unit typed with a figure wins over ``unit``: where every temperature names the same, the air is told
    in it; else what names another is converted.

    Args:
        dry: The dry bulb as typed.
        second: What was read beside it, as typed.
        which: What that is.
        unit: Of both temperatures.
        pressure_pa: Barometric pressure [Pa].
        decimal_mark: What separates decimals where it was typed.
    """
    wrong: dict[str, KilnlogError] = {}
    typed_dry = _temperature(dry, DRY, wrong, decimal_mark, below_zero=True)
    typed_second = _NOTHING
    if which is not Second.RH:
        typed_second = _temperature(second, which, wrong, decimal_mark, below_zero=which is Second.WET_BULB)
    unit = _unit_of(typed_dry, typed_second, unit)
    dry_bulb = _in(typed_dry, unit)
    if which is Second.RH:
        beside = _percent(second, which, wrong, decimal_mark)
    else:
        beside = _in(typed_second, unit, is_difference=which is Second.DEPRESSION)
    read = TypedAir(dry_bulb, beside, which, unit, None, {})
    state: AirState | None = None
    if not wrong:
        try:
            state = _state(read, pressure_pa)
        except ImpossibleReading as error:
            wrong[DRY if error.values["why"] == "temperature" else which] = error
        except WetAboveDry as error:
            wrong[which] = error
    return TypedAir(dry_bulb, beside, which, unit, state, wrong)


def second_of(terms: AirTerms) -> Second | None:
    """What a reading told beside its dry bulb; None where nothing."""
    told = {Second.WET_BULB: terms.wet_bulb, Second.DEPRESSION: terms.depression, Second.RH: terms.rh_pct}
    return next((which for which, value in told.items() if value is not None), None)


def usual_second(control: AirControl | None) -> Second:
    """What a kiln of that kind shows beside its dry bulb."""
    by_humidity = control in (AirControl.HUMIDISTAT, AirControl.DEHUMIDIFIER)
    return Second.RH if by_humidity else Second.WET_BULB


def _temperature(
    typed: str, column: str, wrong: dict[str, KilnlogError], decimal_mark: str, *, below_zero: bool
) -> _Typed:
    if not typed.strip():
        return _NOTHING
    try:
        return temperature_from_text(typed, decimal_mark=decimal_mark, negative=below_zero)
    except KilnlogError as error:
        wrong[column] = error
        return _NOTHING


def _percent(typed: str, column: str, wrong: dict[str, KilnlogError], decimal_mark: str) -> float | None:
    figure = typed.strip().removesuffix("%")
    if not typed.strip():
        return None
    try:
        return float(number_from_text(figure, decimal_mark=decimal_mark))
    except KilnlogError as error:
        wrong[column] = error
        return None


def _unit_of(dry: _Typed, second: _Typed, unit: TemperatureUnit) -> TemperatureUnit:
    """The unit that all temperatures were typed with, else that of the fields."""
    units = {one[1] for one in (dry, second) if one[0] is not None}
    named = units.pop() if len(units) == 1 else None
    return named or unit


def _in(typed: _Typed, unit: TemperatureUnit, *, is_difference: bool = False) -> float | None:
    value, named = typed
    if value is None or named is None or named is unit:
        return value
    if is_difference:
        return round(difference_in_unit(difference_c(value, named), unit), 2)
    return round(in_unit(celsius(value, named), unit), 2)


def _state(read: TypedAir, pressure_pa: float) -> AirState | None:
    dry, wet = read.dry_bulb, read.second if read.which is Second.WET_BULB else None
    if dry is not None and wet is not None and wet > dry:
        raise WetAboveDry(wet_bulb=wet, dry_bulb=dry, unit=f"°{read.unit.value}")
    try:
        if read.which is Second.RH and read.second is not None and read.second > 100:
            raise ImpossibleAir(why="rh", rh_pct=read.second)  # also of a humidity alone
        state = state_of(PlainTerms(**read.terms), pressure_pa)
    except ImpossibleAir as error:
        name = SECOND_NAMES[read.which]
        sign = "%" if read.which is Second.RH else f"°{read.unit.value}"
        raise ImpossibleReading(
            why=error.values["why"],
            read_dry_bulb=dry,
            second=f"{name} of {_plain(read.second)} {sign}",
            unit=f"°{read.unit.value}",
        ) from error
    return state


def _plain(value: float | None) -> str:
    return "–" if value is None else f"{value:g}"
