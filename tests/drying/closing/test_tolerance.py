"""Factors of tolerance intervals against scipy and a published manner of approximating them."""

from math import sqrt

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from kilnlog.drying.closing.tolerance import (
    fewest_for_free,
    free_confidence,
    one_sided_factor,
    two_sided_factor,
)

SIZES = (2, 3, 4, 5, 7, 10, 15, 20, 30, 46, 50, 100, 233)
CLAIMS = ((0.90, 0.95), (0.95, 0.95), (0.935, 0.75), (0.935, 0.95), (0.97, 0.95), (0.99, 0.99))

# n -> one-sided 95/95 (scipy's non-central t), two-sided by Howe's approximation: 95/95, 93.5/75, 93.5/95; as
# worked out beside the published criteria of drying quality.
TABLE = {
    5: (4.203, 5.094, 2.916, 4.795),
    10: (2.911, 3.382, 2.391, 3.184),
    15: (2.566, 2.955, 2.237, 2.782),
    20: (2.396, 2.752, 2.160, 2.591),
    30: (2.220, 2.550, 2.081, 2.400),
    50: (2.065, 2.379, 2.013, 2.240),
    100: (1.927, 2.233, 1.954, 2.102),
}


@pytest.mark.parametrize("n", SIZES)
@pytest.mark.parametrize(("share", "confidence"), CLAIMS)
def test_the_one_sided_factor_is_that_of_the_non_central_t(n, share, confidence):
    off = stats.norm.ppf(share) * sqrt(n)
    exact = stats.nct.ppf(confidence, n - 1, off) / sqrt(n)
    assert one_sided_factor(n, share, confidence) == pytest.approx(exact, rel=1e-9)


def reached(k, n, share):
    """How surely mean ± k·s holds the share: scipy's chi-squared, integrated over where the mean lies."""

    def held_by(half, mean):
        return stats.norm.cdf(mean + half) - stats.norm.cdf(mean - half) - share

    def chance(mean):
        half = optimize.brentq(held_by, 0, mean + 12, args=(mean,), xtol=1e-13)
        return stats.chi2.sf((n - 1) * (half / k) ** 2, n - 1) * stats.norm.pdf(mean, scale=1 / sqrt(n))

    return 2 * integrate.quad(chance, 0, 9 / sqrt(n), epsabs=1e-11, epsrel=1e-11, limit=200)[0]


@pytest.mark.parametrize("n", [2, 3, 5, 10, 30, 46, 100])
@pytest.mark.parametrize(("share", "confidence"), [CLAIMS[0], CLAIMS[2], CLAIMS[4], CLAIMS[5]])
def test_the_two_sided_factor_reaches_its_confidence_by_an_adaptive_integral(n, share, confidence):
    assert reached(two_sided_factor(n, share, confidence), n, share) == pytest.approx(confidence, abs=1e-9)


def test_the_two_sided_interval_holds_its_share_as_often_as_it_says():
    """No integral at all: a hundred thousand lots of eight pieces, seeded. Three standard errors."""
    lots = np.random.default_rng(14298).normal(size=(100_000, 8))
    half = two_sided_factor(8, 0.9, 0.95) * lots.std(axis=1, ddof=1)
    mean = lots.mean(axis=1)
    held = stats.norm.cdf(mean + half) - stats.norm.cdf(mean - half) >= 0.9
    assert held.mean() == pytest.approx(0.95, abs=3 * sqrt(0.95 * 0.05 / 100_000))


@pytest.mark.parametrize("n", TABLE)
def test_the_published_table_one_sided(n):
    assert one_sided_factor(n, 0.95, 0.95) == pytest.approx(TABLE[n][0], abs=0.0005)


def howe(n, share, confidence):
    """The approximation of W. G. Howe (1969), from memory."""
    z = stats.norm.ppf((1 + share) / 2)
    return z * sqrt((n - 1) * (1 + 1 / n) / stats.chi2.ppf(1 - confidence, n - 1))


@pytest.mark.parametrize("n", TABLE)
def test_the_published_table_two_sided_is_an_approximation_of_the_exact_factors(n):
    """Of five pieces it lies above the exact factor, by 0.1 to 0.7 %; of more, within 0.08 % at 75 %
    confidence, and below it by 0.45 % (10 pieces) down to 0.05 % (100) at 95 %.
    """
    for printed, (share, confidence) in zip(
        TABLE[n][1:], ((0.95, 0.95), (0.935, 0.75), (0.935, 0.95)), strict=True
    ):
        approximate = howe(n, share, confidence)
        assert approximate == pytest.approx(printed, abs=0.00051)
        exact = two_sided_factor(n, share, confidence)
        above = exact / approximate - 1
        if n == 5:
            assert -0.0075 < above < 0
        elif confidence == 0.75:
            assert abs(above) < 0.0008
        else:
            assert 0.0004 < above < 0.0045


# E. Wengert, trade-magazine column "Too close to call": of pieces of mean 6.95 and SD 0.3 %, two thirds lie
# between 6.65 and 7.25, and 95 % between 6.35 and 7.55. So many pieces that mean and SD are as good as known.
@pytest.mark.parametrize(("share", "low", "high"), [(0.6827, 6.65, 7.25), (0.9545, 6.35, 7.55)])
def test_of_many_pieces_the_interval_is_that_of_the_normal_curve(share, low, high):
    k = two_sided_factor(800, share, 0.5)
    assert (6.95 - k * 0.3, 6.95 + k * 0.3) == pytest.approx((low, high), abs=0.005)


@pytest.mark.parametrize("n", [2, 3, 10, 45, 46, 93, 200])
@pytest.mark.parametrize("share", [0.5, 0.9, 0.935, 0.95])
def test_lowest_and_highest_enclose_a_share_that_has_a_beta_curve(n, share):
    """What lies between the extremes of n has the curve beta(n - 1, 2): order statistics, any textbook."""
    assert free_confidence(n, share) == pytest.approx(stats.beta.sf(share, n - 1, 2), abs=1e-12)


# Wilks (1941), from memory: 93 for 95 % of the pieces at 95 %, 46 for 90 %.
@pytest.mark.parametrize(("share", "fewest"), [(0.95, 93), (0.90, 46)])
def test_how_many_pieces_a_distribution_free_interval_takes(share, fewest):
    assert fewest_for_free(share, 0.95) == fewest
    assert free_confidence(fewest - 1, share) < 0.95 <= free_confidence(fewest, share)
