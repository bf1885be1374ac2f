"""Sentences on what else is known of a lot: stress, defects, tally, heat; or that nobody looked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from kilnlog.exchange.papers.contents import (
    AnswerPart,
    Contents,
    DefectPart,
    HeatPart,
    InstrumentPart,
    LotPart,
    RemarkPart,
    StressPart,
    TreatmentPart,
)
from kilnlog.exchange.papers.contents_tally import TallyTotals
from kilnlog.exchange.papers.options import PaperOptions
from kilnlog.exchange.papers.words import (
    TIE,
    count,
    dated,
    day,
    figure,
    listed,
    minutes,
    moment,
    moment_of,
    moments,
    pct,
    sentence,
    short,
    temperature,
    unit_words,
    volume,
)

_WEIGHING = ("scale", "oven")


#: What stands under a heading that nobody filled and nobody answered, by what the answers call it.
UNANSWERED: Mapping[str, str] = {
    "final moisture": "not measured",
    "stress": "not tested",
    "defects": "not recorded",
    "tally": "not tallied",
    "heat": "no probe record kept",
}


def with_answers(lot: LotPart, of_charge: Iterable[AnswerPart]) -> LotPart:
    """The lot with what was said of the headings of the whole charge, which is said of every lot."""
    return {**lot, "answers": [*lot["answers"], *of_charge]}


def answer_words(answers: Iterable[AnswerPart], step: str, otherwise: str) -> str:
    """What the operator said of a heading that nothing stands under; ``otherwise`` where nothing was said."""
    for answer in answers:
        if answer["step"] == step:
            if answer["answer"] == "none found":
                return "looked for, none found" + (f": {answer['note']}" if answer["note"] else "")
            return f"left out because: {answer['note']}" if answer["note"] else "left out"
    return otherwise


def stress(lot: LotPart) -> str:
    """The stress tests by kind."""
    if not lot["stress"]:
        return answer_words(lot["answers"], "stress", UNANSWERED["stress"])
    kinds = list(dict.fromkeys(test["kind"] for test in lot["stress"]))
    said = [_stress_of_kind(kind, [test for test in lot["stress"] if test["kind"] == kind]) for kind in kinds]
    return " ".join([f"{'; '.join(said)}.", *map(remark_words, lot["stress_remarks"])])


def remark_words(remark: RemarkPart) -> str:
    """A remark with where it is printed."""
    said = sentence(remark["said"])
    return said if remark["source"] is None else f"{said} ({remark['source']})"


def _stress_of_kind(kind: str, tests: list[StressPart]) -> str:
    passed = [test["passed"] for test in tests]
    judged = sum(verdict is not None for verdict in passed)
    name = kind if "core" in kind else f"{kind} test"
    parts = [f"{name}, {count(len(tests), 'piece')}"]
    if judged:
        parts.append(f"{sum(verdict is True for verdict in passed)} of {judged} passed")
    found = list(dict.fromkeys(test["found"] for test in tests if test["found"]))
    if found:
        told = [f"{sum(test['found'] == word for test in tests)} {word}" for word in found]
        parts.append(listed(told))
    if len(tests) <= 3:
        parts += [read for test in tests if (read := stress_read(test))]
    else:
        parts.append(_reach(tests))
    limits = list(dict.fromkeys((test["limit"], test["unit"]) for test in tests if test["limit"] is not None))
    parts += [f"limit {short(limit)}{TIE}{unit_words(unit or '')}".rstrip() for limit, unit in limits]
    return ", ".join(part for part in parts if part)


def stress_read(test: StressPart) -> str:
    """What one test read; "" where nothing was measured."""
    if test["value"] is None:
        return ""
    if test["core_value"] is not None:
        told = f"shell {figure(test['value'])}, core {pct(test['core_value'])}"
        apart = test["difference_pct"]
        return told if apart is None else f"{told}, {figure(abs(apart))} apart"
    return f"read {short(test['value'])}{TIE}{unit_words(test['unit'] or '')}".rstrip()


def _reach(tests: list[StressPart]) -> str:
    values = [test["value"] for test in tests if test["value"] is not None and test["core_value"] is None]
    units = {test["unit"] for test in tests if test["value"] is not None}
    if not values or len(units) != 1:
        return "; ".join(read for test in tests if (read := stress_read(test)))
    unit = unit_words(units.pop() or "")
    return f"read {short(min(values))} to {short(max(values))}{TIE}{unit}".rstrip()


def defects(lot: LotPart) -> str:
    """The defects by kind and severity, in counts and volume."""
    if not lot["defects"]:
        return answer_words(lot["answers"], "defects", UNANSWERED["defects"])
    return "; ".join(defect_words(defect) for defect in lot["defects"])


def defect_words(defect: DefectPart) -> str:
    """One defect."""
    text = defect["kind"] if not defect["severity"] else f"{defect['severity']} {defect['kind']}"
    if defect["pieces"] is not None:
        text += f" on {count(defect['pieces'], 'piece')}"
    if defect["volume"] is not None:
        text += f", {volume(defect['volume'], defect['volume_unit'])}"
    if defect["share_pct"] is not None:
        text += f" ({pct(defect['share_pct'])} of the lot)"
    return f"{text}: {defect['note']}" if defect["note"] else text


def how_much(lot: LotPart) -> str:
    """Green and net volume from the tally, or the volume the lot was planned with."""
    tally = lot["tally"]
    if tally is not None and (tally["green"] is not None or tally["net"] is not None):
        parts = []
        if tally["green"] is not None:
            parts.append(f"{volume(tally['green'], tally['unit'])} green")
        if tally["net"] is not None:
            parts.append(f"{volume(tally['net'], tally['unit'])} net")
        return ", ".join(parts)
    return "not measured" if lot["volume"] is None else volume(lot["volume"], lot["volume_unit"])


def tally_words(lot: LotPart) -> str:
    """The tally with its rounding and its shrinkage."""
    tally = lot["tally"]
    if tally is None or not tally["lines"]:
        return answer_words(lot["answers"], "tally", UNANSWERED["tally"])
    parts = [how_much(lot)]
    if all(line["is_typed"] for line in tally["lines"]):
        parts.append("totals as typed")
    elif tally["rounding"]:
        parts.append(f"worked out by {tally['rounding']}")
    parts += shrinkage_words(tally)
    return ". ".join([", ".join(parts), *(sentence(remark)[:-1] for remark in tally["remarks"])])


def shrinkage_words(tally: TallyTotals) -> list[str]:
    """What was lost between green and net, and what print leads to expect."""
    if tally["shrinkage_pct"] is None:
        return []
    text = f"{pct(tally['shrinkage_pct'])} less than green"
    if tally["expected_shrinkage_pct"] is not None:
        text += f" (shrinkage expected: {pct(tally['expected_shrinkage_pct'])}"
        text += f", {tally['expected_from']})" if tally["expected_from"] else ")"
    return [text]


def heat(contents: Contents, lot: LotPart | None, options: PaperOptions) -> str:
    """The heat interval as the operator's own record, or why there is none."""
    # Heat that came after a lot had left did nothing to it.
    part = contents["heat"] if lot is None else lot.get("heat_until_out", contents["heat"])
    if part is None:
        answers = [*(lot["answers"] if lot is not None else []), *contents["answers"]]
        return answer_words(answers, "heat", UNANSWERED["heat"])
    return " ".join(heat_sentences(part, options, has_left=lot is not None and "heat_until_out" in lot))


def heat_sentences(part: HeatPart, options: PaperOptions, *, has_left: bool = False) -> list[str]:
    """What the probes show, what was asked, and whose record it is.

    Args:
        part: Of the charge, or of a lot until it left.
        options: Order of dates.
        has_left: The lot left before the charge was done.
    """
    sentences = [heat_claim(part, options, has_left=has_left)]
    if part["probes"]:
        sentences.append(f"Probes: {', '.join(part['probes'])}.")
    sentences += air_only(part)
    if part["sampling_minutes"] is not None:
        sentences.append(f"Read every {minutes(part['sampling_minutes'])}.")
    sentences += widest(part)
    sentences += [sentence(dated(remark, options)) for remark in (*part["remarks"], *part["breaks"])]
    return [*sentences, *whose_record(part)]


def heat_claim(part: HeatPart, options: PaperOptions, *, has_left: bool = False) -> str:
    """For how long every probe showed what was asked, and what that was: the sentence that matters."""
    at_least = temperature(part["at_least"], part["temperature_unit"])
    asked = f"asked for: {minutes(part['for_minutes'])}"
    if part["limits_from"]:
        asked += f", {part['limits_from']}"
    longest, whose = part["longest"], "in the air" if part["air_only"] else "in the wood"
    until_left = " before the lot left" if has_left else ""
    if not part["probes"]:
        return f"No probe was read{until_left} ({asked})."
    if longest is None:
        return f"At no moment{until_left} did every probe {whose} read {at_least} or above ({asked})."
    if longest["begins"] == longest["ends"]:
        return (
            f"Every probe {whose} read {at_least} or above at one moment alone, "
            f"{moment(longest['begins'], options)}, which is no time ({asked})."
        )
    verdict = "" if part["reached"] else ", less than asked"
    return (
        f"Every probe {whose} read {at_least} or above for {minutes(longest['minutes'])} "
        f"without a break, {moments(longest['begins'], longest['ends'], options)}{verdict} ({asked})."
    )


def air_only(part: HeatPart) -> list[str]:
    """What probes in the air leave unsaid."""
    return ["No probe sat in the wood: this says nothing of the wood itself."] if part["air_only"] else []


def widest(part: HeatPart) -> list[str]:
    """The longest step between readings, which the claim leans on."""
    if part["widest_minutes"] is None:
        return []
    step = minutes(part["widest_minutes"])
    return [f"Longest time between two readings of a probe within that time: {step}."]


def whose_record(part: HeatPart) -> list[str]:
    """An agreement that is named, and that nobody but the operator says any of it."""
    with_whom = [part["agency"], f"no. {part['agreement']}" if part["agreement"] else None]
    named = " ".join(text for text in with_whom if text)
    told = [f"The operator names an agreement with {named}."] if named else []
    return [*told, "This is the operator's own record."]


_TREATED = {"equalizing": "equalized", "conditioning": "conditioned"}


def treatments(lot: LotPart, options: PaperOptions) -> str:
    """``equalized for 25 h until 11 November 2026, 09:00; conditioned …``; "" where nothing was written."""
    return "; ".join(_treatment(part, options) for part in lot["treatments"])


def _treatment(part: TreatmentPart, options: PaperOptions) -> str:
    done, begins, ends = _TREATED.get(part["kind"], part["kind"]), part["begins"], part["ends"]
    if ends is None:
        return f"{done} from {moment(begins, options)}, end not recorded"
    if begins is None:
        return f"{done} until {moment(ends, options)}, beginning not recorded"
    took = (moment_of(ends) - moment_of(begins)).total_seconds() / 60
    return f"{done} for {minutes(took)} until {moment(ends, options)}"


def instruments(contents: Contents, lot: LotPart, options: PaperOptions) -> str:
    """Each instrument that measured the lot, with its steps and when it was checked."""
    told = [f"{kind} not named" for kind in unnamed_meters(lot)]
    told += [instrument_words(part, options) for part in instruments_of(contents, lot)]
    return "; ".join(told) or "none named"


def unnamed_meters(lot: LotPart) -> list[str]:
    """The kinds of meter that pieces were read with and that nobody named."""
    return [
        series["kind"]
        for series in lot["final"]
        if series["readings"] and series["kind"].endswith("meter") and not series["instrument"]
    ]


def instruments_of(contents: Contents, lot: LotPart) -> list[InstrumentPart]:
    """Those that measured the lot: scales and ovens only where something of it was weighed."""
    has_weights = (
        any(board["lot"] == lot["lot"] for board in contents["boards"])
        or any(reading["wet_weight"] for series in lot["final"] for reading in series["readings"])
        or any(test["core_value"] is not None for test in lot["stress"])
    )
    return [part for part in contents["instruments"] if has_weights or part["kind"] not in _WEIGHING]


def instrument_words(part: InstrumentPart, options: PaperOptions) -> str:
    """One instrument."""
    text = instrument_name(part)
    if part["division"]:
        text += f", steps of {part['division']}"
    if part["checked_at"]:
        text += f", checked {day(moment_of(part['checked_at']), options)}"
        return f"{text} ({part['check_result']})" if part["check_result"] else text
    return f"{text}, no check recorded"


def instrument_name(part: InstrumentPart) -> str:
    """Its name, and its kind where the name does not hold it."""
    named, kind = part["instrument"], part["kind"]
    return named if kind.casefold() in named.casefold() else f"{kind} {named}"


def what(lot: LotPart) -> str:
    """Thickness and species."""
    return " ".join(part for part in (lot["thickness"], lot["species"]) if part) or "not named"
