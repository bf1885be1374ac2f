"""Factors of tolerance intervals: what so many pieces allow to be said of those nobody read.

The factors are exact. With n pieces of a normal curve, mean and SD (n - 1) are independent; each factor is
the k for which the confidence, an integral over one of them, is the one asked for. Integrands are smooth and
fall off like a normal curve, where the trapezoidal rule converges faster than any power of its step; the
nodes below give ten digits and more.

Source: Krishnamoorthy and Mathew, Statistical Tolerance Regions (2009), sections 2.2 to 2.3, and ISO 16269-6
for the same intervals, both from memory; distribution-free: Wilks (1941), from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import erfc, exp, fsum, inf, lgamma, log, pi, sqrt
from statistics import NormalDist

_NORMAL = NormalDist()

#: Beyond so many SD a normal curve holds less than a double can tell from nothing; nodes are so far apart.
_FURTHEST_SD, _STEP_SD = 9.0, 0.1
#: The same for the logarithm of the SD: below this density nothing is left.
_LEAST_LOG_DENSITY = -46.0
_NODES_PER_WIDTH = 12
#: Two steps as near to one another as this, of their own size, are the same.
_CLOSE = 1e-13


@lru_cache(maxsize=256)
def two_sided_factor(n: int, share: float, confidence: float) -> float:
    """The k of mean ± k·s that holds at least ``share`` of a normal curve with ``confidence``.

    Args:
        n: Pieces read, 2 or more.
        share, confidence: Above 0.5 and below 1.
    """
    steps = round(_FURTHEST_SD / _STEP_SD)
    nodes = []
    for step in range(steps + 1):
        off_sd = step * _STEP_SD
        weight = _STEP_SD * _density(off_sd) * (1 if step == 0 else 2)
        nodes.append((weight, _half_width(off_sd / sqrt(n), share)))
    exceeds = _chance_above(n - 1)

    def reached(k: float) -> float:
        return fsum(weight * exceeds((n - 1) * (half / k) ** 2) for weight, half in nodes)

    return _solved(reached, confidence)


@lru_cache(maxsize=256)
def one_sided_factor(n: int, share: float, confidence: float) -> float:
    """The k of mean + k·s below which at least ``share`` of a normal curve lies with ``confidence``.

    Args:
        n: Pieces read, 2 or more.
        share, confidence: Above 0.5 and below 1, so that k is positive.
    """
    freedom, z = n - 1, _NORMAL.inv_cdf(share)
    # ln s has the density below; its peak is at 0 and about 1 / sqrt(2 freedom) wide.
    log_peak = log(2) + freedom / 2 * log(freedom / 2) - lgamma(freedom / 2)
    step = 1 / (_NODES_PER_WIDTH * sqrt(2 * freedom))
    nodes: list[tuple[float, float]] = []
    for direction in (1, -1):
        place = 0 if direction == 1 else 1
        while True:
            log_s = direction * place * step
            log_density = log_peak + freedom * (log_s - exp(2 * log_s) / 2)
            if log_density < _LEAST_LOG_DENSITY:
                break
            nodes.append((step * exp(log_density), exp(log_s)))
            place += 1

    def reached(k: float) -> float:
        return fsum(weight * _NORMAL.cdf(sqrt(n) * (k * s - z)) for weight, s in nodes)

    return _solved(reached, confidence)


def free_confidence(n: int, share: float) -> float:
    """How surely the lowest and highest of n pieces enclose at least ``share`` of all, whatever the curve.

    1 - n p^(n-1) + (n - 1) p^n; more where readings are alike.
    """
    return 1 - n * share ** (n - 1) + (n - 1) * share**n


def fewest_for_free(share: float, confidence: float) -> int:
    """How many pieces it takes for the lowest and the highest to enclose ``share`` with ``confidence``."""
    n = 2
    while free_confidence(n, share) < confidence:
        n += 1
    return n


def _half_width(off: float, share: float) -> float:
    """How far an interval about a mean that is ``off`` must reach to hold ``share`` [SD of the pieces].

    Newton's steps from inside come up to the root without passing it: the share is concave there.
    """
    half, further = 0.0, off + _NORMAL.inv_cdf(share)
    while further > half:
        half = further
        held = _NORMAL.cdf(half + off) - _NORMAL.cdf(off - half)
        further = half + (share - held) / (_density(half + off) + _density(half - off))
    return half


def _density(z: float) -> float:
    return exp(-z * z / 2) / sqrt(2 * pi)


def _chance_above(freedom: int) -> Callable[[float], float]:
    """The chance that chi-squared of so many degrees of freedom exceeds a value: a finite sum for each.

    Source: Abramowitz and Stegun (1964), 26.4.4 and 26.4.5, from memory.
    """
    powers = [freedom / 2 - 1 - back for back in range(freedom // 2)]
    log_gammas = [lgamma(power + 1) for power in powers]
    is_odd = freedom % 2 == 1

    def above(value: float) -> float:
        half = value / 2
        log_half = log(half)
        terms = [
            exp(power * log_half - half - log_gamma)
            for power, log_gamma in zip(powers, log_gammas, strict=True)
        ]
        return fsum(terms) + (erfc(sqrt(half)) if is_odd else 0.0)

    return above


def _solved(reached: Callable[[float], float], confidence: float) -> float:
    """The k at which a confidence that grows with k is reached, to some twelve digits.

    By the rule of false position with its Illinois change (Dowell and Jarratt 1971, from memory): as sure as
    halving, in a fifth of the steps, each of which takes as long as there are pieces.
    """
    low = high = 1.0
    while (above := reached(high) - confidence) < 0:
        low, high = high, 2 * high
    while (below := reached(low) - confidence) > 0:
        low, high = low / 2, low
    above = reached(high) - confidence
    before, side = inf, 0
    while above != below:
        k = high - above * (high - low) / (above - below)
        miss = reached(k) - confidence
        if miss == 0 or abs(k - before) <= _CLOSE * k:
            return k
        before = k
        if miss > 0:
            high, above = k, miss
            below, side = (below / 2 if side > 0 else below), 1
        else:
            low, below = k, miss
            above, side = (above / 2 if side < 0 else above), -1
    return high
