"""Weights of a cut that are asked about as they are typed."""

import pytest

from kilnlog.drying.cut_doubts import CutPiece, cut_doubts
from kilnlog.records.typed_weight import weight_from_text
from kilnlog.records.weight import WeightUnit
from kilnlog.reference.tables import load


def grams(typed):
    return weight_from_text(typed, WeightUnit.G) if typed else None


def asked(wet, dry="", board="4000", **more):
    found = cut_doubts(CutPiece("section A", grams(wet), grams(dry), grams(board), **more), load())
    return {finding.code: finding.values for finding in found}


# The limits are common practice without a source; the moisture contents are 100 x (wet / dry - 1).
@pytest.mark.parametrize(
    ("wet", "dry", "codes"),
    [
        ("221.0", "131.5", set()),
        ("221.0", "13.15", {"cut-mc-odd"}),
        ("221.0", "73.6", {"cut-mc-odd"}),  # 200.3 %
        ("221.0", "73.7", set()),  # 199.9 %
        ("221.0", "213.0", {"cut-mc-odd"}),  # 3.8 %
        ("221.0", "212.0", set()),  # 4.2 %
        ("400.0", "", set()),
        ("400.1", "", {"section-heavy"}),
        ("15.0", "", set()),
        ("14.9", "", {"section-light"}),
    ],
)
def test_the_limits(wet, dry, codes):
    assert asked(wet, dry).keys() == codes


def test_a_board_nobody_lifts():
    heavy = asked("51000", board="")["board-heavy"]
    assert heavy["board_g"] == 51000
    assert (heavy["likely_text"], heavy["likely_unit"]) == ("5100.0", "g")
    assert asked("50000", board="") == {}


def test_a_board_is_judged_by_its_own_oven_dry_weight():
    assert asked("3200", "190", board="").keys() == {"cut-mc-odd"}  # 1584 %
    assert asked("3200", "1900", board="") == {}


@pytest.mark.parametrize(
    ("wet", "dry", "likely", "mc_pct"),
    [
        ("221.0", "13.15", "131.5", 68.06),  # the oven-dry weight one place off
        ("2210", "131.5", "221.0", 68.06),  # the wet one
        ("221.0", "1.315", "131.5", 68.06),  # two places
    ],
)
def test_a_misplaced_decimal_mark_is_offered_where_it_fits(wet, dry, likely, mc_pct):
    values = asked(wet, dry)["cut-mc-odd"]
    assert values["likely_text"] == likely
    assert values["likely_mc_pct"] == pytest.approx(mc_pct, abs=0.01)


def test_nothing_is_offered_where_nothing_fits():
    assert asked("221.0", "40.0")["cut-mc-odd"]["likely_text"] is None


def test_a_heavy_section_is_offered_as_a_slice():
    assert asked("1300")["section-heavy"]["likely_text"] == "130.0"
    assert asked("5300", board="52000")["section-heavy"]["likely_text"] == "530.0"
    assert asked("12.4")["section-light"]["likely_text"] == "124"


def test_far_from_its_sister():
    sister = ("section B", 70.0)
    assert asked("221.0", "131.5", sister=sister) == {}
    apart = asked("221.0", "110.0", sister=sister)["cut-mc-apart"]  # 100.9 %
    assert (apart["other_piece"], apart["other_mc_pct"], apart["limit_pct"]) == ("section B", 70.0, 30)
    assert asked("221.0", "159.0", sister=sister).keys() == {"cut-mc-apart"}  # 39.0 %
    # A slip that would be wood but not like its sister is not offered.
    assert asked("221.0", "13.15", sister=("section B", 20.0))["cut-mc-odd"]["likely_text"] is None


def test_what_comes_out_of_the_oven_still_wet_is_not_too_dry():
    assert asked("221.0", "219.0", in_oven=True, sister=("section B", 70.0)) == {}
    assert asked("221.0", "221.5", in_oven=True).keys() == {"cut-mc-odd"}  # it gained
    assert asked("1300", "900.0", in_oven=True) == {}  # its wet weight was asked about when it was cut
    assert asked("221.0", "13.15", in_oven=True).keys() == {"cut-mc-odd"}
    assert asked("221.0", "100.0", in_oven=True, sister=("section B", 70.0)).keys() == {"cut-mc-apart"}
