"""Limits from the words of an order, from a named publication, from what was typed with the lot."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlog.drying.closing.figures import LimitsRemark
from kilnlog.drying.closing.limits import OWN_LIMITS, limits_named, limits_of
from kilnlog.drying.closing.order_words import UnreadableLimits, WordsRead, limits_from_words
from kilnlog.logbook.wording import worded
from kilnlog.records.lot import Lot
from kilnlog.reference.final_moisture import named_limits
from kilnlog.reference.rows import Standing


def asked(target=None, low=None, high=None, average_low=None, average_high=None):
    return WordsRead(target, low, high, average_low, average_high)


# Ways in which orders are worded: common practice, no source.
@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("6 to 8 %, average 7", asked(target=7, low=6, high=8)),
        ("6 to 8 %, average 7 %", asked(target=7, low=6, high=8)),
        ("6-8", asked(low=6, high=8)),
        ("6–8 % MC", asked(low=6, high=8)),
        ("6% - 8%", asked(low=6, high=8)),
        ("from 6 to 8 percent moisture content", asked(low=6, high=8)),
        ("between 6 and 8 %", asked(low=6, high=8)),
        ("Between 6 and 8 % and average 7", asked(target=7, low=6, high=8)),
        ("6.5 to 8.5", asked(low=6.5, high=8.5)),
        ("6,5 - 8,5 %", asked(low=6.5, high=8.5)),
        ("6 to 8,average 7", asked(target=7, low=6, high=8)),
        ("6 to 8; mean 7", asked(target=7, low=6, high=8)),
        ("8 ± 1", asked(target=8, low=7, high=9)),
        ("8 +/- 1 %", asked(target=8, low=7, high=9)),
        ("8 plus or minus 1", asked(target=8, low=7, high=9)),
        ("8% ± 1.5%", asked(target=8, low=6.5, high=9.5)),
        ("target 8 ± 1", asked(target=8, low=7, high=9)),
        ("target 8", asked(target=8)),
        ("target: 8 %, max 10", asked(target=8, high=10)),
        ("max 19", asked(high=19)),
        ("max. 19 %", asked(high=19)),
        ("maximum 19 % MC", asked(high=19)),
        ("19 % max.", asked(high=19)),
        ("at most 19", asked(high=19)),
        ("not over 19 %", asked(high=19)),
        ("no more than 19 %", asked(high=19)),
        ("19 or less", asked(high=19)),
        ("19 % or below.", asked(high=19)),
        ("≤ 19 %", asked(high=19)),
        ("<=19", asked(high=19)),
        ("pieces 19 or less", asked(high=19)),
        ("average 19 or less", asked(average_high=19)),
        ("average max 19, pieces max 23", asked(average_high=19, high=23)),
        (
            "an average of 7 to 9 %, pieces 5.6 to 10.4",
            asked(average_low=7, average_high=9, low=5.6, high=10.4),
        ),
        ("average 7 ± 0.5", asked(average_low=6.5, average_high=7.5)),
        ("average 7", asked(target=7)),
        ("min 6", asked(low=6)),
        ("at least 6 %, max 9", asked(low=6, high=9)),
        ("0 to 100", asked(low=0, high=100)),
        ("6 to 8 %,", asked(low=6, high=8)),
        ("6  to\u00a08 %\naverage 7", asked(target=7, low=6, high=8)),
    ],
)
def test_words_that_are_read(text, told):
    assert limits_from_words(text) == told


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "words"),
        (",", "words"),
        ("order 4711", "words"),
        ("dry", "words"),
        ("kiln-dried", "words"),
        ("6 to 8 or so", "words"),
        ("about 7", "words"),
        ("6 8", "words"),
        ("under 19", "words"),  # is 19 itself inside?
        ("-1 to 8", "words"),
        ("average", "words"),
        ("target max 8", "words"),
        ("1,000 to 2,000 bf", "words"),
        ("٦ to ٨", "words"),
        ("6 to 8 to 10", "words"),
        ("8", "alone"),
        ("8 %", "alone"),
        ("6,8", "alone"),  # 6.8, or 6 and 8?
        ("6 to 8, 7", "alone"),
        ("8 to 6", "order"),
        ("7 to 7", "order"),
        ("8 ± 0", "order"),
        ("max 101", "range"),
        ("1 ± 2", "range"),
        ("max 101 ± 1", "words"),
        ("6 to 8, max 9", "twice"),
        ("6 to 8, 6 to 8", "twice"),
        ("average 7, target 7", "twice"),
        ("6 to 8, average 9", "average-outside"),
        ("6 to 8, average 5 to 7", "average-outside"),
        ("max 19, average 20 or less", "average-outside"),
    ],
)
def test_words_that_are_refused(text, why):
    with pytest.raises(UnreadableLimits) as refused:
        limits_from_words(text)
    assert refused.value.values["why"] == why
    sentence = worded(refused.value)
    assert sentence.what
    assert sentence.do


PIECES_OF_WORDS = st.sampled_from(
    [
        "6",
        "8 %",
        "7.5",
        "101",
        " to ",
        "-",
        "±",
        ", ",
        ";",
        "\n",
        "average ",
        "max ",
        "target ",
        " or less",
        " and ",
        "x",
    ]
)


@given(st.lists(PIECES_OF_WORDS, max_size=8).map("".join) | st.text(max_size=30))
def test_any_words_are_read_or_refused_and_what_is_read_makes_sense(text):
    told: WordsRead | UnreadableLimits
    try:
        told = limits_from_words(text)
    except UnreadableLimits as error:
        told = error
    if isinstance(told, UnreadableLimits):
        assert worded(told).what
        return
    assert told != asked()
    for low, high in ((told.low_pct, told.high_pct), (told.average_low_pct, told.average_high_pct)):
        assert low is None or high is None or 0 <= low < high <= 100


def lot(**fields):
    return Lot(charge="charge-1", lot="A", **fields)


@pytest.mark.parametrize("row", named_limits(), ids=lambda row: row.named)
def test_every_publication_is_found_by_the_name_it_is_offered_by(row):
    assert limits_named(row.named, None) is row
    assert limits_named(row.named.upper(), 99) is row
    told = limits_of(lot(limits_from=row.named), None)
    assert (told.named, told.low_pct, told.high_pct) == (row.named, row.low_pct, row.high_pct)
    assert (told.average_low_pct, told.average_high_pct) == (row.average_low_pct, row.average_high_pct)
    assert (told.share_pct, told.standing, told.source) == (row.share_pct, row.standing, row.source)
    assert (told.remark, told.target_mc_pct, told.refused) == (row.remark, row.target_mc_pct, None)


@pytest.mark.parametrize("text", ["EN 14298", "en-14298", "SS-EN 14298:2017", "DIN EN 14298 8%"])
def test_the_standard_goes_by_the_lots_target(text):
    named = limits_named(text, 8)
    assert named is not None
    assert named.named == "EN 14298, 8 %"


def test_a_target_whose_limits_were_not_read_is_refused():
    with pytest.raises(UnreadableLimits) as refused:
        limits_named("EN 14298", 10)
    assert worded(refused.value).text == (
        "The limits of EN 14298 for a target of 10 % are not known here; those for 8, 12 and 16 % are. "
        "Type the lower and the upper limit from your copy of it."
    )
    with pytest.raises(UnreadableLimits) as refused:
        limits_named("EN 14298", None)
    assert refused.value.values["why"] == "no-target"
    told = limits_of(lot(limits_from="EN 14298", target_mc_pct=10.0), 8.0)
    assert told.refused is not None
    assert (told.for_pieces, told.standing, told.named) == (False, None, "EN 14298")


def test_typed_from_ones_own_copy_they_hold():
    told = limits_of(lot(limits_from="EN 14298", target_mc_pct=10, mc_low_pct=7, mc_high_pct=13), None)
    assert (told.low_pct, told.high_pct, told.target_mc_pct) == (7, 13, 10)
    assert (told.named, told.standing, told.share_pct, told.refused) == ("EN 14298", None, None, None)


def test_the_suspect_limit_of_the_standard_says_so():
    told = limits_of(lot(limits_from="EN 14298", target_mc_pct=12), None)
    assert (told.low_pct, told.high_pct, told.standing) == (8.4, 15.6, Standing.COMPUTED)
    assert "16.6" in (told.remark or "")


def test_the_orders_words():
    told = limits_of(lot(limits_from="6 to 8 %, average 7"), 8.0)
    assert (told.low_pct, told.high_pct, told.target_mc_pct) == (6, 8, 7)
    assert (told.named, told.standing, told.refused) == ("6 to 8 %, average 7", None, None)


def test_words_that_tell_nothing_are_no_fault_beside_typed_figures():
    told = limits_of(lot(limits_from="order 4711", mc_low_pct=6, mc_high_pct=8), 7.0)
    assert (told.low_pct, told.high_pct, told.named, told.refused) == (6, 8, "order 4711", None)
    alone = limits_of(lot(limits_from="order 4711"), 7.0)
    assert alone.refused is not None
    assert (alone.for_pieces, alone.named, alone.target_mc_pct) == (False, "order 4711", 7.0)


def test_typed_alone_and_nothing_at_all():
    assert limits_of(lot(mc_high_pct=19), None).named == OWN_LIMITS
    nothing = limits_of(lot(), 8.0)
    assert (nothing.named, nothing.for_pieces, nothing.target_mc_pct, nothing.refused) == (
        "",
        False,
        8.0,
        None,
    )


def test_typed_figures_govern_and_a_contradiction_is_remarked():
    told = limits_of(lot(limits_from="EN 14298, 8 %", mc_low_pct=6, mc_high_pct=9), 8.0)
    assert (told.low_pct, told.high_pct, told.named) == (6, 9, "EN 14298, 8 %")
    assert (told.average_low_pct, told.share_pct, told.standing, told.source) == (None, None, None, None)
    assert told.remarks == (LimitsRemark.TYPED_DIFFER,)
    same = limits_of(lot(limits_from="EN 14298, 8 %", mc_low_pct=5.6, mc_high_pct=10.4), 8.0)
    assert (same.share_pct, same.average_high_pct, same.remarks) == (93.5, 9.0, ())


def test_typed_figures_and_words_fill_in_for_each_other():
    told = limits_of(lot(limits_from="average 19 or less", mc_high_pct=23), None)
    assert (told.high_pct, told.average_high_pct, told.remarks) == (23, 19, ())
    added = limits_of(lot(limits_from="Finnish guide, shipping-dry", mc_low_pct=12), None)
    assert (added.low_pct, added.high_pct, added.remarks) == (12, 24, ())
    assert added.share_pct is None  # it was stated for the upper limit alone
    crossed = limits_of(lot(limits_from="max 8", mc_low_pct=9), None)
    assert (crossed.low_pct, crossed.high_pct) == (9, None)
    assert crossed.remarks == (LimitsRemark.TYPED_DIFFER,)


def test_a_target_of_its_own_beside_figures_for_another_is_remarked():
    told = limits_of(lot(limits_from="EN 14298, 8 %", target_mc_pct=9), None)
    assert (told.target_mc_pct, told.high_pct, told.remarks) == (9, 10.4, (LimitsRemark.TARGET_DIFFERS,))
