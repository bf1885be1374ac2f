"""The record in brief knows the sentences that the logbook writes into seals."""

from __future__ import annotations

import itertools

import pytest

from kilnlog.drying.closing.figures import IntervalKind, NoInterval, SeriesRemark, Withheld
from kilnlog.exchange.papers import record_words
from kilnlog.logbook import final_words


@pytest.mark.parametrize("needs", [None, 46])
def test_every_reason_of_an_interval_is_known_as_one(needs: int | None) -> None:
    for why, kinds in itertools.product(Withheld, ([*IntervalKind], *([kind] for kind in IntervalKind))):
        for text in final_words.withheld([NoInterval(kind, why, needs) for kind in kinds]):
            assert record_words.WITHHELD.match(text)


def test_no_other_remark_of_a_series_is_taken_for_one() -> None:
    for remark in SeriesRemark:
        assert not record_words.WITHHELD.match(final_words.series_remark(remark))
