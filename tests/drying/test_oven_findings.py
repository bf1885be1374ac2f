"""Findings about the constant-weight rule: where it cannot judge, and where it was met too soon."""

import csv
from pathlib import Path

import pytest

from kilnlog.drying.assessment import assess
from kilnlog.drying.constant_weight import SETTING
from kilnlog.drying.figures import SectionFigures
from kilnlog.drying.finding import Finding
from kilnlog.reference.tables import load
from tests.builders import ChargeBuilder

OVEN = list(
    csv.DictReader(Path(__file__).with_name("oven_series.csv").read_text(encoding="utf-8").splitlines())
)


def assessed(
    readings: list[tuple[float, str]], *, rule: str | None = None, dry: str | None = None
) -> tuple[SectionFigures, dict[str, Finding]]:
    """One section with these oven weighings (hours after loading), assessed two months later."""
    build = ChargeBuilder(target_mc_pct=8)
    if rule is not None:
        build.setting(SETTING, rule)
    board = build.board("1", "4460")
    section = build.section(board, "a", "96.5", dry, dried_at=None if dry is None else 1)
    for hours, grams in readings:
        build.oven(board, section, grams, at=hours / 24)
    assessment = assess(build.record(), load(), build.when(60))
    return assessment.boards[0].sections[0], {finding.code: finding for finding in assessment.findings}


def printed(piece: str) -> list[tuple[float, str]]:
    """SUNY ESF, oven time and temperature: hours and grams of one piece."""
    return [(float(row["time_h"]), row["weight_g"]) for row in OVEN if row["piece"] == piece]


COARSE = [(hours, grams) for hours, grams in [(18.0, "60.1"), (21.0, "60.1"), (24.0, "60.0")]]


def test_a_rule_too_coarse_for_the_section_is_said_and_decides_nothing() -> None:
    """Two divisions of 0.1 g are 0.33 % of 60 g."""
    section, findings = assessed(COARSE, rule="2 divisions in 3 h")
    assert (section.oven_dry_weight_g, section.constant_by_rule, section.mc_pct) == (None, None, None)
    values = findings["oven-rule-refused"].values
    assert (values["section"], values["rule"]) == ("a", "2 divisions in 3 h")
    assert values["division_g"] == pytest.approx(0.1)


def test_a_typed_oven_dry_weight_is_not_blamed_for_a_rule_that_cannot_judge() -> None:
    section, findings = assessed(COARSE, rule="2 divisions in 3 h", dry="60.0")
    assert section.mc_pct == pytest.approx(100 * (96.5 - 60) / 60)
    assert "oven-rule-refused" in findings
    assert "section-not-constant" not in findings


@pytest.mark.parametrize("setting", ["", "own: 9 % in 2 h", "until it feels dry"])
def test_a_setting_that_is_no_rule_leaves_the_default_in_force_and_is_said(setting: str) -> None:
    section, findings = assessed(COARSE, rule=setting)
    assert (section.oven_dry_weight_g, section.constant_by_rule) == (60.1, True)
    assert findings["oven-rule-unknown"].values == {"setting": setting, "rule": "0.1 % in 2 h"}


def test_a_setting_that_is_a_rule_is_not_remarked_on() -> None:
    _, findings = assessed(COARSE, rule="own: 0.05 % in 4 h")
    assert "oven-rule-unknown" not in findings


def test_a_rule_in_percent_judges_the_same_section() -> None:
    section, findings = assessed(COARSE)
    assert (section.oven_dry_weight_g, section.constant_by_rule) == (60.1, True)
    assert not {"oven-rule-refused", "section-lost-on"} & set(findings)


@pytest.mark.parametrize("piece", ["Maple-1", "Maple-2", "Ash-1", "Ash-2"])
def test_an_oven_at_266_f_is_noticed(piece: str) -> None:
    """These went on losing 0.43 to 0.60 % of their weight: the wood itself."""
    _, findings = assessed(printed(piece))
    lost = findings["section-lost-on"].values["lost_later_pct"]
    assert isinstance(lost, float)
    assert 0.42 < lost < 0.61


@pytest.mark.parametrize("piece", ["Maple-3", "Maple-4", "Maple-5", "Maple-6", "Ash-3", "Ash-4", "Ash-5"])
def test_ovens_at_185_and_217_f_are_not(piece: str) -> None:
    section, findings = assessed(printed(piece))
    assert section.from_oven_weighings
    assert "section-lost-on" not in findings


def test_weighings_before_the_oven_was_hot_are_noticed() -> None:
    section, findings = assessed([(0, "96.40"), (2, "96.35"), (24, "60.02"), (26, "60.00")])
    assert section.oven_dry_weight_g == 96.35
    assert findings["section-lost-on"].board is not None


def test_a_section_rejected_is_left_alone() -> None:
    build = ChargeBuilder(target_mc_pct=8)
    board = build.board("1", "4460")
    section = build.section(board, "a", "96.5", rejected_because="scorched")
    for hours, grams in printed("Maple-1"):
        build.oven(board, section, grams, at=hours / 24)
    findings = assess(build.record(), load(), build.when(60)).findings
    assert "section-lost-on" not in {finding.code for finding in findings}
