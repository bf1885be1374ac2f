"""How the values of an error or a finding are written into its sentences, by the unit their names end in."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from kilnlog.logbook import figures
from kilnlog.records.moment import Moment
from kilnlog.records.weight import Weight, WeightUnit

#: The ending of a value's name -> decimals its number is shown with. Longer endings come first.
_DECIMALS = (
    ("_pct_per_day", 2),
    ("_per_division_pct", 2),
    ("_compared_pct", 2),
    ("_rh_pct", 0),
    ("_pct", 1),
    ("_points", 1),
    ("_hours", 1),
    ("_h", 1),
    ("_days", 1),
    ("_minutes", 0),
    ("_f", 0),
)
#: Figures somebody set: told as set, without noughts at their end.
_AS_SET = (
    "from_mc_pct",
    "to_mc_pct",
    "before_mc_pct",
    "from_hours",
    "lowest_mc_pct",
    "highest_mc_pct",
    "limit_pct",
    "limit_pct_per_day",
    "limit_per_division_pct",
    "most_change_pct",
    "most_minutes",
    "usual_from_h",
    "usual_to_h",
    "usual_thick_h",
    "softwood_h",
    "harmless_below_mc_pct",
    "reached_mc_pct",
)

#: Temperatures, as fine as a kiln's thermometer.
_READ_TO_A_TENTH = ("_dry_bulb", "_wet_bulb", "_depression")

#: Moments at which somebody pressed a button: told to the minute, as one says them.
_BY_A_BUTTON = ("begun_at",)

_TABLE_NAMES = ("table", "children")
_OPTIONAL = re.compile(r"\[([^\[\]]*)\]")
_NAMED = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True)
class Written(Mapping[str, str]):
    """The values as text, ready to be filled into a sentence; a name that is not there is our defect."""

    told: Mapping[str, object]
    unit: WeightUnit

    def __getitem__(self, name: str) -> str:
        return written(name, self.told[name], self.unit)

    def __iter__(self) -> Iterator[str]:
        return iter(self.told)

    def __len__(self) -> int:
        return len(self.told)


def fill(sentence: str, values: Mapping[str, object], unit: WeightUnit) -> str:
    """The sentence with its values in it.

    A part in square brackets is left out where one of its values is missing or None; of alternatives,
    ``[one|other]``, the first that has all its values stands.
    """
    chosen = _OPTIONAL.sub(lambda part: _first_complete(part[1].split("|"), values), sentence)
    return chosen.format_map(Written(values, unit))


def _first_complete(alternatives: list[str], values: Mapping[str, object]) -> str:
    for alternative in alternatives:
        if all(values.get(name) is not None for name in _NAMED.findall(alternative)):
            return alternative
    return ""


def written(name: str, value: object, unit: WeightUnit) -> str:
    """One value as text: weights in the operator's unit with its name, the rest as its ending says."""
    if isinstance(value, tuple | list):
        last = " or " if name == "readings" else " and "
        words = [written(name, one, unit) for one in value]
        # Owners' names hold commas and “and” themselves.
        return listed([f"“{word}”" for word in words] if name == "known_owners" else words, last)
    if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
        return _number(name, value, unit)
    if isinstance(value, Moment):
        if name in _BY_A_BUTTON:
            value = Moment(value.utc.replace(second=0, microsecond=0), value.zone)
        return value.text()
    if isinstance(value, Weight):
        return figures.as_typed(value)
    if name in _TABLE_NAMES:
        return str(value).replace("_", " ")
    return figures.EMPTY if value is None else str(value)


def _number(name: str, value: float | Decimal, unit: WeightUnit) -> str:
    if name.endswith("_g"):
        return figures.weight_with_unit(value, unit, _step_g(value, unit))
    if name in _AS_SET:
        return figures.trimmed(float(value))
    if name.endswith(_READ_TO_A_TENTH):
        return figures.trimmed(float(value), 1)
    for ending, decimals in _DECIMALS:
        if name.endswith(ending):
            return figures.number(value, decimals)
    return figures.number(value) if isinstance(value, int) else figures.trimmed(float(value))


def _step_g(value: float | Decimal, unit: WeightUnit) -> float | None:
    """Small weights in grams (sections, losses) are told finer than boards."""
    size = abs(float(value))
    is_whole = abs(size - round(size)) < 1e-6  # sums in floats end a hair off the gram
    if unit is not WeightUnit.G or is_whole:
        return None
    return 0.01 if size < 10 else 0.1 if size < 200 else None


def listed(words: list[str], last: str = " and ") -> str:
    """``1, 4 and 6``; ``none`` where there are none."""
    if not words:
        return "none"
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])}{last}{words[-1]}"
