"""Everything raised or found has its sentences, and no sentence waits for a value it never gets."""

from __future__ import annotations

import re

import pytest

from kilnlog.drying.finding import Finding, Severity
from kilnlog.drying.slips import SlipKind
from kilnlog.exchange.errors import ImportRefused, Problem
from kilnlog.logbook.wording import worded, worded_finding, worded_misfit
from kilnlog.logbook.wording_doubts import DOUBTS, SLIP_WORDS
from kilnlog.logbook.wording_errors import ERRORS
from kilnlog.logbook.wording_findings import FINDINGS
from kilnlog.logbook.wording_misfits import MISFITS
from kilnlog.logbook.wording_values import fill
from kilnlog.records.errors import AmbiguousNumber, MissingValue, UnreadableNumber, UnreadableTime
from kilnlog.records.weight import WeightUnit
from kilnlog.store.verifying import Misfit
from tests.builders import moment
from tests.logbook.catalogue import error_classes, found_codes, raised

CODES = sorted({kind.code for kind in error_classes().values()} - {"kilnlog-error", "import-refused"})
RAISED = list(raised())
FOUND = found_codes()
#: Worked out in the sentences' own words from the values a finding carries.
_SAID_ANEW = {
    "subject",
    "since",
    "more_g",
    "less_g",
    "last_words",
    "slip_words",
    "expected_words",
    "away_side",
}
_SAID_ANEW |= {"low_f", "high_f"}


def needed(sentence: str) -> set[str]:
    """The values a sentence cannot do without: those outside square brackets."""
    return set(re.findall(r"\{(\w+)\}", re.sub(r"\[[^\[\]]*\]", "", sentence)))


def test_the_package_was_read():
    assert len(CODES) > 60
    assert len(RAISED) > 100
    assert len(FOUND) > 25


@pytest.mark.parametrize("code", CODES)
def test_every_error_is_worded(code):
    what, do = ERRORS[code]
    assert what
    assert do


def test_no_wording_is_left_over():
    assert {key.partition(":")[0] for key in ERRORS} == set(CODES)
    assert set(FINDINGS) == set(FOUND) | {kind.value for kind in SlipKind}


@pytest.mark.parametrize("made", RAISED, ids=lambda made: f"{made.code} at {made.place}")
def test_every_error_carries_what_its_sentences_need(made):
    for sentence in ERRORS.get(f"{made.code}: {made.why}") or ERRORS[made.code]:
        assert needed(sentence) <= made.given


WITH_WHYS = {key.partition(":")[0] for key in ERRORS if ":" in key} - {"refused-by-record"}


@pytest.mark.parametrize(
    "made",
    [made for made in RAISED if made.why is not None and made.code in WITH_WHYS],
    ids=lambda made: f"{made.code}, {made.why} at {made.place}",
)
def test_every_reason_has_its_own_wording_or_says_no_more(made):
    plain_enough = {"not-a-logbook: not-a-database", "no-display: none"}
    assert f"{made.code}: {made.why}" in ERRORS.keys() | plain_enough


@pytest.mark.parametrize("code", sorted(FOUND))
def test_every_finding_carries_what_its_sentences_need(code):
    in_words = {f"{name.removesuffix('_h')}_words" for name in FOUND[code] if name.endswith("_h")}
    for sentence in FINDINGS[code]:
        assert needed(sentence) <= FOUND[code] | in_words | _SAID_ANEW


@pytest.mark.parametrize("kind", list(SlipKind))
def test_every_slip_is_worded_from_the_values_of_the_doubt_it_explains(kind):
    for sentence in DOUBTS[kind.value]:
        assert needed(sentence) <= FOUND["gain"] | _SAID_ANEW
    assert SLIP_WORDS[kind.value].endswith("?")


def test_every_misfit_is_worded():
    told = re.search(r"why: (.*?)\.\n", Misfit.__doc__ or "", re.DOTALL)
    assert told is not None
    known = set(re.findall(r"``([a-z-]+)``", told[1]))
    assert known == set(MISFITS)
    assert worded_misfit(Misfit("row-changed", 12, "weighing", "a1")) == (
        "Row a1 of the table weighing was altered after it was written (ledger row 12)."
    )
    assert worded_misfit(Misfit("pages")) == "The file itself is damaged."


@pytest.mark.parametrize("wording", FINDINGS.values(), ids=FINDINGS.keys())
def test_short_words_are_three_at_most_and_headlines_one_line(wording):
    short, headline, why, do = wording
    assert len(short.split()) <= 3
    assert not headline.endswith(".")
    assert why.endswith((".", "]"))
    assert do.endswith(".")


def test_a_gain_is_told_with_its_figures_and_the_likely_truth():
    # The figures of the design's own example: 3,213 g typed for a board of 2,337 g the day before.
    values = {
        "typed_text": "3213",
        "typed_g": 3213.0,
        "expected_low_g": 2299.2,
        "expected_high_g": 2325.4,
        "last_g": 2337.0,
        "last_at": moment("2026-11-24 07:49"),
        "since_h": 23.9,
        "change_g": 876.0,
        "slip": "digits-turned",
        "likely_text": "2313",
        "likely_g": 2313.0,
    }
    said = worded_finding(Finding("gain", Severity.LOOK, "board 5", values))
    assert said.short == "heavier"
    assert said.headline == "876 g more than yesterday"
    assert said.why == (
        "Wood in a running kiln does not gain. Expected 2,299 – 2,325 g. Digits turned? 2,313 g would fit."
    )
    assert said.do == "Weigh it again, or take 2,313 g; keep it only with a reason."


def test_the_likely_truth_is_told_in_the_unit_it_was_typed_in():
    values = {"typed_text": "4.02", "likely_text": "4.20", "likely_unit": "lb"}
    values |= {"expected_low_g": 1900.0, "expected_high_g": 1910.0, "division_g": 4.5359237}
    said = worded_finding(Finding("digits-turned", Severity.LOOK, "board 5", values), WeightUnit.KG)
    assert said.do == "Take 4.20 lb, or weigh it again."
    assert (
        worded_finding(Finding("digits-turned", Severity.LOOK, "board 5", values), WeightUnit.LB).why
        == "Expected 4.19 – 4.21 lb. 4.20 lb would fit."
    )


@pytest.mark.parametrize(
    ("code", "values", "headline", "why", "do"),
    [
        (
            "clock-far",
            {"last_at": moment("2026-11-24 07:49"), "away_h": 288.0, "usual_h": 24.0},
            "This time is 12 days after the nearest entry",
            "The nearest entry is of 2026-11-24 07:49; rounds are usually 24 h apart.",
            "Check the date of the round; keep it if 12 days went by without a weighing.",
        ),
        (
            "clock-far",
            {"last_at": moment("2026-11-24 07:49"), "away_h": -300.0, "usual_h": None},
            "This time is 12 days before the nearest entry",
            "The nearest entry is of 2026-11-24 07:49.",
            "Check the date of the round; keep it if 12 days went by without a weighing.",
        ),
        (
            "clock-far",
            {"last_at": moment("2026-11-24 07:49"), "now": moment("2026-11-24 07:19"), "behind_h": 0.5},
            "The clock is 30 min behind the last round",
            "The last round is of 2026-11-24 07:49, and the clock here says 2026-11-24 07:19.",
            "Check the clock of this machine, and the time of the last round.",
        ),
        (
            "section-not-constant",
            {
                "board": "1",
                "section": "A",
                "oven_dry_weight_g": 54.1,
                "rule": "0.1 % in 2 h",
                "interval_h": 2.0,
            },
            "Section A of board 1 was not at constant weight",
            "54.1 g was typed as oven-dry, but its oven weighings do not meet “0.1 % in 2 h”.",
            "Put it back and weigh it again after 2 h.",
        ),
        (
            "oven-temperature-odd",
            {
                "board": "1",
                "section": "A",
                "oven_temperature": 250.0,
                "temperature_unit": "F",
                "low_c": 101.0,
                "high_c": 105.0,
            },
            "The oven of section A, board 1, stood at 250 °F",
            "Sections dry at 101 to 105 °C (214 to 221 °F): cooler leaves water in them, hotter chars the "
            "wood and can set it alight.",
            "Check the oven with a thermometer; dry the section again, or reject it if it is scorched.",
        ),
    ],
)
def test_findings_are_told_as_one_would_say_them(code, values, headline, why, do):
    # In pounds: sections go on the small balance in grams all the same.
    said = worded_finding(Finding(code, Severity.LOOK, "board 1", values), WeightUnit.LB)
    assert (said.headline, said.why, said.do) == (headline, why, do)


def test_a_step_taken_early_with_a_reason_is_not_asked_for_one():
    values = {"step": 3, "called_for": 2, "from_mc_pct": 40.0, "control_mc_pct": 44.0}
    for reason, do in (
        (None, "Go back to step 2, or write down why it was taken early."),
        (
            "holidays",
            "Taken early because: holidays. Watch the loss a day for the next rounds, and go back to step 2 "
            "if it outruns the limit.",
        ),
    ):
        finding = Finding("step-against-rule", Severity.LOOK, "charge", {**values, "reason": reason})
        assert worded_finding(finding).do == do


def test_a_gain_worked_out_in_floats_is_told_to_the_gram():
    values = {"board": "1", "gain_g": 45.0000000001, "before_at": moment("2026-11-24 07:49")}
    values |= {"gain_pct": 2.0, "mc_pct": 9.0}
    said = worded_finding(Finding("weight-gained", Severity.LOOK, "board 1", values))
    assert said.headline == "Board 1 gained 45 g since 2026-11-24 07:49"


def test_weights_are_told_in_the_operators_unit():
    values = {"board": "1", "gain_g": 45.359237, "before_at": moment("2026-11-24 07:49")}
    said = worded_finding(
        Finding("weight-gained", Severity.LOOK, "board 1", values | {"gain_pct": 2.0, "mc_pct": 9.0}),
        WeightUnit.LB,
    )
    assert said.headline == "Board 1 gained 0.10 lb since 2026-11-24 07:49"


@pytest.mark.parametrize(
    ("error", "text"),
    [
        (
            AmbiguousNumber(typed="2,989", readings=("2989", "2.989")),
            "“2,989” can be read as 2989 or 2.989. Type it so that only one is meant.",
        ),
        (
            UnreadableNumber(typed="-3", why="negative"),
            "“-3” is below zero, which this cannot be. Type it without the minus sign.",
        ),
        (
            UnreadableTime(typed="2026-11-01 01:30", zone="America/New_York", why="twice"),
            "The clock in America/New_York showed 2026-11-01 01:30 twice, as it went back in autumn. "
            "Add its offset to say which is meant, like 01:30-05:00.",
        ),
        (
            ImportRefused(
                (
                    Problem("lots.csv", 4, "owner", MissingValue(column="owner")),
                    Problem("lots.csv", 5, None, MissingValue(column="lot")),
                )
            ),
            "lots.csv, row 4, column owner: owner is empty. Fill it in. Nothing was taken in. "
            "1 more was noticed.",
        ),
        (
            ImportRefused((Problem("lots.csv", None, None, MissingValue(column="lot")),)),
            "lots.csv: lot is empty. Fill it in. Nothing was taken in.",
        ),
    ],
)
def test_an_error_is_told_in_one_line(error, text):
    assert worded(error).text == text


def test_optional_parts_stand_only_with_their_values():
    sentence = "lost[ {a}][, {b_g}|, {c}|, nothing]"
    assert fill(sentence, {"a": None, "c": 3}, WeightUnit.G) == "lost, 3"
    assert fill(sentence, {"a": 1, "b_g": 2.0, "c": 3}, WeightUnit.G) == "lost 1, 2 g"
    assert fill(sentence, {}, WeightUnit.G) == "lost, nothing"


def test_a_value_that_is_not_there_is_a_defect_and_loud():
    with pytest.raises(KeyError):
        fill("lost {a}", {}, WeightUnit.G)
