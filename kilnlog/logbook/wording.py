"""The one door to the sentences: what happened, why, what to do, with the numbers in them."""

from __future__ import annotations

from dataclasses import dataclass

from kilnlog.drying.finding import Finding
from kilnlog.exchange.errors import ImportRefused
from kilnlog.logbook import figures
from kilnlog.logbook.wording_doubts import SLIP_WORDS
from kilnlog.logbook.wording_errors import ERRORS
from kilnlog.logbook.wording_errors_files import ALL_TOLD, MORE, NOTHING_IN, PLACE
from kilnlog.logbook.wording_findings import FINDINGS
from kilnlog.logbook.wording_misfits import MISFITS
from kilnlog.logbook.wording_values import fill
from kilnlog.records.errors import KilnlogError
from kilnlog.records.moment import Moment
from kilnlog.records.weight import WeightUnit
from kilnlog.store.verifying import Misfit


@dataclass(frozen=True, slots=True)
class Sentence:
    """What an error says to the operator."""

    what: str  # what happened
    do: str  # what to do about it

    @property
    def text(self) -> str:
        """Both, as one line."""
        return f"{self.what} {self.do}".strip()


@dataclass(frozen=True, slots=True)
class Worded:
    """What a finding says to the operator."""

    short: str  # one to three words
    headline: str  # one line, with the figure in it
    why: str
    do: str
    source: str | None


def worded(error: KilnlogError, unit: WeightUnit = WeightUnit.G) -> Sentence:
    """The sentences of an error, by its code and, where it gives one, the ``why`` among its values."""
    if isinstance(error, ImportRefused):
        return _refused_import(error, unit)
    what, do = ERRORS.get(f"{error.code}: {error.values.get('why')}") or ERRORS[error.code]
    return Sentence(fill(what, error.values, unit), fill(do, error.values, unit))


def worded_finding(finding: Finding, unit: WeightUnit = WeightUnit.G) -> Worded:
    """The sentences of a finding, weights in the operator's unit."""
    wording = FINDINGS[finding.code]
    if "section" in finding.values:
        unit = WeightUnit.G  # sections go on the small balance, whatever the boards are weighed in
    values = told(finding, unit)
    short, headline, why, do = (fill(sentence, values, unit) for sentence in wording)
    return Worded(short, _capital(headline), why, do, finding.source)


def worded_misfit(misfit: Misfit) -> str:
    """What is not as it was written, in one sentence."""
    values = {
        "number": misfit.number,
        "table": misfit.table,
        "uid": misfit.uid,
        "detail": misfit.detail or None,
    }
    return fill(MISFITS[misfit.why], values, WeightUnit.G)


def told(finding: Finding, unit: WeightUnit) -> dict[str, object]:
    """The finding's values, with those that sentences say in their own words."""
    values: dict[str, object] = {"subject": finding.subject, "since": finding.since, **finding.values}
    change_g, last_at, since_h = (finding.values.get(name) for name in ("change_g", "last_at", "since_h"))
    if isinstance(change_g, float | int):
        values["more_g" if change_g >= 0 else "less_g"] = abs(change_g)
    low_g, high_g = finding.values.get("expected_low_g"), finding.values.get("expected_high_g")
    if isinstance(low_g, float | int) and isinstance(high_g, float | int):
        values["expected_words"] = figures.weight_span(low_g, high_g, unit, _step_of(finding))
    values |= _said_otherwise(finding)
    if isinstance(last_at, Moment) and isinstance(since_h, float | int):
        values["last_words"] = _last_words(last_at, last_at.plus_hours(since_h))
    if (likely := finding.values.get("likely_text")) is not None:
        values["likely_text"] = _with_unit(str(likely), str(finding.values.get("likely_unit") or unit))
    if (slip := finding.values.get("slip")) is not None:
        values["slip_words"] = SLIP_WORDS[str(slip)]
    return values


def _step_of(finding: Finding) -> float | None:
    """The step of the scale the finding is about [g]."""
    step_g = finding.values.get("division_g")
    return step_g if isinstance(step_g, float) else None


def _said_otherwise(finding: Finding) -> dict[str, object]:
    """Hours in words (``early_h`` as ``early_words``), and degrees Celsius in Fahrenheit as well."""
    said: dict[str, object] = {}
    for name, value in finding.values.items():
        if not isinstance(value, float | int):
            continue
        if name.endswith("_h"):
            said[f"{name.removesuffix('_h')}_words"] = figures.duration(abs(value))
        elif name.endswith("_c"):
            said[f"{name.removesuffix('_c')}_f"] = value * 1.8 + 32
    away_h = finding.values.get("away_h")
    if isinstance(away_h, float | int):
        said["away_side"] = "after" if away_h > 0 else "before"
    return said


def _with_unit(typed: str, unit: str) -> str:
    """The likely truth as it would be typed, its thousands grouped, with the unit where it names none."""
    if any(letter.isalpha() for letter in typed) or unit == WeightUnit.LB_OZ:
        return typed
    return f"{figures.grouped_text(typed)} {unit}"


def _last_words(last_at: Moment, at: Moment) -> str:
    """When the last weight was read, in words that follow “than”."""
    apart = (at.local.date() - last_at.local.date()).days
    return {0: f"at {last_at.local:%H:%M}", 1: "yesterday"}.get(apart) or f"on {figures.day(last_at, at)}"


def _refused_import(error: ImportRefused, unit: WeightUnit) -> Sentence:
    """The first mistake with its place, and how many more there are."""
    cause = worded(error.cause, unit)
    more = len(error.problems) - 1
    at_least = "At least " if error.is_cut_off else None
    values = {"more": more, "were": "was" if more == 1 else "were", "at_least": at_least}
    rest = fill(MORE, values, unit) if more else ""
    return Sentence(fill(PLACE, error.values, unit) + cause.what, f"{cause.do} {NOTHING_IN}{rest}")


def worded_problems(error: ImportRefused, unit: WeightUnit = WeightUnit.G) -> tuple[str, ...]:
    """Every mistake on a line of its own, and what follows from them."""
    if len(error.problems) == 1:
        return (worded(error, unit).text,)
    lines = []
    for problem in error.problems:
        place = {"file": problem.file, "row": problem.row, "column": problem.column}
        lines.append(fill(PLACE, place, unit) + worded(problem.cause, unit).text)
    values = {"number": len(lines), "at_least": "At least " if error.is_cut_off else None}
    return (*lines, fill(ALL_TOLD, values, unit))


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
